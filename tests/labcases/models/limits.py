"""What the database itself refuses: numbers out of range and second rows."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, models, transaction

from occlusion.ranges import LIMITS

Limits = dict[str, tuple[str, str]]


def stored(row: models.Model, field: str, value: Any) -> bool:
    """Whether the database takes a value by an update that no form or verb has seen."""
    try:
        with transaction.atomic():
            type(row)._default_manager.filter(pk=row.pk).update(**{field: value})
    except IntegrityError:
        return False
    return True


def outside(row: models.Model, field: str, low: str, high: str) -> tuple[Decimal, Decimal]:
    """The nearest numbers below and above that the column can hold."""
    column = row._meta.get_field(field)
    step = Decimal(1).scaleb(-column.decimal_places)
    return Decimal(low) - step, Decimal(high) + step


def assert_held(row: models.Model, field: str, low: str, high: str) -> None:
    """Both limits are taken, the next number beyond each is not."""
    below, above = outside(row, field, low, high)
    assert stored(row, field, Decimal(low))
    assert stored(row, field, Decimal(high))
    assert not stored(row, field, below)
    assert not stored(row, field, above)
    assert stored(row, field, None) == row._meta.get_field(field).null


def measured(model: type[models.Model]) -> Iterator[str]:
    """Columns that hold a measured number."""
    for field in model._meta.get_fields():
        if isinstance(field, models.DecimalField):
            yield field.name


def assert_as_the_engine(limits: Limits, engine: dict[str, str]) -> None:
    """Columns of a quantity that the engine limits have the engine's hard limits."""
    for field, name in engine.items():
        low, high = (Decimal(bound) for bound in limits[field])
        assert (low, high) == tuple(Decimal(str(bound)) for bound in LIMITS[name].hard), field


def second_row_refused(model: type[models.Model], **values: Any) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        model._default_manager.create(**values)
