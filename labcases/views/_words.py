"""Stored values in the words of the screen."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import models

from labcases.templatetags.units import long_date, long_time

UNITS = {" mm": "mm", " deg": "deg", " minutes": "min"}


def split_unit(label: str) -> tuple[str, str]:
    """A field's label without its unit, and the unit: "pin zero mm" -> "pin zero", "mm"."""
    for ending, unit in UNITS.items():
        if label.endswith(ending):
            return label.removesuffix(ending), unit
    return label, ""


def sentence_case(text: str) -> str:
    return text[:1].upper() + text[1:]


def in_words(row: models.Model, field: str, value: Any) -> str:
    """A value as a reader of the screen knows it; an empty one is an empty text."""
    choices = dict(getattr(row._meta.get_field(field), "flatchoices", None) or ())
    return str(choices[value]) if isinstance(value, str) and value in choices else plain(value)


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
