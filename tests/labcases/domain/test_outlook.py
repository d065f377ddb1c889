"""Whether the surgery day holds, and how time can be won."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from labcases.domain import outlook
from labcases.domain.course import Course, Houses, Standing
from labcases.domain.open_days import Calendar
from labcases.enums import Route, Stage
from labcases.enums.dates import Step

CONVENTIONAL = Course(Route.CONVENTIONAL)
THURSDAY = date(2026, 3, 26)


def seen(stage: Stage, today: date, surgery: date = THURSDAY, **houses) -> outlook.Outlook:
    return outlook.outlook(
        course=CONVENTIONAL,
        standing=Standing(stage, tried=stage == Stage.PROCESSING),
        surgery_on=surgery,
        today=today,
        houses=Houses(**houses),
    )


def test_on_the_latest_day_nothing_is_to_spare_and_the_day_holds():
    found = seen(Stage.PROCESSING, date(2026, 3, 18))
    assert (found.earliest, found.slack_days) == (THURSDAY, 0)
    assert (found.missed, found.at_risk) == (False, False)


def test_a_day_later_it_is_at_risk_and_each_way_says_what_it_wins():
    found = seen(Stage.PROCESSING, date(2026, 3, 19))
    assert (found.earliest, found.short_days, found.at_risk) == (date(2026, 3, 27), 1, True)
    assert [(one.words, one.wins_days) for one in found.levers] == [
        ("A short cycle in place of one over night, where the material allows it", 1),
        ("A courier on the same day", 1),
        ("Arrival at the office the day before surgery", 1),
    ]


def test_it_is_certain_to_be_missed_when_even_hurrying_is_too_late():
    # Two days of processing, the courier on the same day, one day at the office: three in all.
    assert not seen(Stage.PROCESSING, date(2026, 3, 23)).missed
    found = seen(Stage.PROCESSING, date(2026, 3, 24))
    assert (found.shortest, found.missed, found.at_risk) == (date(2026, 3, 27), True, False)


def test_a_closed_day_of_the_laboratory_takes_a_day_away():
    closed = Calendar(closed=frozenset({date(2026, 3, 19)}))
    assert seen(Stage.PROCESSING, date(2026, 3, 18), laboratory=closed).short_days == 1


def test_a_surgery_is_only_on_a_day_on_which_the_office_is_open():
    closed = Calendar(closed=frozenset({THURSDAY}))
    assert seen(Stage.PROCESSING, date(2026, 3, 18), office=closed).earliest == date(2026, 3, 27)


def test_days_lost_and_the_earliest_day_follow_a_houses_own_days():
    own = Houses(own={"posterior teeth": 5})
    told = {"course": CONVENTIONAL, "at": Stage.TRY_IN, "to": Stage.SET_UP}
    assert outlook.lost_days(**told) == 4
    assert outlook.lost_days(**told, houses=own) == 6
    assert outlook.lost_days(course=CONVENTIONAL, at=Stage.SET_UP, to=Stage.TRY_IN) == 0
    assert outlook.earliest_surgery(
        course=CONVENTIONAL,
        stage=Stage.RECEIVED,
        today=date(2026, 3, 24),
        houses=Houses(office_own={"arrival": 1}),
    ) == date(2026, 3, 25)


# --- the days on which it turns ------------------------------------------------------------------

SURGERY = date(2026, 6, 18)
HALF_FRIDAYS = Calendar(half_weekdays=frozenset({5}), closed=frozenset({date(2026, 6, 4)}))
HOUSES = (
    Houses(),
    Houses(laboratory=Calendar(frozenset({2, 3, 4, 5, 6})), road_days=0),
    Houses(laboratory=HALF_FRIDAYS, office=Calendar(frozenset({1, 2, 4})), own={"posterior": 5}),
    Houses(office=Calendar(closed=frozenset({SURGERY})), office_own={"arrival": 4}, road_days=3),
)
COURSES = (CONVENTIONAL, Course(Route.CONVENTIONAL, try_in=False), Course(Route.INTERIM))
STANDINGS = (
    Standing(Stage.DRAFT),
    Standing(Stage.ACCEPTED, date(2026, 5, 4)),
    Standing(Stage.SET_UP, date(2026, 6, 12)),
    Standing(Stage.DISPATCHED, date(2026, 6, 16), tried=True),
)
BOOKED = ({}, {Step.TRY_IN: date(2026, 6, 9)}, {Step.RECEIVED: date(2026, 6, 17)})


@pytest.mark.parametrize("waits", BOOKED)
@pytest.mark.parametrize("houses", HOUSES)
@pytest.mark.parametrize("standing", STANDINGS)
def test_on_every_day_the_outlook_is_what_its_turning_days_say(standing, houses, waits):
    for course in COURSES:
        asked = {
            "course": course,
            "standing": standing,
            "surgery_on": SURGERY,
            "houses": houses,
            "not_before": waits,
        }
        turns = outlook.turning(**asked)
        for number in range(75):
            today = date(2026, 4, 20) + timedelta(days=number)
            on_the_day = outlook.outlook(today=today, **asked)
            assert on_the_day.missed is (today >= turns.missed), (course, today)
            assert on_the_day.at_risk is (turns.short <= today < turns.missed), (course, today)


def test_the_first_days_of_a_processing_that_is_not_begun_are_known():
    turns = outlook.turning(
        course=CONVENTIONAL,
        standing=Standing(Stage.PROCESSING, tried=True),
        surgery_on=THURSDAY,
    )
    assert turns == outlook.Turning(short=date(2026, 3, 19), missed=date(2026, 3, 24))


def test_what_can_never_hold_has_always_been_missed():
    booked = {Step.RECEIVED: date(2026, 4, 1)}
    turns = outlook.turning(
        course=CONVENTIONAL,
        standing=Standing(Stage.PROCESSING, date(2026, 3, 2), tried=True),
        surgery_on=THURSDAY,
        not_before=booked,
    )
    # The booked day never holds, and hurrying does as long as a day is left at the office.
    assert (turns.short, turns.missed) == (outlook.EARLIEST, date(2026, 3, 26))
    gone = outlook.turning(
        course=CONVENTIONAL,
        standing=Standing(Stage.PROCESSING, date(2026, 3, 2), tried=True),
        surgery_on=date(2026, 3, 3),
    )
    assert gone.missed == outlook.EARLIEST


def test_those_who_hurry_wait_for_no_healing_and_no_booked_day():
    found = outlook.outlook(
        course=CONVENTIONAL,
        standing=Standing(Stage.PROCESSING, tried=True),
        surgery_on=THURSDAY,
        today=date(2026, 3, 18),
        not_before={Step.DISPATCHED: date(2026, 3, 27)},
    )
    assert (found.earliest, found.shortest) == (date(2026, 4, 1), date(2026, 3, 23))
    assert (found.at_risk, found.missed) == (True, False)
