"""A day with its time in one text box: 12-Mar-2027 14:05, or a time alone for today."""

from __future__ import annotations

import re
from datetime import datetime, time
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from labcases.forms.dates import read_date
from labcases.templatetags.units import long_time

HOW = "Write day and time like 12-Mar-2027 14:05; a time alone means today."
_TIME_LAST = re.compile(r"(.*?)(?:^|[\s,]+|(?<=\d)T)(\d{1,2}):(\d{2})(?::\d{2})?")


class MomentField(forms.Field):
    """A moment that has happened. The cleaned value knows its time zone.

    Parameters
    ----------
    label : str
        Names the moment in refusals.
    """

    def __init__(self, **options: Any) -> None:
        options.setdefault(
            "widget", forms.TextInput(attrs={"autocomplete": "off", "class": "medium"})
        )
        options.setdefault("help_text", "For example 12-Mar-2027 14:05; a time alone means today.")
        super().__init__(**options)

    def to_python(self, value: Any) -> datetime | None:
        if value in self.empty_values or not str(value).strip():
            return None
        found = read_moment(str(value))
        if found > timezone.now():
            raise ValidationError(
                f"{self.label}: {long_time(found)} lies ahead. Enter when it was.", code="ahead"
            )
        return found

    def prepare_value(self, value: Any) -> Any:
        return long_time(value) if isinstance(value, datetime) else value


def read_moment(text: str) -> datetime:
    """The moment that a text names, in the time zone of the server.

    Raises
    ------
    ValidationError
        The text names no day and time; the message says how to write it.
    """
    wanted = " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())
    found = _TIME_LAST.fullmatch(wanted)
    if not found:
        raise ValidationError(f"{wanted} has no time of day. {HOW}", code="time")
    hour, minute = int(found[2]), int(found[3])
    if hour > 23 or minute > 59:
        raise ValidationError(f"There is no time {found[2]}:{found[3]}. {HOW}", code="time")
    day = read_date(found[1]) or timezone.localdate()
    return timezone.make_aware(datetime.combine(day, time(hour, minute)))
