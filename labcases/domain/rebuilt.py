"""A case out of plain rows, in memory alone: nothing is asked of a database, nothing is stored."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.apps import apps
from django.core.exceptions import FieldDoesNotExist
from django.db import models

from labcases.domain.case_rows import Plain, ways
from labcases.models import Case, Organisation, Patient


class NotRows(Exception):
    """The values are none that rows of a case have; the text says which."""


def case_of(told: Plain) -> Case:
    """The case that ``case_rows.of_case`` told, with its rows in the lists that it reads.

    Raises
    ------
    NotRows
        Something is not there, or is no value of its field.
    """
    try:
        case: Case = _instance(Case, told["case"])
        case.patient = Patient(pk=told["patient"]["key"], code=told["patient"]["code"])
        case.office = _instance(Organisation, told["office"])
        case.laboratory = _instance(Organisation, told["laboratory"])
        made = {
            name: [_instance(apps.get_model("labcases", name), row) for row in rows]
            for name, rows in told["rows"].items()
        }
    except (KeyError, TypeError, ValueError, AttributeError, LookupError) as wrong:
        raise NotRows(f"The rows of the case cannot be read: {wrong!r}.") from wrong
    _point(made, case)
    _list(made, case)
    return case


def _instance(model: type[Any], row: Plain) -> Any:
    """One row that was never stored; what its model does not know is left out."""
    values: dict[str, Any] = {"pk": row["key"]}
    for name, value in row.items():
        try:
            field = model._meta.get_field(name)
        except FieldDoesNotExist:
            continue
        if field.many_to_many or not field.concrete:
            continue
        if isinstance(field, models.DateTimeField) and isinstance(value, str):
            values[field.attname] = datetime.fromisoformat(value)
        elif isinstance(field, models.JSONField):
            values[field.attname] = value
        else:
            values[field.attname] = field.to_python(value)
    return model(**values)


def _point(made: dict[str, list[Any]], case: Case) -> None:
    """Let each row point to the very rows that were made, and to nothing else."""
    by_key = {(name, row.pk): row for name, rows in made.items() for row in rows}
    by_key["Case", case.pk] = case
    for row in [row for rows in made.values() for row in rows]:
        for field in row._meta.concrete_fields:
            if field.related_model is not None:
                found = by_key.get((field.related_model.__name__, getattr(row, field.attname)))
                if found is not None:
                    field.set_cached_value(row, found)


def _list(made: dict[str, list[Any]], case: Case) -> None:
    """What a case would ask the database for: its lists, and rows that stand once beside it."""
    lists: dict[str, Any] = {}
    for model, (way, *_more) in ways().items():
        field: Any = model._meta.get_field(way.partition("__")[0])
        if field.related_model is not Case or field.remote_field.hidden:
            continue
        rows = sorted(made.get(model.__name__, []), key=lambda row: row.pk)
        if field.one_to_one:
            field.remote_field.set_cached_value(case, rows[0] if rows else None)
            continue
        found: Any = model._base_manager.all()
        found._result_cache, found._prefetch_done = rows, True
        lists[field.remote_field.cache_name] = found
    case._prefetched_objects_cache = lists  # type: ignore[attr-defined]
