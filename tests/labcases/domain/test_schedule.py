"""Latest dates are worked back from the surgery day, by working days.

The golden dates were counted by hand on a calendar for each surgery day.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labcases.domain import schedule
from labcases.domain.schedule import Latest, plan
from labcases.enums import Route, Stage

NEW_YEAR = (date(2025, 12, 25), date(2025, 12, 26), date(2026, 1, 1))

# Surgery day and closed days -> latest day of entering each stage on the conventional route.
GOLDEN = {
    "in spring": (
        *(date(2026, 3, 26), ()),
        {
            "sent": "2026-02-27",
            "master cast and rims": "2026-03-02",
            "jaw records": "2026-03-05",
            "mounting": "2026-03-06",
            "set-up": "2026-03-09",
            "try-in": "2026-03-13",
            "final wax": "2026-03-17",
            "processing": "2026-03-18",
            "dispatched": "2026-03-23",
            "received": "2026-03-24",
        },
    ),
    "after new year": (
        *(date(2026, 1, 14), NEW_YEAR),
        {
            "sent": "2025-12-15",
            "master cast and rims": "2025-12-16",
            "jaw records": "2025-12-19",
            "mounting": "2025-12-22",
            "set-up": "2025-12-23",
            "try-in": "2025-12-31",
            "final wax": "2026-01-05",
            "processing": "2026-01-06",
            "dispatched": "2026-01-09",
            "received": "2026-01-12",
        },
    ),
    "over a leap day": (
        *(date(2028, 3, 9), ()),
        {
            "sent": "2028-02-11",
            "master cast and rims": "2028-02-14",
            "jaw records": "2028-02-17",
            "mounting": "2028-02-18",
            "set-up": "2028-02-21",
            "try-in": "2028-02-25",
            "final wax": "2028-02-29",
            "processing": "2028-03-01",
            "dispatched": "2028-03-06",
            "received": "2028-03-07",
        },
    ),
}

INTERIM = {
    "sent": "2026-03-02",
    "master cast and rims": "2026-03-04",
    "jaw records": "2026-03-09",
    "mounting": "2026-03-10",
    "set-up": "2026-03-11",
    "final wax": "2026-03-17",
    "processing": "2026-03-18",
    "dispatched": "2026-03-23",
    "received": "2026-03-24",
}


def dates(rows: list[Latest]) -> dict[str, str]:
    return {row.stage.value: row.on.isoformat() for row in rows}


@pytest.mark.parametrize("name", GOLDEN)
def test_golden_dates_of_the_conventional_route(name):
    surgery, closed, wanted = GOLDEN[name]

    rows = plan(
        route=Route.CONVENTIONAL,
        surgery_on=surgery,
        stage=Stage.DRAFT,
        today=surgery - timedelta(days=60),
        closed=closed,
    )

    assert dates(rows) == wanted
    assert list(dates(rows)) == list(wanted)


def test_golden_dates_of_the_interim_route_hold_no_try_in():
    rows = plan(
        route=Route.INTERIM,
        surgery_on=date(2026, 3, 26),
        stage=Stage.DRAFT,
        today=date(2026, 1, 5),
    )

    assert dates(rows) == INTERIM


@pytest.mark.parametrize(
    ("first_extraction", "records"),
    [
        (date(2026, 1, 16), date(2026, 2, 27)),
        (date(2025, 11, 3), date(2025, 12, 15)),
        (date(2027, 12, 31), date(2028, 2, 11)),
    ],
)
def test_healing_is_six_weeks_of_calendar_days(first_extraction, records):
    assert schedule.earliest_records(first_extraction) == records
    assert schedule.HEALING_DAYS == 42


def test_offsets_run_strictly_down_to_the_surgery_day():
    for route in Route:
        offsets = [
            schedule.LATEST[route][stage] for stage in Stage if stage in schedule.LATEST[route]
        ]
        assert offsets == sorted(set(offsets), reverse=True)
        assert offsets[-1] > 0


# --- late, and by how much -----------------------------------------------------------------------


def late(stage: Stage, today: date, **more) -> dict[str, int]:
    rows = plan(
        route=Route.CONVENTIONAL,
        surgery_on=date(2026, 3, 26),
        stage=stage,
        today=today,
        **more,
    )
    assert schedule.late_by_days(rows) == max(row.late_days for row in rows)
    return {row.stage.value: row.late_days for row in rows if row.late}


def test_a_stage_is_not_late_on_its_latest_day_and_one_day_late_the_day_after():
    assert late(Stage.MASTER_CAST, date(2026, 3, 5)) == {}
    assert late(Stage.MASTER_CAST, date(2026, 3, 6)) == {"jaw records": 1}


def test_a_weekend_adds_no_lateness():
    friday, saturday, sunday, monday = (date(2026, 3, 6) + timedelta(days=n) for n in range(4))

    for day in (friday, saturday, sunday):
        assert late(Stage.JAW_RECORDS, day) == {}
    assert late(Stage.JAW_RECORDS, monday) == {"mounting": 1}


def test_a_closed_day_pulls_the_latest_day_forward_and_adds_no_lateness():
    closed = (date(2026, 3, 9),)
    monday, tuesday = date(2026, 3, 9), date(2026, 3, 10)

    # Set-up by the Friday before instead of the Monday; the closed Monday itself counts nothing.
    assert late(Stage.MOUNTING, date(2026, 3, 6), closed=closed) == {}
    assert late(Stage.MOUNTING, monday, closed=closed) == {}
    assert late(Stage.MOUNTING, tuesday, closed=closed) == {"set-up": 1}


def test_every_open_stage_counts_its_own_lateness():
    assert late(Stage.SET_UP, date(2026, 3, 19)) == {
        "try-in": 4,
        "final wax": 2,
        "processing": 1,
    }


def test_what_is_reached_is_never_late():
    rows = plan(
        route=Route.CONVENTIONAL,
        surgery_on=date(2026, 3, 26),
        stage=Stage.FINISHING,
        today=date(2026, 6, 1),
    )

    assert [row.stage for row in rows if not row.reached] == [Stage.DISPATCHED, Stage.RECEIVED]
    assert [row.late_days for row in rows if row.reached] == [0] * 8
    assert schedule.late_by_days(rows) == 50


def test_a_try_in_that_is_behind_the_case_is_not_late():
    assert late(Stage.SET_UP, date(2026, 3, 16), past=(Stage.TRY_IN,)) == {}
    assert late(Stage.SET_UP, date(2026, 3, 16)) == {"try-in": 1}


def test_nothing_is_late_without_rows():
    assert schedule.late_by_days([]) == 0


# --- properties --------------------------------------------------------------------------------

days = st.dates(date(2024, 1, 1), date(2036, 12, 31))


offsets = st.frozensets(st.integers(0, 40), max_size=15)


@given(
    surgery=days,
    off=offsets,
    today=days,
    stage=st.sampled_from(Stage),
    route=st.sampled_from(Route),
)
def test_dates_of_a_plan_run_in_the_order_of_the_stages(surgery, off, today, stage, route):
    rows = plan(
        route=route,
        surgery_on=surgery,
        stage=stage,
        today=today,
        closed=frozenset(surgery - timedelta(days=n) for n in off),
    )

    assert [row.on for row in rows] == sorted({row.on for row in rows})
    assert all(row.on < surgery for row in rows)
    assert all(row.late_days == 0 for row in rows if row.reached or row.on >= today)


# --- a laboratory's own days ---------------------------------------------------------------------


def test_the_days_of_the_stages_add_up_to_the_table():
    assert list(schedule.steps(Route.CONVENTIONAL).values()) == [1, 3, 1, 1, 4, 2, 1, 3, 1, 2]
    assert list(schedule.steps(Route.INTERIM).values()) == [2, 3, 1, 1, 4, 1, 3, 1, 2]
    for route in Route:
        assert schedule.latest(route) == schedule.LATEST[route]
        assert schedule.latest(route, {"accepted": 9}) == schedule.LATEST[route]


def test_two_days_more_for_processing_move_everything_before_it():
    own = schedule.latest(Route.CONVENTIONAL, {"processing": 5})
    assert list(own.values()) == [21, 20, 17, 16, 15, 11, 9, 8, 3, 2]
    # A day on the road back less counts for what is sent as well.
    assert schedule.latest(Route.INTERIM, {"set-up": 2, "processing": 4})[Stage.SENT] == 17


def test_days_lost_and_the_earliest_day_follow_a_laboratorys_own_days():
    own = {"set-up": 6}
    told = {"route": Route.CONVENTIONAL, "at": Stage.TRY_IN, "to": Stage.SET_UP}
    assert schedule.lost_days(**told) == 4
    assert schedule.lost_days(**told, own=own) == 6
    assert schedule.earliest_surgery(
        route=Route.CONVENTIONAL, stage=Stage.RECEIVED, today=date(2026, 3, 24), own={"received": 1}
    ) == date(2026, 3, 25)


def test_the_plan_says_a_stage_in_the_laboratorys_word():
    rows = schedule.plan(
        route=Route.CONVENTIONAL,
        surgery_on=date(2026, 3, 26),
        stage=Stage.DRAFT,
        today=date(2026, 1, 5),
        own={"processing": 4},
        names={"processing": "Press and cure"},
    )
    told = {row.name: row.on for row in rows}
    assert told["Press and cure"] == date(2026, 3, 17)
    assert told["Dispatched"] == date(2026, 3, 23)
