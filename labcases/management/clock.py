"""Telling a demonstration case on the days on which it would have happened.

Verbs write the moment at which they are called. A case of the demonstration that was delivered
last week is told with the clock of the application moved back, so that its box left before it
came and came before it was worn. Nothing that serves pages asks for this.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta, tzinfo
from typing import Any

from django.utils import timezone


class _Any(type):
    """Whatever is a date with a time is one here too, moved or not."""

    def __instancecheck__(cls, value: Any) -> bool:
        return isinstance(value, datetime)


@contextmanager
def on(day: date) -> Iterator[None]:
    """While a day is told, the application's clock stands there, at the time of day of now.

    Raises
    ------
    ValueError
        The day lies ahead: nothing can have happened on it.
    """
    here = datetime.now(tz=timezone.get_current_timezone())
    there = datetime.combine(day, here.time(), tzinfo=here.tzinfo)
    back = here.astimezone(UTC) - there.astimezone(UTC)
    if back < timedelta(0):
        raise ValueError(f"{day} lies ahead. Tell a day that was.")

    class Moved(datetime, metaclass=_Any):
        @classmethod
        def now(cls, tz: tzinfo | None = None) -> Any:
            return datetime.now(tz) - back

    stood = vars(timezone)["datetime"]
    vars(timezone)["datetime"] = Moved
    try:
        yield
    finally:
        vars(timezone)["datetime"] = stood
