"""What every editable row has, and the columns that hold measured numbers."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, cast

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import DEFAULT_DB_ALIAS, models


class Versioned(models.Model):
    """A row that two people may open at once.

    ``version`` rises with every save; a save names the version it started from
    and is refused when another came first (``labcases.domain.versions``).
    """

    version = models.PositiveIntegerField(default=1)
    changed_at = models.DateTimeField(auto_now=True)
    changed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        abstract = True


class LogLine(models.Model):
    """A line that is entered once, struck out when it is wrong, and never erased."""

    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    struck_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        abstract = True
        ordering = ("id",)


def mm(name: str | None = None, **options: Any) -> models.DecimalField[Any, Any]:
    """Millimetres to a hundredth."""
    return models.DecimalField(name, max_digits=6, decimal_places=2, **options)


def deg(name: str | None = None, **options: Any) -> models.DecimalField[Any, Any]:
    """Degrees to a tenth: the finest step that a bench instrument shows."""
    return models.DecimalField(name, max_digits=5, decimal_places=1, **options)


class Between(models.CheckConstraint):
    """A range that a row is held against here; Django would ask the database, once a column."""

    def validate(
        self,
        model: type[models.Model],
        instance: models.Model,
        exclude: Any = None,
        using: str = DEFAULT_DB_ALIAS,
    ) -> None:
        _empty, bounds = cast("models.Q", self.condition).children
        limits = dict(cast("list[tuple[str, Decimal]]", cast("models.Q", bounds).children))
        field = next(iter(limits)).removesuffix("__gte")
        low, high = limits.values()
        value = getattr(instance, field)
        if field in (exclude or ()) or value is None or low <= value <= high:
            return
        raise ValidationError(self.get_violation_error_message(), code=self.violation_error_code)

    def deconstruct(self) -> Any:
        """To a migration it is what it is to the database."""
        _path, args, kwargs = super().deconstruct()
        return "django.db.models.CheckConstraint", args, kwargs


def between(field: str, low: str, high: str) -> models.CheckConstraint:
    """Keep a column inside hard limits, whoever writes it; empty stays allowed."""
    return Between(
        name=f"%(class)s_{field}_range",
        condition=models.Q(**{f"{field}__isnull": True})
        | models.Q(**{f"{field}__gte": Decimal(low), f"{field}__lte": Decimal(high)}),
    )
