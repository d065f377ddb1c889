"""Days on which a house is open, and counting by them: pure functions on dates.

Working days are those on which a house is open: Monday to Friday without the closed days
that the caller names, or the calendar of one house (``domain/calendars.py``).
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from labcases.reference import holidays

MONDAY_TO_FRIDAY = frozenset(range(1, 6))
"""Weekdays by their ISO number: Monday is 1, Sunday 7."""


@dataclass(frozen=True)
class Calendar:
    """When one house is open.

    ``weekdays`` are those of its week, ``closed`` single days on which it is closed, ``region`` the
    key of its list of public holidays, and ``opened`` holidays on which it works all the same.
    """

    weekdays: frozenset[int] = MONDAY_TO_FRIDAY
    closed: frozenset[date] = frozenset()
    region: str = ""
    opened: frozenset[date] = frozenset()

    def is_open(self, day: date) -> bool:
        return (
            day.isoweekday() in self.weekdays
            and day not in self.closed
            and (day in self.opened or not self.holiday(day))
        )

    def holiday(self, day: date) -> str:
        """What the public holiday on a day is called; nothing where there is none."""
        return holidays.name_on(self.region, day) if self.region else ""


Closed = Collection[date] | Calendar
"""Days on which a house is closed, beside Saturday and Sunday, or its whole calendar."""


def is_working_day(day: date, closed: Closed = ()) -> bool:
    if isinstance(closed, Calendar):
        return closed.is_open(day)
    return day.isoweekday() in MONDAY_TO_FRIDAY and day not in closed


def back(day: date, working_days: int, closed: Closed = ()) -> date:
    """The date that many working days before a day."""
    found = day
    while working_days > 0:
        found -= timedelta(days=1)
        if is_working_day(found, closed):
            working_days -= 1
    return found


def ahead(day: date, working_days: int, closed: Closed = ()) -> date:
    """The date that many working days after a day."""
    found = day
    while working_days > 0:
        found += timedelta(days=1)
        if is_working_day(found, closed):
            working_days -= 1
    return found


def working_days_between(start: date, end: date, closed: Closed = ()) -> int:
    """Working days after ``start`` up to and with ``end``; negative when end lies before."""
    if end < start:
        return -working_days_between(end, start, closed)
    days = (start + timedelta(days=n) for n in range(1, (end - start).days + 1))
    return sum(is_working_day(day, closed) for day in days)


def open_from(day: date, closed: Closed = ()) -> date:
    """The first open day from a day on; the day itself where a house is shut for a year."""
    days = (day + timedelta(days=n) for n in range(366))
    return next((found for found in days if is_working_day(found, closed)), day)


def open_until(day: date, closed: Closed = ()) -> date:
    """The last open day up to a day; the day itself where a house is shut for a year."""
    days = (day - timedelta(days=n) for n in range(366))
    return next((found for found in days if is_working_day(found, closed)), day)


def back_to_open(day: date, working_days: int, closed: Closed = ()) -> date:
    """That many working days before a day; with none, the last open day up to it."""
    return back(day, working_days, closed) if working_days else open_until(day, closed)


def ahead_to_open(day: date, working_days: int, closed: Closed = ()) -> date:
    """That many working days after a day; with none, the first open day from it on."""
    return ahead(day, working_days, closed) if working_days else open_from(day, closed)


def both(one: Calendar, other: Calendar) -> Calendar:
    """The days on which two houses are open.

    Where they have no weekday in common those of the first count, so that counting comes to an
    end.
    """
    return Calendar(
        weekdays=one.weekdays & other.weekdays or one.weekdays,
        closed=one.closed | other.closed,
    )
