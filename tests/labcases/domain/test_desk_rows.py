"""Rows of the desk: on every day they say what the plan of that day says."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from labcases.domain import case as cases
from labcases.domain import desk_rows, queries, replanning, tooth_dates, transit
from labcases.domain import question as asking
from labcases.domain.planning import Planner
from labcases.enums import BoxDirection, Side, Stage
from labcases.enums.desk import DeskKind, DeskSection
from labcases.models import Case, DeskRow, TeethSupply
from tests.factories import world

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


@pytest.fixture
def here():
    return world()


def made(case: Case) -> list[DeskRow]:
    (found,) = replanning.fetch(Case.objects.filter(pk=case.pk))
    return desk_rows.of_case(found, Planner())


def holding(rows: list[DeskRow], section: DeskSection, today: date) -> list[DeskRow]:
    return [row for row in rows if row.section == section and row.holds(today)]


def kinds(rows: list[DeskRow], section: DeskSection, today: date) -> list[str]:
    return [row.kind for row in holding(rows, section, today)]


def put(case: Case, **values) -> Case:
    Case.objects.filter(pk=case.pk).update(**values)
    return Case.objects.get(pk=case.pk)


STAGES = (Stage.DRAFT, Stage.ACCEPTED, Stage.JAW_RECORDS, Stage.SET_UP, Stage.PROCESSING)


@pytest.mark.parametrize("stage", [*STAGES, Stage.RECEIVED, Stage.IN_REVIEW])
def test_late_at_risk_and_missed_are_said_on_the_days_on_which_the_plan_says_so(here, stage):
    today = timezone.localdate()
    case = put(here.walk().case, stage=stage, surgery_on=today + 40 * DAY)
    rows = made(case)
    for number in range(-10, 60):
        on = today + number * DAY
        line = queries.line(case, on)
        late = holding(rows, DeskSection.LATE, on)
        assert bool(late) is (line.late_days > 0), on
        assert [row.about for row in late] == [line.next_latest.step for _ in late]
        seen = line.outlook
        assert bool(kinds(rows, DeskSection.AT_RISK, on)) is bool(seen and seen.at_risk), on
        assert bool(kinds(rows, DeskSection.MISSED, on)) is bool(seen and seen.missed), on


def test_a_delivery_is_waited_for_from_the_surgery_day_and_unreported_two_weeks_later(here):
    surgery = date(2026, 3, 26)
    rows = made(put(here.walk().case, stage=Stage.RECEIVED, surgery_on=surgery))

    def waits(day: int) -> list[str]:
        return kinds(rows, DeskSection.WAITS_OFFICE, surgery + day * DAY)

    assert [waits(day) for day in (-1, 0, 13, 14, 90)] == [
        *([], ["stage"], ["stage"], ["unreported"], ["unreported"])
    ]


def test_a_case_on_hold_is_only_said_to_rest_and_what_was_asked_still_waits(here):
    case = here.case_at(Stage.SET_UP)
    asking.ask(case=case, about="shade", text="B1?", waits_for=Side.OFFICE, by=here.tomas)
    case = cases.hold(case=Case.objects.get(pk=case.pk), reason="away", by=here.mona)
    assert {(row.section, row.kind) for row in made(case)} == {
        ("on-hold", "on hold"),
        ("waits-office", "question"),
    }


def test_of_a_patient_who_has_died_nothing_is_due_in_any_case(here):
    first, second = here.walk().case, here.walk().case
    put(first, silent=True)
    assert not [row for row in made(second) if row.section == DeskSection.DAYS]
    assert [row.kind for row in made(second) if row.section == DeskSection.WAITS_OFFICE] == [
        "stage"
    ]
    assert not [row for row in made(first) if row.section == DeskSection.WAITS_OFFICE]


def test_an_ended_case_says_nothing(here):
    assert made(put(here.walk().case, stage=Stage.CANCELLED)) == []


def test_the_surgery_day_is_asked_for_and_then_its_confirmation(here):
    case = put(here.walk(surgery_in_days=None).case, stage=Stage.SENT)
    today = timezone.localdate()
    assert kinds(made(case), DeskSection.NO_DAY, today) == ["no day"]
    case = put(case, surgery_on=today + 60 * DAY)
    assert kinds(made(case), DeskSection.NO_DAY, today) == []
    assert kinds(made(case), DeskSection.NOT_CONFIRMED, today) == ["not confirmed"]
    case = put(case, surgery_confirmed_at=timezone.now())
    assert kinds(made(case), DeskSection.NOT_CONFIRMED, today) == []


def test_a_box_is_overdue_on_the_days_on_which_its_receiver_waits_for_it(here):
    case = here.case_at(Stage.SENT)
    box = case.boxes.get(direction=BoxDirection.TO_LABORATORY)
    rows = made(case)
    for number in range(12):
        on = timezone.localdate() + number * DAY
        overdue = holding(rows, DeskSection.BOXES_OVERDUE, on)
        assert bool(overdue) is (transit.overdue_days(box, on) > 0), on
    assert [row.on for row in rows if row.kind == DeskKind.BOX] == [transit.expected_on(box)]


def test_ordered_teeth_are_overdue_on_the_days_on_which_the_order_is(here):
    today = timezone.localdate()
    case = put(here.walk().case, stage=Stage.ACCEPTED, surgery_on=today + 40 * DAY)
    order = TeethSupply.objects.create(
        case=case,
        arch="upper",
        part="posterior",
        source="supplier",
        state="ordered",
        ordered_on=today,
        lead_days=4,
    )
    rows = made(case)
    for number in range(14):
        on = today + number * DAY
        found = [row.supply for row in rows if row.kind == DeskKind.TEETH_OVERDUE and row.holds(on)]
        assert found == ([order] if tooth_dates.overdue(case, on) else []), on
    assert not [row for row in rows if row.kind == DeskKind.TEETH_LATE]
    TeethSupply.objects.update(lead_days=30)
    assert [row.kind for row in made(case) if row.section == DeskSection.TEETH] == [
        *("teeth late", "teeth overdue")
    ]
    assert tooth_dates.too_late(case, queries.plan_of(case), today)
