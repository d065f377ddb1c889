"""What moving a date would change: every row of the plan before and after, and what to weigh."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from labcases.domain import calendars, ending, pairs, planning, schedule, tooth_dates
from labcases.domain.ending import AHEAD
from labcases.domain.outlook import Outlook
from labcases.domain.planning import BOOKED_FOR, Planner
from labcases.domain.schedule import Latest
from labcases.enums import AppointmentKind, AppointmentStatus, Route
from labcases.enums.dates import Step
from labcases.models import Appointment, Case
from labcases.templatetags.units import due_date


@dataclass(frozen=True)
class Change:
    """One row of the plan as it is and as it would be."""

    name: str
    before: Latest | None
    after: Latest

    @property
    def differs(self) -> bool:
        kept = self.before and (self.before.on, self.before.expected, self.before.late_days)
        return kept != (self.after.on, self.after.expected, self.after.late_days)


@dataclass(frozen=True)
class Effects:
    """What would follow.

    Attributes
    ----------
    changes : list of Change
        Every row that is still ahead.
    before, after : Outlook or None
        Whether the surgery day holds, now and then.
    warnings : list of str
        What to weigh before it is moved.
    stays : list of str
        Approvals, which no date takes back.
    along : Case or None
        The linked case that moves in the same act.
    """

    changes: list[Change]
    before: Outlook | None
    after: Outlook | None
    warnings: list[str]
    stays: list[str]
    along: Case | None = None


def surgery(case: Case, on: date, today: date | None = None) -> Effects:
    """What another surgery day would change."""
    there = copy.copy(case)
    there.surgery_on = on
    day = today or timezone.localdate()
    plan = Planner(day).plan(there)
    warnings = [*_weighed(there, plan, day)]
    other = pairs.goes_along(case)
    if other is not None:
        along = copy.copy(other)
        along.surgery_on = on
        name = pairs.named(other)
        warnings += [
            f"Linked case {name}: {text}" for text in _weighed(along, Planner(day).plan(along), day)
        ]
    return _effects(case, there, day, warnings, other)


def appointment(
    case: Case, row: Appointment | None, *, kind: str, on: date, today: date | None = None
) -> Effects:
    """What a date beside the surgery would change if it were booked for a day."""
    day = today or timezone.localdate()
    here, there = copy.copy(case), copy.copy(case)
    rows = [one for one in case.appointments.all() if row is None or one.pk != row.pk]
    live = [one for one in case.appointments.all() if one.status != AppointmentStatus.DROPPED]
    here.live_appointments = live  # type: ignore[attr-defined]
    wanted = Appointment(case=case, kind=kind, on=on, status=AppointmentStatus.BOOKED)
    there.live_appointments = [*rows, wanted]  # type: ignore[attr-defined]
    warnings = [*_of_appointments(there, [wanted], Planner(day).plan(there))]
    office = calendars.calendar_of(case.office)
    if not office.is_open(on):
        warnings.append(f"{case.office} is closed on {due_date(on)}.")
    return _effects(here, there, day, warnings, None)


def _effects(
    here: Case, there: Case, today: date, warnings: list[str], along: Case | None
) -> Effects:
    planner = Planner(today)
    before = {row.step: row for row in planner.plan(here)}
    after = planner.plan(there)
    return Effects(
        changes=[
            Change(row.name, before.get(row.step), row)
            for row in after
            if not row.reached and not row.optional
        ],
        before=planner.outlook(here),
        after=planner.outlook(there),
        warnings=warnings,
        stays=[*_stays(here)],
        along=along,
    )


def weighed(case: Case, plan: list[Latest], today: date | None = None) -> list[str]:
    """What to weigh of a case, its plan and its surgery day; no advice moves anything by itself.

    Nothing without a surgery day, on hold, and once the denture is delivered.
    """
    if case.surgery_on is None or not case.is_open or case.on_hold:
        return []
    if case.stage in planning.AFTER_DELIVERY:
        return []
    return [*_weighed(case, plan, today or timezone.localdate())]


def _weighed(case: Case, plan: list[Latest], today: date) -> Iterator[str]:
    if case.surgery_on and case.surgery_on < today:
        yield (
            f"{due_date(case.surgery_on)} has passed. It is right only where the surgery was held "
            "on that day."
        )
    if closed := planning.closed_check(case):
        yield closed
    rows = [row for row in case.appointments.all() if row.status in AHEAD]
    yield from _of_appointments(case, rows, plan)
    late = tooth_dates.too_late(case, plan, today)
    if late:
        yield late
    age = ending.cast_age_days(case, case.surgery_on)
    if age is not None and age > schedule.IMPRESSION_DAYS:
        yield (
            f"The last impression will be {age} days old at surgery. Compare the cast with the "
            "mouth: natural teeth drift and break."
        )
    yield from _healing(case, plan)


def _of_appointments(case: Case, rows: list[Appointment], plan: list[Latest]) -> Iterator[str]:
    latest = {row.step: row.on for row in plan if not row.reached}
    for row in rows:
        step = BOOKED_FOR.get(AppointmentKind(row.kind))
        what = f"{row.get_kind_display()} on {due_date(row.on)}"
        if step and case.surgery_on and row.on >= case.surgery_on:
            yield f"{what} is not before the surgery on {due_date(case.surgery_on)}."
        elif step in latest and row.on > latest[step]:
            yield f"{what} is after its latest day, {due_date(latest[step])}."


def _healing(case: Case, plan: list[Latest]) -> Iterator[str]:
    first = case.prescription.first_extraction_on
    impression = next((row for row in plan if row.step == Step.SENT), None)
    if not first or not impression or impression.reached:
        return
    healed = (impression.on - first).days
    if case.prescription.route == Route.CONVENTIONAL and healed < schedule.HEALING_DAYS:
        yield (
            f"Between the first extraction and the latest day for the final impression lie "
            f"{healed} days; {schedule.HEALING_DAYS} and more are usual for healing. The dentist "
            "decides."
        )


def _stays(case: Case) -> Iterator[str]:
    """What was signed or approved: a date takes none of it back."""
    if case.prescription.signed_at:
        yield f"The prescription stays signed, revision {case.prescription.revision}."
    if planning.tried_in(case):
        yield "The outcome of the try-in stays."
    wax = getattr(case, "final_wax", None)
    if wax and wax.approved_at:
        yield "The approval of the final wax stays."
