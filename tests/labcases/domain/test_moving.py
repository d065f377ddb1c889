"""What moving a date would change, before anything is moved."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from labcases.domain import calendars, moving
from labcases.domain import case as cases
from labcases.enums import AppointmentKind, AppointmentStatus, Stage
from labcases.models import Case
from tests.factories import world
from tests.labcases.domain.test_queries import open_one

pytestmark = pytest.mark.django_db

TODAY = date(2027, 3, 1)
THURSDAY = date(2027, 3, 25)


def case_at(here, stage: Stage, on: date = THURSDAY) -> Case:
    row = open_one(here, f"at {stage}", stage=stage)
    Case.objects.filter(pk=row.pk).update(surgery_on=on, stage_since="2027-03-01T08:00Z")
    return Case.objects.get(pk=row.pk)


def rows(effects: moving.Effects) -> dict[str, tuple[str, str]]:
    return {
        one.name: (f"{one.before.on:%m-%d}", f"{one.after.on:%m-%d}") for one in effects.changes
    }


def test_every_row_that_is_ahead_is_shown_now_and_then_and_nothing_is_moved():
    here = world()
    case = case_at(here, Stage.FINAL_WAX)

    effects = moving.surgery(case, THURSDAY + timedelta(days=7), TODAY)

    assert rows(effects) == {
        "Processing": ("03-17", "03-24"),
        "Dispatched": ("03-22", "03-29"),
        "Received": ("03-23", "03-30"),
    }
    assert (effects.before.slack_days, effects.after.slack_days) == (11, 16)
    assert effects.warnings == []
    assert Case.objects.get(pk=case.pk).surgery_on == THURSDAY


def test_a_day_that_cannot_be_met_is_told_as_such():
    case = case_at(world(), Stage.MOUNTING)
    effects = moving.surgery(case, date(2027, 3, 8), TODAY)
    assert effects.after.missed
    assert all(one.after.late_days for one in effects.changes if one.name == "Try-in")


def test_booked_dates_that_no_longer_fit_are_named():
    here = world()
    case = case_at(here, Stage.SET_UP)
    values = {"status": AppointmentStatus.BOOKED, "note": ""}
    for kind, on in (
        (AppointmentKind.TRY_IN, date(2027, 3, 12)),
        (AppointmentKind.DELIVERY, date(2027, 3, 24)),
    ):
        cases.save_appointment(
            case=case,
            appointment=None,
            version=0,
            by=here.dora,
            values={**values, "kind": kind, "on": on},
        )
    effects = moving.surgery(Case.objects.get(pk=case.pk), date(2027, 3, 23), TODAY)

    assert [text.replace("\xa0", " ") for text in effects.warnings] == [
        "Try-in on Fri 12-Mar-2027 is after its latest day, Wed 10-Mar-2027.",
        "Delivery to the office on Wed 24-Mar-2027 is not before the surgery on Tue 23-Mar-2027.",
    ]


def test_a_closed_day_after_surgery_is_told():
    here = world()
    effects = moving.surgery(case_at(here, Stage.FINAL_WAX), date(2027, 4, 2), TODAY)
    assert "on which the patient is seen for the first time" in effects.warnings[0]
    calendars.set_week(organisation=here.office, weekdays=range(1, 7), by=here.dora)
    case = Case.objects.select_related("office").latest("pk")
    assert moving.surgery(case, date(2027, 4, 2), TODAY).warnings == []


def test_what_is_signed_and_approved_stays():
    here = world()
    case = here.case_at(Stage.FINAL_WAX)
    effects = moving.surgery(case, case.surgery_on + timedelta(days=7))
    assert effects.stays == [
        "The prescription stays signed, revision 1.",
        "The outcome of the try-in stays.",
    ]


def test_a_later_try_in_holds_what_comes_after_it():
    case = case_at(world(), Stage.SET_UP)
    effects = moving.appointment(
        case, None, kind=AppointmentKind.TRY_IN, on=date(2027, 3, 15), today=TODAY
    )
    told = {one.name: one.after for one in effects.changes}

    assert told["Try-in"].expected == date(2027, 3, 15)
    assert told["Received"].short_days == 1
    assert effects.after.at_risk
    assert [text.replace("\xa0", " ") for text in effects.warnings] == [
        "Try-in on Mon 15-Mar-2027 is after its latest day, Fri 12-Mar-2027."
    ]
    sunday = moving.appointment(
        case, None, kind=AppointmentKind.TRY_IN, on=date(2027, 3, 7), today=TODAY
    )
    assert sunday.warnings[-1].startswith("Ferry Street Office is closed on Sun")
