"""The plan of a stored case: what the pure functions of dates are asked about it.

A ``Planner`` answers for one case or for many: it looks up once when each house is open.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

from labcases.domain import calendars, outlook, schedule
from labcases.domain.course import Course, Houses, Standing, reached
from labcases.domain.outlook import Outlook, Turning
from labcases.domain.schedule import Latest
from labcases.enums import (
    AppointmentKind,
    AppointmentStatus,
    Route,
    SetUpOrder,
    Stage,
    TryInOutcome,
    TryInWish,
)
from labcases.enums.dates import FOR_A_TRAY, Step
from labcases.models import Case, Prescription
from labcases.templatetags.units import due_date

# A try-in that asked for a new record is still to come, once more.
TRIED_IN = (
    TryInOutcome.APPROVED,
    TryInOutcome.APPROVED_WITH_CHANGES,
    TryInOutcome.WAIVED,
)

AFTER_DELIVERY = (Stage.DELIVERED, Stage.IN_REVIEW)

BOOKED_FOR = {
    AppointmentKind.RECORDS: Step.JAW_RECORDS,
    AppointmentKind.TRY_IN: Step.TRY_IN,
    AppointmentKind.DELIVERY: Step.RECEIVED,
}
"""The row of the plan that a booked date holds."""


def course_of(row: Prescription) -> Course:
    """What a prescription asks for; no try-in where it is waived or cannot be held."""
    return Course(
        Route(row.route),
        SetUpOrder(row.set_up_order),
        try_in=row.try_in not in (TryInWish.WAIVED, TryInWish.NOT_POSSIBLE),
    )


def standing_of(case: Case) -> Standing:
    since = calendars.day_in(case.office, case.stage_since)
    return Standing(Stage(case.stage), since, tried_in(case))


def tried_in(case: Case) -> bool:
    """Whether the last try-in is behind the case; a list has it in the line of the case."""
    said: bool | None = getattr(case, "tried_in", None)
    if said is not None:
        return said
    last = max(case.try_ins.all(), key=lambda row: row.number, default=None)
    return last is not None and last.outcome in TRIED_IN and not last.taken_back


def houses_of(case: Case) -> Houses:
    """When the two houses of a case are open, and their own days of each piece of work.

    Of houses that are not stored yet the usual is known alone.
    """
    if case.office.pk is None or case.laboratory.pk is None:
        return Houses(own=case.laboratory.stage_days, office_own=case.office.stage_days)
    return Houses(
        laboratory=calendars.calendar_of(case.laboratory),
        office=calendars.calendar_of(case.office),
        road_days=calendars.road_days(case),
        own=case.laboratory.stage_days,
        office_own=case.office.stage_days,
        names=case.laboratory.stage_names,
    )


def latest_of(row: Prescription, surgery_on: date) -> dict[Step, date]:
    """The latest days as a prescription asks for them, also before it is in force."""
    return schedule.latest(course_of(row), surgery_on, houses_of(row.case))


def not_before(case: Case) -> dict[Step, date]:
    """What rows wait for: healing after the first extractions, and booked dates.

    A booking that was kept or dropped holds nothing.
    """
    return _not_before(case, case.prescription)


def _not_before(case: Case, prescribed: Prescription) -> dict[Step, date]:
    found: dict[Step, date] = {}
    first = prescribed.first_extraction_on
    if prescribed.route == Route.CONVENTIONAL and first:
        found[Step.SENT] = schedule.earliest_records(first)
    rows = getattr(case, "live_appointments", None)
    for row in case.appointments.all() if rows is None else rows:
        step = BOOKED_FOR.get(AppointmentKind(row.kind))
        if step and row.status == AppointmentStatus.BOOKED:
            found[step] = max(row.on, found.get(step, row.on))
    return found


@dataclass(frozen=True)
class Future:
    """What holds as long as a case stands where it stands.

    ``ahead`` are the rows that are not reached with their latest days, without those of a tray;
    ``turning`` says from which days on the surgery day does not hold, before delivery.
    """

    ahead: list[tuple[Step, date]]
    turning: Turning | None


@dataclass
class Planner:
    """Plans cases one after the other, and keeps when their houses are open."""

    today: date | None = None
    """The day from which it is planned; none for today in the office of each case."""
    _houses: dict[tuple[int, int], Houses] = field(default_factory=dict)

    def houses(self, case: Case) -> Houses:
        key = (case.office_id, case.laboratory_id)
        if key not in self._houses:
            self._houses[key] = houses_of(case)
        return self._houses[key]

    def plan(self, case: Case) -> list[Latest]:
        """The latest days as they are if the case goes on today; none without a surgery day."""
        if case.surgery_on is None:
            return []
        return schedule.plan(
            course=course_of(case.prescription),
            standing=standing_of(case),
            surgery_on=case.surgery_on,
            today=self.today or calendars.today_of(case.office),
            houses=self.houses(case),
            not_before=not_before(case),
        )

    def future(self, case: Case) -> Future:
        """What is known of a case whatever day it is; nothing without a surgery day."""
        if case.surgery_on is None:
            return Future([], None)
        row, standing, houses = case.prescription, standing_of(case), self.houses(case)
        course = course_of(row)
        days = schedule.latest(course, case.surgery_on, houses)
        ahead = [
            (step, on)
            for step, on in days.items()
            if step not in FOR_A_TRAY and not reached(step, standing)
        ]
        if not _before_delivery(case):
            return Future(ahead, None)
        turning = outlook.turning(
            course=course,
            standing=standing,
            surgery_on=case.surgery_on,
            houses=houses,
            not_before=_not_before(case, row),
        )
        return Future(ahead, turning)

    def outlook(self, case: Case) -> Outlook | None:
        """Whether the surgery day holds; nothing without one, and once the denture is there."""
        if case.surgery_on is None or not _before_delivery(case):
            return None
        return outlook.outlook(
            course=course_of(case.prescription),
            standing=standing_of(case),
            surgery_on=case.surgery_on,
            today=self.today or calendars.today_of(case.office),
            houses=self.houses(case),
            not_before=not_before(case),
        )


def _before_delivery(case: Case) -> bool:
    stages = list(Stage)
    return stages.index(Stage(case.stage)) < stages.index(Stage.DELIVERED)


def closed_check(case: Case) -> str:
    """A warning when nobody of the office is there a day after surgery; nothing when all is well.

    The check after 24 hours is of a calendar day: it never slides to the next open one.
    """
    on = case.surgery_on
    if on is None or not case.is_open or case.stage in AFTER_DELIVERY:
        return ""
    office = calendars.calendar_of(case.office)
    if not office.is_open(on):
        return (
            f"{case.office} is closed on the surgery day, {due_date(on)}. Choose another day, or "
            "see that it is open then."
        )
    day = on + timedelta(days=1)
    if office.is_open(day):
        return ""
    return (
        f"{case.office} is closed on {due_date(day)}, the day after surgery, on which the patient "
        "is seen for the first time: the denture stays in until then. Choose another surgery day, "
        "or say who sees the patient."
    )
