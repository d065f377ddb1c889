"""Days on which a house is open, and counting by them: pure functions on dates.

Working days are those on which a house is open: Monday to Friday without the closed days
that the caller names, or the calendar of one house (``domain/calendars.py``).
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache

from labcases.reference import holidays

MONDAY_TO_FRIDAY = frozenset(range(1, 6))
"""Weekdays by their ISO number: Monday is 1, Sunday 7."""


@dataclass(frozen=True)
class Calendar:
    """When one house is open.

    Attributes
    ----------
    weekdays : frozenset of int
        Those of its week, by their ISO number.
    closed : frozenset of date
        Single days on which it is closed.
    region : str
        The key of its list of public holidays, on which it is closed; none where it is empty.
    opened : frozenset of date
        Public holidays on which it works all the same.
    half_weekdays, half : frozenset
        Weekdays and single days on which it is open for half the day. Such a day is open, and
        counts as half a working day. A public holiday among ``half`` is opened.
    also : Calendar or None
        Another house that has to be open as well.
    """

    weekdays: frozenset[int] = MONDAY_TO_FRIDAY
    closed: frozenset[date] = frozenset()
    region: str = ""
    opened: frozenset[date] = frozenset()
    half_weekdays: frozenset[int] = frozenset()
    half: frozenset[date] = frozenset()
    also: Calendar | None = None

    def is_open(self, day: date) -> bool:
        return (
            day.isoweekday() in self.weekdays
            and day not in self.closed
            and (day in self.opened or day in self.half or not self.holiday(day))
            and (self.also is None or self.also.is_open(day))
        )

    def holiday(self, day: date) -> str:
        """What the public holiday on a day is called; nothing where there is none."""
        return holidays.name_on(self.region, day) if self.region else ""

    def is_half(self, day: date) -> bool:
        """Whether it is open for half the day only."""
        return self.is_open(day) and (day in self.half or day.isoweekday() in self.half_weekdays)

    def whole(self) -> Calendar:
        """The same days, each for a whole one: for what arrives whenever somebody is there."""
        return replace(
            self,
            opened=self.opened | self.half,
            half_weekdays=frozenset(),
            half=frozenset(),
        )


Closed = Collection[date] | Calendar
"""Days on which a house is closed, beside Saturday and Sunday, or its whole calendar."""


def is_working_day(day: date, closed: Closed = ()) -> bool:
    """Whether a house is open on a day, be it for half of it."""
    if isinstance(closed, Calendar):
        return closed.is_open(day)
    return day.isoweekday() in MONDAY_TO_FRIDAY and day not in closed


def halves_of(day: date, closed: Closed = ()) -> int:
    """How many halves of a working day there are in a day: 2, 1 or none."""
    if not is_working_day(day, closed):
        return 0
    return 1 if isinstance(closed, Calendar) and closed.is_half(day) else 2


def back(day: date, working_days: int, closed: Closed = ()) -> date:
    """The date that many working days before a day; two half days make one."""
    return _stepped(day, -1, working_days, closed)


def ahead(day: date, working_days: int, closed: Closed = ()) -> date:
    """The date that many working days after a day; two half days make one."""
    return _stepped(day, 1, working_days, closed)


def _stepped(day: date, step: int, working_days: int, closed: Closed) -> date:
    if isinstance(closed, Calendar):
        return _stepped_in(day, step, working_days, closed)
    return _counted(day, step, working_days, closed)


@lru_cache(maxsize=1 << 16)
def _stepped_in(day: date, step: int, working_days: int, calendar: Calendar) -> date:
    """Kept, since the cases of a house ask for the same days again and again."""
    return _counted(day, step, working_days, calendar)


def _counted(day: date, step: int, working_days: int, closed: Closed) -> date:
    found, halves = day, 2 * working_days
    while halves > 0:
        found += timedelta(days=step)
        halves -= halves_of(found, closed)
    return found


def working_days_between(start: date, end: date, closed: Closed = ()) -> int:
    """Working days after ``start`` up to and with ``end``; negative when end lies before.

    A half day that is left over counts: what is late by half a day is late.
    """
    if end < start:
        return -working_days_between(end, start, closed)
    return -(-_halves_between(start, end, closed) // 2)


def whole_days_between(start: date, end: date, closed: Closed = ()) -> int:
    """The same without the half day that is left over: what there is time for."""
    if end < start:
        return -working_days_between(end, start, closed)
    return _halves_between(start, end, closed) // 2


def _halves_between(start: date, end: date, closed: Closed) -> int:
    days = (start + timedelta(days=n) for n in range(1, (end - start).days + 1))
    return sum(halves_of(day, closed) for day in days)


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
    """The days on which two houses are open, each for a whole one.

    Where they have no weekday in common those of the first count, so that counting comes to an
    end.
    """
    weekdays = one.weekdays & other.weekdays or one.weekdays
    return replace(one.whole(), weekdays=weekdays, also=replace(other.whole(), weekdays=weekdays))
