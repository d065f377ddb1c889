"""Both values of a conflict, in the words of the screen."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import models

from labcases.domain.versions import EditConflict
from labcases.templatetags.units import long_date, long_time


@dataclass(frozen=True)
class Row:
    """One field on which two people differ."""

    name: str
    label: str
    yours: str
    stored: str


@dataclass(frozen=True)
class Conflict:
    """What ``parts/_conflict.html`` shows."""

    stored_by: str
    stored_at: datetime
    rows: list[Row]
    text: str

    @property
    def clashes(self) -> list[Row]:
        return self.rows


def shown(found: EditConflict, fields: Container[str]) -> Conflict:
    """Both values of the fields that the person had on the page."""
    stored = found.stored
    return Conflict(
        stored_by=str(stored.changed_by or "Somebody else"),
        stored_at=stored.changed_at,
        rows=[
            Row(
                name=clash.field,
                label=sentence_case(clash.label),
                yours=in_words(stored, clash.field, clash.yours),
                stored=in_words(stored, clash.field, clash.stored),
            )
            for clash in found.clashes
            if clash.field in fields
        ],
        text=str(found),
    )


def sentence_case(text: str) -> str:
    return text[:1].upper() + text[1:]


def in_words(row: models.Model, field: str, value: Any) -> str:
    """A value as a reader of the screen knows it; an empty one is an empty text."""
    choices = dict(getattr(row._meta.get_field(field), "flatchoices", None) or ())
    return str(choices[value]) if value in choices else plain(value)


def plain(value: Any) -> str:
    """Numbers without trailing zeros, dates as 12-Mar-2027, yes and no."""
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    if isinstance(value, datetime):
        return long_time(value)
    if isinstance(value, date):
        return long_date(value)
    if isinstance(value, dict):
        return ", ".join(f"{key}: {plain(one)}" for key, one in value.items())
    if isinstance(value, (list, tuple)):
        return ", ".join(plain(one) for one in value)
    return str(value)
