"""When a base is cured: the end of a cycle, the cooling, and the latest start for the same day.

Pure functions on moments and cycles. Minutes are counted as the cycle says them: the time that
the water takes to reach a temperature comes on top, unless the cycle names it as a part.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

from django.utils import timezone as zones

from labcases.domain.open_days import Calendar
from labcases.domain.pouring import span
from labcases.models import Organisation
from labcases.reference.curing import Cycle, Phase

MOST_DAYS_CLOSED = 60
"""A house that is closed for longer than this has no next opening worth naming."""


@dataclass(frozen=True)
class House:
    """When a laboratory works: its open days, and the hours of each where they are entered."""

    opens: time | None = None
    closes: time | None = None
    calendar: Calendar = field(default_factory=Calendar)

    @property
    def hours_known(self) -> bool:
        return self.opens is not None and self.closes is not None

    def opens_on(self, day: date) -> datetime | None:
        """The moment of opening on a day; nothing where it is closed or no hours are entered."""
        if self.opens is None or not self.calendar.is_open(day):
            return None
        return _here(day, self.opens)

    def closes_on(self, day: date) -> datetime | None:
        """The moment of closing; nothing on a half day, of which nobody entered when it ends."""
        if self.closes is None or not self.calendar.is_open(day) or self.calendar.is_half(day):
            return None
        return _here(day, self.closes)

    def open_from(self, moment: datetime) -> datetime | None:
        """The first moment from one on at which somebody is there; nothing where none is known."""
        first = zones.localtime(moment).date()
        for number in range(MOST_DAYS_CLOSED):
            day = first + timedelta(days=number)
            opens, closes = self.opens_on(day), self.closes_on(day)
            if opens is None or closes is None:
                continue
            if moment <= opens:
                return opens
            if moment <= closes:
                return moment
        return None


@dataclass(frozen=True)
class Plan:
    """What follows from a start: in the bath, out of it, cooled, and deflasked when.

    ``deflask_at`` is the first moment in the open hours, nothing where none is known.
    """

    starts: datetime
    heat_from: datetime
    out: datetime
    cooled: datetime
    deflask_at: datetime | None

    @property
    def same_day(self) -> bool:
        at = self.deflask_at
        return at is not None and _day(at) == _day(self.starts)

    @property
    def over_night(self) -> bool:
        """It cures or cools while nobody is there, or until another day."""
        return _day(self.cooled) != _day(self.starts) or (
            self.deflask_at is not None and not self.same_day
        )


def whole(cycle: Cycle) -> tuple[int, int]:
    """Least and most minutes from packing to deflasking."""
    rest = cycle.cure_minutes + cycle.bench_minutes + cycle.water_minutes
    return cycle.dwell[0] + rest, cycle.dwell[1] + rest


def plan(cycle: Cycle, starts: datetime, house: House) -> Plan:
    """Follow a cycle from the moment at which it is packed, with the longest dwell.

    Parameters
    ----------
    cycle : Cycle
        One whose parts are known.
    starts : datetime
        With its time zone.
    house : House
        Deflasking waits for its open hours.
    """
    heat_from = after(starts, cycle.dwell[1])
    out = after(heat_from, cycle.cure_minutes)
    cooled = after(out, cycle.bench_minutes + cycle.water_minutes)
    return Plan(starts, heat_from, out, cooled, house.open_from(cooled))


def latest_start(cycle: Cycle, day: date, house: House) -> datetime | None:
    """The latest packing on a day after which it is deflasked before the house closes.

    Nothing where the hours are not entered, the house is closed, or the day is a half one or too
    short.
    """
    opens, closes = house.opens_on(day), house.closes_on(day)
    if opens is None or closes is None:
        return None
    found = after(closes, -whole(cycle)[1])
    return found if found >= opens and _day(found) == day else None


def house_of(laboratory: Organisation, calendar: Calendar) -> House:
    return House(laboratory.opens_at, laboratory.closes_at, calendar)


def after(moment: datetime, minutes: int) -> datetime:
    """So many minutes of the clock on the wall that never stops: also over a change of hours."""
    return zones.localtime(moment.astimezone(UTC) + timedelta(minutes=minutes))


def fahrenheit(celsius: Decimal) -> Decimal:
    return celsius * 9 / 5 + 32


def phase_in_words(phase: Phase) -> str:
    """ "2 h at 74 C (165.2 F)"; without a temperature the time alone."""
    if phase.celsius is None:
        return span(phase.minutes)
    warm = f"{phase.celsius.normalize():f}", f"{fahrenheit(phase.celsius).normalize():f}"
    return f"{span(phase.minutes)} at {warm[0]} C ({warm[1]} F)"


def in_words(cycle: Cycle) -> str:
    """The parts of a cycle in their order."""
    return ", then ".join(phase_in_words(phase) for phase in cycle.phases) or "not read"


def _here(day: date, at: time) -> datetime:
    return zones.make_aware(datetime.combine(day, at))


def _day(moment: datetime) -> date:
    return zones.localtime(moment).date()
