"""Orders of teeth against the plan: too late for the set-up, or not here when they should be."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from labcases.domain import calendars, open_days, teeth_needed
from labcases.domain.schedule import Latest
from labcases.enums.dates import Step
from labcases.enums.teeth import TeethState
from labcases.models import Case, TeethSupply
from labcases.templatetags.units import long_date


@dataclass(frozen=True)
class Awaited:
    """One order that has not come, and the day on which it should be here."""

    row: TeethSupply
    expected_on: date
    overdue_days: int

    @property
    def words(self) -> str:
        """What is awaited: a part, or one tooth of it."""
        return name_of(self.row)


def name_of(row: TeethSupply) -> str:
    """Which teeth a row is for: "tooth 16", "the upper posterior teeth"."""
    return f"tooth {row.tooth}" if row.tooth else f"the {row.arch} {row.part} teeth"


def waits(case: Case) -> bool:
    """Whether an order of a case has not come: only then it matters when its houses are open."""
    return any(row.state == TeethState.ORDERED for row in case.tooth_supplies.all())


def awaited(case: Case, today: date) -> list[Awaited]:
    """Orders of a case that have not come, the one that is expected last behind."""
    found = []
    for row in case.tooth_supplies.all():
        expected = teeth_needed.expected_on(row)
        if row.state == TeethState.ORDERED and expected is not None:
            bench = calendars.calendar_of(case.laboratory)
            late = open_days.working_days_between(expected, today, bench)
            found.append(Awaited(row, expected, max(0, late)))
    return sorted(found, key=lambda one: (one.expected_on, one.row.pk))


def too_late(case: Case, plan: Iterable[Latest], today: date) -> str:
    """A warning when teeth come after the latest day of the set-up; nothing when they do not."""
    begin = next((row.on for row in plan if row.step == Step.SET_UP and not row.reached), None)
    orders = awaited(case, today)
    if begin is None or not orders or orders[-1].expected_on <= begin:
        return ""
    return (
        f"Teeth expected {long_date(orders[-1].expected_on)}, set-up must begin {long_date(begin)}."
    )


def overdue(case: Case, today: date) -> list[str]:
    """A sentence for each order that should have been here on an earlier open day."""
    return [
        f"Ordered from {one.row.supplier or 'a supplier'} and not here: {one.words}, expected "
        f"{long_date(one.expected_on)}, {_days(one.overdue_days)} ago."
        for one in awaited(case, today)
        if one.overdue_days
    ]


def warnings(case: Case, plan: Iterable[Latest], today: date) -> str:
    """All that people of the laboratory should know of the teeth that a case waits for."""
    return " ".join(text for text in (too_late(case, plan, today), *overdue(case, today)) if text)


def _days(count: int) -> str:
    return "1 working day" if count == 1 else f"{count} working days"
