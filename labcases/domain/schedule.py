"""Every date of a case worked back from its surgery day, and forward from today: pure functions.

The chain that they step along stands in ``domain/course.py``, counting in ``domain/open_days.py``.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from labcases.domain import open_days
from labcases.domain.course import (
    USUAL_HOUSES,
    Course,
    Houses,
    Standing,
    left,
    place,
    reached,
)
from labcases.domain.open_days import Calendar
from labcases.enums.dates import FOR_A_TRAY, Step, Work

HEALING_DAYS = 42
"""Days from the posterior extractions to the records; 6 to 8 weeks is the textbook figure."""

HEALING_LEAST_DAYS = 21
"""Below it the dentist says why (from memory: 3 to 4 weeks are told as the least)."""

IMPRESSION_DAYS = 56
"""A final impression older than this at surgery is compared with the mouth again (practice)."""


def offsets(course: Course, houses: Houses = USUAL_HOUSES) -> dict[Step, int]:
    """Working days before surgery on which each row is reached at the latest."""
    found: dict[Step, int] = {}
    total = 0
    for step, works in reversed(course.chain.items()):
        total += sum(houses.days(work) for work in works)
        found[step] = total
    return dict(reversed(found.items()))


def latest(course: Course, surgery_on: date, houses: Houses = USUAL_HOUSES) -> dict[Step, date]:
    """The latest day of each row, stepping back from the surgery day over open days.

    A day on which the one who acts is closed steps earlier.
    """
    found: dict[Step, date] = {}
    on = surgery_on
    for step, works in reversed(course.chain.items()):
        for work in reversed(works):
            on = open_days.back_to_open(on, houses.days(work), houses.calendar(work))
        found[step] = on
    return dict(reversed(found.items()))


def latest_extraction(impression: date, office: Calendar, healing_days: int = HEALING_DAYS) -> date:
    """The last day for posterior extractions: healing counts in calendar days.

    One on which the office is closed steps earlier.
    """
    return open_days.open_until(impression - timedelta(days=healing_days), office)


def earliest_records(first_extraction_on: date) -> date:
    """Healing counts in calendar days."""
    return first_extraction_on + timedelta(days=HEALING_DAYS)


def earliest_impression(surgery_on: date) -> date:
    """The first day whose impression is not too old at surgery."""
    return surgery_on - timedelta(days=IMPRESSION_DAYS)


# --- forward from today ------------------------------------------------------------------------


def begun(course: Course, standing: Standing, today: date) -> date:
    """Since when a case stands where it stands; a case that is not sent begins today."""
    counts = standing.since and reached(place(course, standing), standing)
    return standing.since or today if counts else today


def forward(
    rows: list[tuple[Step, tuple[Work, ...]]],
    *,
    since: date,
    today: date,
    houses: Houses = USUAL_HOUSES,
    hurried: Collection[Work] = (),
    not_before: Mapping[Step, date] | None = None,
) -> tuple[dict[Step, date], date]:
    """When the rows ahead and the surgery can be at the earliest.

    Parameters
    ----------
    rows : list
        From the row in which the case stands, as ``left`` gives them.
    since, today : date
        Since when it stands there; nothing ahead lies before ``today``.
    houses : Houses
        When they are open and how long they take.
    hurried : collection of Work
        Work that is done in the least days that it takes.
    not_before : mapping of Step to date, optional
        What a row waits for: a booked day, healing, teeth that are ordered.

    Returns
    -------
    (dict of Step to date, date)
        The day of each row after the first, and the first day possible for the surgery.
    """
    waits = not_before or {}
    found: dict[Step, date] = {}
    on = since
    for number, (step, works) in enumerate(rows):
        on = max(on, waits.get(step, on))
        if number:
            found[step] = on
        for work in works:
            on = open_days.ahead_to_open(on, houses.days(work, hurried), houses.calendar(work))
        on = max(on, today)
    return found, open_days.open_from(on, houses.office)


# --- the plan of one case ----------------------------------------------------------------------


@dataclass(frozen=True)
class Latest:
    """One row of the plan, seen from today.

    Attributes
    ----------
    step : Step
        What is entered or begins.
    on : date
        The latest day for it.
    reached : bool
    late_days : int
        Open days of the laboratory since the latest day of a row that is not reached.
    expected : date or None
        When it will be reached by the usual days; nothing for what is behind.
    slack_days : int
        Open days of the laboratory between that day and the latest; negative where it is after.
    name : str
        What the laboratory calls it.
    """

    step: Step
    on: date
    reached: bool
    late_days: int
    name: str = ""
    expected: date | None = None
    slack_days: int = 0

    @property
    def late(self) -> bool:
        return not self.reached and self.late_days > 0

    @property
    def short_days(self) -> int:
        """Working days by which it will be late."""
        return max(0, -self.slack_days)

    @property
    def optional(self) -> bool:
        """A row that matters only where a custom tray is made."""
        return self.step in FOR_A_TRAY


def plan(
    *,
    course: Course,
    standing: Standing,
    surgery_on: date,
    today: date,
    houses: Houses = USUAL_HOUSES,
    not_before: Mapping[Step, date] | None = None,
) -> list[Latest]:
    """Latest days of every row ahead and behind, in order, and when each can be.

    Rows that belong to a custom tray are never late: nobody may want one.
    """
    ahead, _surgery = forward(
        left(course, place(course, standing)),
        since=begun(course, standing, today),
        today=today,
        houses=houses,
        not_before=not_before,
    )
    days = latest(course, surgery_on, houses)
    return [
        _row(step, on, standing, ahead.get(step, today), today, houses) for step, on in days.items()
    ]


def _row(
    step: Step, on: date, standing: Standing, expected: date, today: date, houses: Houses
) -> Latest:
    name = houses.names.get(step) or str(step.label)
    behind = reached(step, standing)
    if behind or step in FOR_A_TRAY:
        return Latest(step, on, behind, 0, name)
    late = open_days.working_days_between(on, today, houses.laboratory)
    slack = open_days.whole_days_between(expected, on, houses.laboratory)
    return Latest(step, on, False, max(0, late), name, expected, slack)


def late_by_days(rows: list[Latest]) -> int:
    """Working days by which the most delayed open row is late; 0 when none is."""
    return max((row.late_days for row in rows), default=0)
