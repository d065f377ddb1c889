"""The plan of a stored case."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils import timezone

from labcases.domain import calendars, planning
from labcases.domain import case as cases
from labcases.domain.planning import Planner
from labcases.enums import AppointmentKind, AppointmentStatus, Stage, TryInWish
from labcases.enums.dates import Step, Work
from labcases.models import Case
from tests.factories import world
from tests.labcases.domain.test_queries import open_one

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def test_houses_bring_their_open_days_their_road_and_their_own_days(here):
    case = open_one(here, "one")
    calendars.close(
        organisation=here.office, first=date(2026, 3, 24), last=None, reason="Away", by=here.dora
    )
    calendars.set_week(organisation=here.laboratory, weekdays=[1, 2, 3, 4], by=here.mona)
    link = here.office.laboratory_links.get(laboratory=here.laboratory)
    calendars.set_road(link=link, days=2, side="office", by=here.dora)

    houses = planning.houses_of(Case.objects.get(pk=case.pk))

    assert not houses.office.is_open(date(2026, 3, 24))
    assert not houses.laboratory.is_open(date(2026, 3, 20))
    assert houses.days(Work.ROAD) == 2


def test_a_case_without_a_surgery_day_has_no_plan_and_no_outlook(here):
    case = open_one(here, "one", in_days=None)
    assert Planner().plan(case) == []
    assert Planner().outlook(case) is None


def test_after_the_delivery_nobody_asks_whether_the_day_holds(here):
    case = open_one(here, "one", stage=Stage.DELIVERED)
    assert Planner().outlook(case) is None


@pytest.mark.parametrize("wish", [TryInWish.WAIVED, TryInWish.NOT_POSSIBLE])
def test_without_a_try_in_the_plan_has_no_row_for_it(here, wish):
    case = open_one(here, "one", try_in=wish)
    assert Step.TRY_IN not in [row.step for row in Planner().plan(case)]


def test_a_booked_try_in_holds_what_comes_after_it_and_a_proposed_one_does_not(here):
    case = open_one(here, "one", stage=Stage.SET_UP, in_days=90)
    on = timezone.localdate() + timedelta(days=60)
    values = {"kind": AppointmentKind.TRY_IN, "on": on, "note": ""}
    row = cases.save_appointment(
        case=case,
        appointment=None,
        version=0,
        by=here.dora,
        values={**values, "status": AppointmentStatus.PROPOSED},
    )
    assert Step.TRY_IN not in planning.not_before(Case.objects.get(pk=case.pk))
    cases.save_appointment(
        case=case,
        appointment=row,
        version=row.version,
        by=here.dora,
        values={**values, "status": AppointmentStatus.BOOKED},
    )
    assert planning.not_before(Case.objects.get(pk=case.pk))[Step.TRY_IN] == on


# Surgery day, what the office is -> what is said.
def closed_check(here, on: date) -> str:
    case = open_one(here, f"on {on}", in_days=None)
    Case.objects.filter(pk=case.pk).update(surgery_on=on)
    return planning.closed_check(Case.objects.get(pk=case.pk))


def test_a_surgery_on_a_friday_asks_who_sees_the_patient_on_saturday(here):
    assert closed_check(here, date(2026, 3, 26)) == ""
    said = closed_check(here, date(2026, 3, 27))
    assert said.startswith(
        "Ferry Street Office is closed on Sat\N{NO-BREAK SPACE}28-Mar-2026, the day after"
    )
    calendars.set_week(organisation=here.office, weekdays=[1, 2, 3, 4, 5, 6], by=here.dora)
    here.office.refresh_from_db()
    assert closed_check(here, date(2026, 3, 27)) == ""


def test_a_surgery_on_a_closed_day_is_told(here):
    said = closed_check(here, date(2026, 3, 29))
    assert said.startswith(
        "Ferry Street Office is closed on the surgery day, Sun\N{NO-BREAK SPACE}29-Mar-2026."
    )


def test_what_is_late_is_late_by_the_day_of_the_office(here, monkeypatch):
    """At 02:30 UTC on a Tuesday it is Monday evening in Los Angeles and Tuesday in Auckland."""
    case = open_one(here, "one", stage=Stage.SENT)
    case.surgery_on = date(2027, 3, 26)
    case.stage_since = datetime(2027, 3, 1, 12, tzinfo=UTC)
    send_by = next(row.on for row in Planner(date(2027, 1, 4)).plan(case))
    monkeypatch.setattr(timezone, "now", lambda: datetime(2027, 3, 2, 2, 30, tzinfo=UTC))

    read = []
    for zone in ("America/Los_Angeles", "Pacific/Auckland"):
        case.office.time_zone = zone
        wanted = Planner(calendars.today_of(case.office)).plan(case)
        assert Planner().plan(case) == wanted
        read.append(calendars.today_of(case.office))
    assert read == [date(2027, 3, 1), date(2027, 3, 2)]
    assert send_by < read[0]


@pytest.mark.parametrize(
    ("surgery", "region", "words"),
    [
        (date(2026, 4, 2), "gb-eng", "is closed on Fri 03-Apr-2026, the day after surgery"),
        (date(2026, 4, 2), "fr", ""),
        (date(2026, 4, 2), "fr-am", "is closed on Fri 03-Apr-2026, the day after surgery"),
        (date(2026, 12, 24), "us", "is closed on Fri 25-Dec-2026, the day after surgery"),
        (date(2026, 4, 3), "gb-eng", "is closed on the surgery day, Fri 03-Apr-2026"),
    ],
)
def test_a_public_holiday_after_surgery_is_told(here, surgery, region, words):
    case = open_one(here, "one")
    case.surgery_on, case.office.holiday_region = surgery, region

    told = planning.closed_check(case).replace("\u2011", "-").replace("\u00a0", " ")
    assert words in told
    assert bool(told) == bool(words)
