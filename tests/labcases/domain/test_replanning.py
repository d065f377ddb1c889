"""What the desk keeps is what it would say if it planned every case now."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from labcases.domain import calendars, history, replanning, stage_plan
from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.enums import AppointmentKind, AppointmentStatus, Side, Stage
from labcases.models import Case, DeskRow, OfficeLink, Organisation
from labcases.reference.reviews import reviews
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def said(case: Case) -> set[tuple[str, str]]:
    return set(DeskRow.objects.filter(case=case).values_list("section", "kind"))


def latest(case: Case) -> list:
    rows = DeskRow.objects.filter(case=case, kind="latest").order_by("on", "pk")
    return list(rows.values_list("about", "on"))


WALKED = (Stage.SENT, Stage.TRY_IN, Stage.FINAL_WAX, Stage.RELEASED, Stage.RECEIVED)


@pytest.mark.parametrize("stage", [*WALKED, Stage.IN_REVIEW, Stage.CLOSED])
def test_each_walked_case_keeps_its_rows_as_they_would_be_made(here, stage):
    case = here.case_at(stage)
    assert bool(said(case)) is (stage != Stage.CLOSED)
    assert replanning.remake() == 0


def test_a_case_that_is_opened_stands_on_the_desk_at_once(here):
    case = cases.open_case(
        office=here.office, laboratory=here.laboratory, patient_code="P-1", by=here.dora
    )
    assert said(case) == {("waits-office", "stage"), ("no-day", "no day")}


def test_moving_booking_holding_and_asking_are_kept_in_the_same_act(here):
    case = here.case_at(Stage.SET_UP)
    before = latest(case)
    assert before
    case = cases.set_surgery(
        case=case, version=case.version, on=case.surgery_on + timedelta(days=7), by=here.dora
    )
    assert [on - was for (_, on), (_, was) in zip(latest(case), before, strict=True)] == [
        timedelta(days=7)
    ] * len(before)
    row = cases.save_appointment(
        case=case,
        appointment=None,
        version=0,
        by=here.farah,
        values={
            "kind": AppointmentKind.TRY_IN,
            "on": case.surgery_on - timedelta(days=14),
            "status": AppointmentStatus.BOOKED,
            "note": "",
        },
    )
    assert DeskRow.objects.get(kind="appointment").appointment == row
    question = asking.ask(
        case=case, about="shade", text="B1?", waits_for=Side.OFFICE, by=here.tomas
    )
    assert DeskRow.objects.get(kind="question").question == question
    asking.answer(question=question, text="B1", by=here.farah)
    assert not DeskRow.objects.filter(kind="question")
    cases.hold(case=Case.objects.get(pk=case.pk), reason="ill", by=here.dora)
    assert said(case) == {("on-hold", "on hold"), ("moved", "moved")}
    assert replanning.remake() == 0


def test_an_act_that_is_refused_keeps_nothing(here):
    case = here.case_at(Stage.SET_UP)
    kept = list(DeskRow.objects.values())

    def hold_and_fail() -> None:
        with history.turn(case):
            cases.hold(case=case, reason="ill", by=here.dora)
            raise RuntimeError

    with pytest.raises(RuntimeError):
        hold_and_fail()
    assert list(DeskRow.objects.values()) == kept


def test_a_house_that_changes_its_days_plans_all_its_open_cases_again(here):
    case = here.case_at(Stage.SET_UP)
    link = OfficeLink.objects.get(office=here.office, laboratory=here.laboratory)
    changes = (
        lambda: calendars.set_week(
            organisation=here.laboratory, weekdays=[1, 2, 3, 4], by=here.mona
        ),
        lambda: calendars.close(
            organisation=here.office,
            first=latest(case)[-1][1],
            last=None,
            reason="away",
            by=here.dora,
        ),
        lambda: calendars.reopen(row=here.office.days.latest("on"), by=here.dora),
        lambda: calendars.set_road(link=link, days=3, side=Side.LABORATORY, by=here.mona),
        lambda: stage_plan.save(
            house=here.laboratory, names={}, days={"processing": 6}, by=here.mona
        ),
    )
    for change in changes:
        before = latest(case)
        change()
        assert latest(case) != before
        assert replanning.remake() == 0


def test_the_death_of_a_patient_silences_the_other_case_in_the_same_turn(here):
    first, second = here.walk().case, here.walk().case
    assert ("days", "surgery") in said(second)
    with history.turn(first):
        Case.objects.filter(pk=first.pk).update(silent=True)
        history.write(case=first, by=here.dora, act="died", part="case")
    assert ("days", "surgery") not in said(second)


def test_the_reviews_of_a_delivered_denture_follow_its_delivery(here):
    case = here.case_at(Stage.DELIVERED)
    rows = DeskRow.objects.filter(case=case, kind="review").order_by("on")
    kinds = list(reviews().values())
    assert [row.about for row in rows] == [kind.key for kind in kinds]
    (first, second) = rows[:2]
    assert first.on == case.delivery.delivered_on + timedelta(days=1)
    assert first.last == second.on - timedelta(days=1)


def test_rows_that_somebody_changed_by_hand_are_counted_and_mended(here):
    case = here.case_at(Stage.SET_UP)
    whole = DeskRow.objects.count()
    DeskRow.objects.filter(case=case, kind="surgery").delete()
    Case.objects.filter(pk=case.pk).update(surgery_confirmed_at=timezone.now())
    assert replanning.remake() == 2
    assert DeskRow.objects.count() == whole - 1
    assert replanning.remake() == 0


def test_a_house_is_planned_again_by_the_same_few_questions_whatever_the_number(here):
    def asked() -> int:
        with CaptureQueriesContext(connection) as context:
            replanning.refresh_house(Organisation.objects.get(pk=here.laboratory.pk))
        return len(context)

    here.walk(patient_code="P-0").to(Stage.SENT)
    one = asked()
    for number in range(1, 6):
        here.walk(patient_code=f"P-{number}").to(Stage.SENT)
    assert asked() == one
