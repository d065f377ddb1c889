"""What stands in the database, which rows a post changed, and whether each is as declared."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any

from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import connection, models

#: Whole numbers that PostgreSQL takes; SQLite would store any.
RANGES: tuple[tuple[type[models.Field[Any, Any]], int, int], ...] = (
    (models.PositiveSmallIntegerField, 0, 32_767),
    (models.SmallIntegerField, -32_768, 32_767),
    (models.PositiveIntegerField, 0, 2_147_483_647),
    (models.PositiveBigIntegerField, 0, 2**63 - 1),
    (models.BigIntegerField, -(2**63), 2**63 - 1),
    (models.IntegerField, -2_147_483_648, 2_147_483_647),
)
LONGEST_JSON_TEXT = 10_000

#: Drawn anew each time, or written in words that hold a time of day.
DRAWN = {
    "code",
    "secret_digest",
    "token_digest",
    "digest",
    "previous",
    "file",
    "name",
    "password",
    "changes",
    "row",
}

#: The code of a case inside of a text; a new case has another one each time.
CODE = re.compile(r"\b[0-9A-Z]{4}-?[0-9A-Z]{4}-?[0-9A-Z]{4}\b")

Rows = dict[type[models.Model], dict[Any, tuple[Any, ...]]]


def every_row() -> Rows:
    """Every row of every table of the application, as the database gives it."""
    found: Rows = {}
    with connection.cursor() as cursor:
        for model in apps.get_app_config("labcases").get_models():
            # Made from other rows, and nobody types in it.
            if getattr(model, "MADE_AGAIN", False):
                continue
            table = connection.ops.quote_name(model._meta.db_table)
            names = ", ".join(
                connection.ops.quote_name(column.column)
                for column in (model._meta.pk, *model._meta.concrete_fields)
            )
            cursor.execute(f"SELECT {names} FROM {table}")  # noqa: S608 - our own tables
            found[model] = {row[0]: row for row in cursor.fetchall()}
    return found


def changed(before: Rows, after: Rows) -> list[tuple[type[models.Model], Any]]:
    """Rows that are new or different."""
    return [
        (model, pk)
        for model, rows in after.items()
        if rows != before[model]
        for pk, row in rows.items()
        if before[model].get(pk) != row
    ]


def lost(before: Rows, after: Rows) -> list[tuple[type[models.Model], Any]]:
    """Rows that are gone."""
    return [(model, pk) for model, rows in before.items() for pk in rows if pk not in after[model]]


def settled(rows: Rows) -> dict[str, list[Any]]:
    """Rows without what differs from one minute or one draw to the next."""
    found: dict[str, list[Any]] = {}
    for model, held in rows.items():
        columns = ["pk", *model._meta.concrete_fields]
        kept = [
            place
            for place, column in enumerate(columns)
            if not isinstance(column, str | models.DateTimeField | models.FileField)
            and column.name not in DRAWN
        ]
        found[model.__name__] = [
            tuple(CODE.sub("CODE", one) if isinstance(one, str) else one for one in values)
            for row in held.values()
            for values in [[row[place] for place in kept]]
        ]
    return found


def faults(model: type[models.Model], pk: Any) -> list[str]:
    """What of a stored row is outside of what its fields and constraints declare."""
    row = model._base_manager.get(pk=pk)
    found = []
    for check in (row.clean_fields, row.validate_constraints):
        try:
            check()
        except ValidationError as refused:
            found += [
                f"{name}: {' '.join(map(str, texts))[:120]}"
                for name, texts in refused.message_dict.items()
                if not _not_said_yet(row, name)
            ]
    for column in model._meta.concrete_fields:
        found += [f"{column.name}: {text}" for text in _odd(column, getattr(row, column.attname))]
    return [f"{model.__name__} {pk}: {text}" for text in found]


def _not_said_yet(row: models.Model, name: str) -> bool:
    """Nothing in a column that may hold nothing: a question of yes and no, not answered yet."""
    columns = {column.name: column for column in row._meta.concrete_fields}
    return name in columns and columns[name].null and getattr(row, name) is None


def _odd(column: Any, value: Any) -> Iterator[str]:
    if isinstance(value, str):
        if "\x00" in value:
            yield "holds a NUL"
        longest = getattr(column, "max_length", None)
        if longest and len(value) > longest:
            yield f"{len(value)} characters, at most {longest}"
    elif isinstance(value, bool) or value is None:
        return
    elif isinstance(value, int) and not column.is_relation:
        low, high = next(
            (bounds[0], bounds[1]) for kind, *bounds in RANGES if isinstance(column, kind)
        )
        if not low <= value <= high:
            yield f"{value} is outside {low} to {high}"
    elif isinstance(value, Decimal):
        if not value.is_finite() or value != round(value, column.decimal_places):
            yield f"{value} is not a number of {column.decimal_places} places"
    elif isinstance(value, date):
        if not 1900 <= value.year <= 2200:
            yield f"{value} is no day of our time"
    elif isinstance(value, dict | list):
        yield from _odd_json(value)


def _odd_json(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, one in value.items():
            yield from _odd_json(key)
            yield from _odd_json(one)
    elif isinstance(value, list):
        for one in value:
            yield from _odd_json(one)
    elif isinstance(value, str):
        if "\x00" in value:
            yield "holds a NUL"
        if len(value) > LONGEST_JSON_TEXT:
            yield f"holds {len(value)} characters in one place"
    elif isinstance(value, float) and not math.isfinite(value):
        yield f"holds {value}"
