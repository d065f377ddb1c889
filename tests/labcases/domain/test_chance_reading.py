"""What finished cases took, stage by stage, and what the page of the dates says by it."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from unittest import mock

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from labcases.domain import chance_reading, history, queries
from labcases.domain.open_days import Calendar, ahead, open_from, working_days_between
from labcases.domain.quality import Move, Path
from labcases.enums import Route, Stage
from labcases.models import Case
from tests.factories import world

S = Stage
#: Monday to Friday of two weeks, from Monday 1-Mar-2027 on.
MONDAY = date(2027, 3, 1)


def way(*moves: tuple[Stage, int]) -> Path:
    return Path(1, 1, tuple(Move(ahead(MONDAY, days), to) for to, days in moves))


def test_days_of_a_stage_go_from_reaching_it_to_reaching_a_later_one():
    found = chance_reading.took_of(
        way(
            *((S.SENT, 0), (S.ACCEPTED, 1), (S.SET_UP, 3), (S.TRY_IN, 7), (S.SET_UP, 8)),
            *((S.FINAL_WAX, 11), (S.DISPATCHED, 14), (S.RECEIVED, 15), (S.DELIVERED, 17)),
        )
    )

    assert found == {
        S.SENT: 1,
        S.ACCEPTED: 2,
        S.SET_UP: 4,
        S.TRY_IN: 4,
        S.FINAL_WAX: 3,
        S.DISPATCHED: 1,
    }
    assert sum(found.values()) == 15


def test_a_way_back_counts_with_the_stage_that_was_reached():
    path = way((S.SENT, 0), (S.TRY_IN, 4), (S.JAW_RECORDS, 5), (S.TRY_IN, 9), (S.RECEIVED, 12))
    assert chance_reading.took_of(path) == {S.SENT: 4, S.TRY_IN: 8}


def test_closed_days_of_the_laboratory_do_not_count():
    path = way((S.SENT, 0), (S.RECEIVED, 4))
    closed = Calendar(closed=frozenset({date(2027, 3, 3)}))
    assert chance_reading.took_of(path, closed) == {S.SENT: 3}


def test_a_case_that_did_not_arrive_or_was_not_seen_from_the_start_took_nothing():
    assert chance_reading.took_of(way((S.SENT, 0), (S.PROCESSING, 5))) is None
    assert chance_reading.took_of(way((S.TRY_IN, 0), (S.RECEIVED, 5))) is None
    assert chance_reading.took_of(way()) is None


def test_a_case_in_the_set_up_after_its_try_in_is_in_the_time_of_the_try_in():
    here = Move(ahead(MONDAY, 8), S.SET_UP)
    tried = way((S.SET_UP, 3), (S.TRY_IN, 7), (S.SET_UP, 8))
    assert chance_reading.present(tried, here) == Move(ahead(MONDAY, 7), S.TRY_IN)
    new_record = way((S.TRY_IN, 3), (S.JAW_RECORDS, 5), (S.SETTINGS, 6), (S.SET_UP, 8))
    assert chance_reading.present(new_record, here) == here
    assert chance_reading.present(way((S.SETTINGS, 2), (S.SET_UP, 8)), here) == here


# --- with a laboratory ---------------------------------------------------------------------------


@pytest.fixture
def here(db):
    return world()


def finished(here, number: int, took: dict[Stage, int]) -> Case:
    """A case that took so many working days of each stage, and arrived some weeks ago."""
    case = here.walk(patient_code=f"F-{number}").case
    on = open_from(timezone.localdate() - timedelta(days=90))
    for stage, days in [*took.items(), (S.RECEIVED, 0)]:
        at = datetime.combine(on, time(12), tzinfo=timezone.get_current_timezone())
        with mock.patch("django.utils.timezone.now", return_value=at), history.turn(case):
            moved = {"stage": ["", str(stage.label)]}
            history.write(case=case, by=here.tomas, act="moved", part="stage", changes=moved)
        on = ahead(on, days)
    Case.objects.filter(pk=case.pk).update(stage=S.RECEIVED)
    return case


#: Working days of twenty finished cases from the sending to the arrival: three in four took 9.
TOOK = [9, 9, 9, 14] * 5


def open_case(here, left: int) -> Case:
    """A case that was sent today and has so many working days until it has to be at the office."""
    case = here.walk(patient_code="NOW").to(S.SENT)
    today = timezone.localdate()
    on = today + timedelta(days=1)
    while working_days_between(today, due(case, on)) != left:
        on += timedelta(days=1)
        Case.objects.filter(pk=case.pk).update(surgery_on=on)
        case.refresh_from_db()
    return case


def due(case: Case, on: date) -> date:
    case.surgery_on = on
    return next(row.on for row in queries.plan_of(case) if row.step == S.RECEIVED)


def test_an_open_case_is_told_by_twenty_finished_ones(here, client):
    for number, days in enumerate(TOOK):
        finished(here, number, {S.SENT: 2, S.SET_UP: days - 6, S.PROCESSING: 4})
    case = open_case(here, 9)

    found = chance_reading.of_case(case)
    assert (found.chance.share, found.chance.cases, found.if_sent_today) == (0.75, 20, False)
    client.force_login(here.farah)
    shown = client.get(reverse("dates", args=[case.code])).content.decode()
    assert (
        "<b>In time: about 75 %</b>, by 20 finished cases of this laboratory; stages are taken as "
        "independent." in shown
    )
    case = open_case(here, 14)
    assert chance_reading.of_case(case).chance.percent_words == "more than 99 %"


def test_days_that_the_case_has_stood_count(here):
    """It was sent two working days ago: those that stood longer in Sent count alone."""
    for number, days in enumerate([1] * 10 + [3] * 20):
        finished(here, number, {S.SENT: days, S.PROCESSING: 4})
    case = open_case(here, 5)
    assert chance_reading.of_case(case).chance.share == pytest.approx(1 / 3)
    today = timezone.localdate()
    days = next(n for n in range(9) if working_days_between(today - timedelta(n), today) == 2)
    since = timezone.now() - timedelta(days=days)
    Case.objects.filter(pk=case.pk).update(stage_since=since)
    case.refresh_from_db()

    assert chance_reading.of_case(case).chance == chance_reading.Chance(1.0, 20)


def test_nineteen_finished_cases_say_nothing(here, client):
    for number in range(19):
        finished(here, number, {S.SENT: 2, S.PROCESSING: 4})
    case = open_case(here, 9)
    client.force_login(here.tomas)
    shown = client.get(reverse("dates", args=[case.code])).content.decode()
    assert "too few finished cases to say (19 of 20)" in shown


def test_only_cases_of_the_same_route_and_laboratory_count(here):
    finished(here, 1, {S.SENT: 2, S.TRAY: 1, S.PROCESSING: 4})
    told = chance_reading.durations(
        here.laboratory, Route.CONVENTIONAL, S.MASTER_CAST, until=timezone.localdate()
    )
    assert (told[S.MASTER_CAST], told[S.PROCESSING], told[S.REMOUNT]) == ([], [4], [0])
    assert S.TRAY not in told
    for house, route in ((here.laboratory, Route.INTERIM), (here.other_laboratory, "conventional")):
        told = chance_reading.durations(house, Route(route), S.SENT, until=timezone.localdate())
        assert told[S.SENT] == []


def test_a_draft_is_told_as_if_it_were_sent_today(here):
    case = here.walk(surgery_in_days=60).case
    assert chance_reading.of_case(case).if_sent_today


def test_nothing_is_said_without_a_surgery_day_on_hold_and_once_it_is_there(here):
    case = open_case(here, 9)
    for changed in ({"surgery_on": None}, {"on_hold": True}, {"stage": S.RECEIVED}):
        before = {name: getattr(case, name) for name in changed}
        Case.objects.filter(pk=case.pk).update(**changed)
        assert chance_reading.of_case(Case.objects.get(pk=case.pk)) is None
        Case.objects.filter(pk=case.pk).update(**before)


def test_a_handful_of_questions_however_many_cases_are_finished(here):
    case = open_case(here, 9)

    def asked() -> int:
        with CaptureQueriesContext(connection) as told:
            chance_reading.of_case(Case.objects.get(pk=case.pk))
        return len(told)

    finished(here, 1, {S.SENT: 2})
    one = asked()
    for number in (2, 3):
        finished(here, number, {S.SENT: 2})
    assert asked() == one
    assert one <= 17
