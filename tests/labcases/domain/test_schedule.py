"""Latest dates are worked back from the surgery day, and forward from today, by working days.

The golden dates were counted by hand on a calendar for each surgery day.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from labcases.domain import schedule
from labcases.domain.course import Course, Houses, Standing
from labcases.domain.open_days import Calendar
from labcases.domain.schedule import Latest, latest, plan
from labcases.enums import Route, SetUpOrder, Stage
from labcases.enums.dates import Step

NEW_YEAR = frozenset({date(2025, 12, 25), date(2025, 12, 26), date(2026, 1, 1)})
CONVENTIONAL = Course(Route.CONVENTIONAL)
INTERIM = Course(Route.INTERIM)

# Surgery day and closed days -> latest day of each row on the conventional route.
GOLDEN = {
    "in spring": (
        *(date(2026, 3, 26), frozenset()),
        {
            "primary impression": "2026-02-23",
            "tray": "2026-02-24",
            "sent": "2026-02-27",
            "master cast and rims": "2026-03-02",
            "jaw records": "2026-03-05",
            "mounting": "2026-03-06",
            "set-up": "2026-03-09",
            "try-in": "2026-03-13",
            "anterior teeth": "2026-03-16",
            "final wax": "2026-03-17",
            "processing": "2026-03-18",
            "dispatched": "2026-03-23",
            "received": "2026-03-24",
        },
        ("2026-01-16", "2026-01-02"),
    ),
    "after new year": (
        *(date(2026, 1, 14), NEW_YEAR),
        {
            "primary impression": "2025-12-09",
            "tray": "2025-12-10",
            "sent": "2025-12-15",
            "master cast and rims": "2025-12-16",
            "jaw records": "2025-12-19",
            "mounting": "2025-12-22",
            "set-up": "2025-12-23",
            "try-in": "2025-12-31",
            "anterior teeth": "2026-01-02",
            "final wax": "2026-01-05",
            "processing": "2026-01-06",
            "dispatched": "2026-01-09",
            "received": "2026-01-12",
        },
        ("2025-11-03", "2025-10-20"),
    ),
    "over a leap day": (
        *(date(2028, 3, 9), frozenset()),
        {
            "primary impression": "2028-02-07",
            "tray": "2028-02-08",
            "sent": "2028-02-11",
            "master cast and rims": "2028-02-14",
            "jaw records": "2028-02-17",
            "mounting": "2028-02-18",
            "set-up": "2028-02-21",
            "try-in": "2028-02-25",
            "anterior teeth": "2028-02-28",
            "final wax": "2028-02-29",
            "processing": "2028-03-01",
            "dispatched": "2028-03-06",
            "received": "2028-03-07",
        },
        ("2027-12-31", "2027-12-17"),
    ),
}

INTERIM_ROWS = {
    "sent": "2026-03-02",
    "master cast and rims": "2026-03-04",
    "jaw records": "2026-03-09",
    "mounting": "2026-03-10",
    "set-up": "2026-03-11",
    "anterior teeth": "2026-03-16",
    "final wax": "2026-03-17",
    "processing": "2026-03-18",
    "dispatched": "2026-03-23",
    "received": "2026-03-24",
}


def shut(closed: frozenset[date] = frozenset(), **more) -> Houses:
    """Both houses closed on the same days."""
    return Houses(laboratory=Calendar(closed=closed), office=Calendar(closed=closed), **more)


def words(rows: dict[Step, date]) -> dict[str, str]:
    return {step.value: on.isoformat() for step, on in rows.items()}


@pytest.mark.parametrize("name", GOLDEN)
def test_golden_dates_of_the_conventional_route(name):
    surgery, closed, wanted, (healed, usual) = GOLDEN[name]

    found = latest(CONVENTIONAL, surgery, shut(closed))

    assert words(found) == wanted
    assert list(words(found)) == list(wanted)
    office = Calendar(closed=closed)
    assert schedule.latest_extraction(found[Step.SENT], office).isoformat() == healed
    assert schedule.latest_extraction(found[Step.SENT], office, 56).isoformat() == usual


def test_golden_dates_of_the_interim_route_hold_no_try_in():
    assert words(latest(INTERIM, date(2026, 3, 26))) == INTERIM_ROWS


def test_with_the_front_teeth_first_the_try_in_comes_a_day_later():
    course = Course(Route.CONVENTIONAL, SetUpOrder.ANTERIOR_FIRST)
    found = words(latest(course, date(2026, 3, 26)))

    assert [found[row] for row in ("set-up", "posterior teeth", "try-in", "final wax")] == [
        "2026-03-09",
        "2026-03-10",
        "2026-03-16",
        "2026-03-17",
    ]
    assert "anterior teeth" not in found
    interim = Course(Route.INTERIM, SetUpOrder.ANTERIOR_FIRST)
    found = words(latest(interim, date(2026, 3, 26)))
    assert (found["set-up"], found["posterior teeth"]) == ("2026-03-11", "2026-03-12")


def test_without_a_try_in_nothing_travels_for_it():
    course = Course(Route.CONVENTIONAL, try_in=False)
    found = words(latest(course, date(2026, 3, 26)))

    assert "try-in" not in found
    assert (found["set-up"], found["mounting"]) == ("2026-03-11", "2026-03-10")


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
    assert (schedule.HEALING_DAYS, schedule.HEALING_LEAST_DAYS) == (42, 21)


def test_an_extraction_on_a_closed_day_steps_earlier():
    impression = date(2026, 2, 27)
    office = Calendar(closed=frozenset({date(2026, 1, 16), date(2026, 1, 15)}))

    assert schedule.latest_extraction(impression, office) == date(2026, 1, 14)
    # Six weeks before a Sunday are a Sunday.
    assert schedule.latest_extraction(date(2026, 3, 1), Calendar()) == date(2026, 1, 16)


def test_an_impression_is_eight_weeks_old_at_most():
    assert schedule.earliest_impression(date(2026, 3, 26)) == date(2026, 1, 29)


# --- two calendars -----------------------------------------------------------------------------


def test_each_piece_of_work_counts_the_open_days_of_who_does_it():
    surgery = date(2026, 3, 26)
    # The laboratory is closed on the Friday of the processing, the office on the day of arrival.
    lab = Houses(laboratory=Calendar(closed=frozenset({date(2026, 3, 20)})))
    office = Houses(office=Calendar(closed=frozenset({date(2026, 3, 24)})))

    by_lab, by_office = (
        words(latest(CONVENTIONAL, surgery, lab)),
        words(latest(CONVENTIONAL, surgery, office)),
    )

    assert (by_lab["received"], by_lab["dispatched"]) == ("2026-03-24", "2026-03-23")
    assert by_lab["processing"] == "2026-03-17"
    assert (by_office["received"], by_office["dispatched"]) == ("2026-03-23", "2026-03-20")
    assert by_office["processing"] == "2026-03-17"


def test_an_office_that_opens_two_days_a_week_has_its_rows_on_these():
    office = Calendar(weekdays=frozenset({2, 4}))
    found = latest(CONVENTIONAL, date(2026, 3, 26), Houses(office=office))

    for step in (Step.RECEIVED, Step.TRY_IN, Step.JAW_RECORDS, Step.SENT):
        assert found[step].isoweekday() in (2, 4), step


def test_days_on_the_road_and_own_days_move_what_lies_before_them():
    usual = words(latest(CONVENTIONAL, date(2026, 3, 26)))
    far = words(latest(CONVENTIONAL, date(2026, 3, 26), Houses(road_days=2)))
    slow = words(
        latest(
            CONVENTIONAL,
            date(2026, 3, 26),
            Houses(own={"processing": 5}, office_own={"arrival": 1, "try-in": 1}),
        )
    )

    assert (usual["sent"], far["sent"]) == ("2026-02-27", "2026-02-19")
    assert (slow["received"], slow["processing"], slow["try-in"]) == (
        "2026-03-25",
        "2026-03-17",
        "2026-03-11",
    )


# --- late, and by how much -----------------------------------------------------------------------


def rows_of(stage: Stage, today: date, houses: Houses | None = None, **more) -> list[Latest]:
    return plan(
        course=CONVENTIONAL,
        standing=Standing(stage, **more),
        surgery_on=date(2026, 3, 26),
        today=today,
        houses=houses or Houses(),
    )


def late(stage: Stage, today: date, houses: Houses | None = None, **more) -> dict[str, int]:
    rows = rows_of(stage, today, houses, **more)
    assert schedule.late_by_days(rows) == max(row.late_days for row in rows)
    return {row.step.value: row.late_days for row in rows if row.late}


def test_a_stage_is_not_late_on_its_latest_day_and_one_day_late_the_day_after():
    assert late(Stage.MASTER_CAST, date(2026, 3, 5)) == {}
    assert late(Stage.MASTER_CAST, date(2026, 3, 6)) == {"jaw records": 1}


def test_a_weekend_adds_no_lateness():
    friday, saturday, sunday, monday = (date(2026, 3, 6) + timedelta(days=n) for n in range(4))

    for day in (friday, saturday, sunday):
        assert late(Stage.JAW_RECORDS, day) == {}
    assert late(Stage.JAW_RECORDS, monday) == {"mounting": 1}


def test_a_closed_day_pulls_the_latest_day_forward_and_adds_no_lateness():
    houses = shut(frozenset({date(2026, 3, 9)}))
    monday, tuesday = date(2026, 3, 9), date(2026, 3, 10)

    # Set-up by the Friday before instead of the Monday; the closed Monday itself counts nothing.
    assert late(Stage.MOUNTING, date(2026, 3, 6), houses) == {}
    assert late(Stage.MOUNTING, monday, houses) == {}
    assert late(Stage.MOUNTING, tuesday, houses) == {"set-up": 1}


def test_every_open_row_counts_its_own_lateness():
    assert late(Stage.SET_UP, date(2026, 3, 19)) == {
        "try-in": 4,
        "anterior teeth": 3,
        "final wax": 2,
        "processing": 1,
    }


def test_what_is_reached_is_never_late():
    rows = rows_of(Stage.FINISHING, date(2026, 6, 1))

    assert [row.step for row in rows if not row.reached] == [Step.DISPATCHED, Step.RECEIVED]
    assert [row.late_days for row in rows if row.reached] == [0] * 11
    assert schedule.late_by_days(rows) == 50


def test_a_try_in_that_is_behind_the_case_is_not_late():
    assert late(Stage.SET_UP, date(2026, 3, 16), tried=True) == {}
    assert late(Stage.SET_UP, date(2026, 3, 16)) == {"try-in": 1}


def test_nobody_is_late_for_a_custom_tray():
    assert late(Stage.DRAFT, date(2026, 2, 27)) == {}
    shown = [row.step.value for row in rows_of(Stage.DRAFT, date(2026, 2, 27)) if row.optional]
    assert shown == ["primary impression", "tray"]


def test_while_a_tray_is_made_the_impression_is_still_to_come():
    rows = {row.step.value: row for row in rows_of(Stage.TRAY, date(2026, 3, 2))}
    assert not rows["sent"].reached
    assert rows["sent"].late_days == 1


def test_nothing_is_late_without_rows():
    assert schedule.late_by_days([]) == 0


# --- forward from today ------------------------------------------------------------------------


def test_each_row_says_when_it_can_be_reached_and_what_is_to_spare():
    rows = {row.step.value: row for row in rows_of(Stage.SET_UP, date(2026, 3, 9))}

    # Three days of posterior teeth and one on the road; on the latest day nothing is to spare.
    assert rows["try-in"].expected == date(2026, 3, 13)
    assert {row.slack_days for row in rows.values() if row.expected} == {0}
    late_start = {row.step.value: row for row in rows_of(Stage.SET_UP, date(2026, 3, 11))}
    assert late_start["try-in"].slack_days == -2
    assert late_start["try-in"].short_days == 2


def test_work_that_began_days_ago_is_done_sooner_but_never_before_today():
    begun = rows_of(Stage.SET_UP, date(2026, 3, 10), since=date(2026, 3, 9))
    assert {row.step.value: row.expected for row in begun}["try-in"] == date(2026, 3, 13)
    long_ago = rows_of(Stage.SET_UP, date(2026, 3, 20), since=date(2026, 3, 2))
    assert {row.step.value: row.expected for row in long_ago}["try-in"] == date(2026, 3, 20)


def test_a_draft_begins_today_however_old_it_is():
    rows = rows_of(Stage.DRAFT, date(2026, 2, 27), since=date(2025, 11, 3))
    assert {row.slack_days for row in rows if row.expected} == {0}


def test_a_booked_day_holds_what_comes_after_it():
    found = plan(
        course=CONVENTIONAL,
        standing=Standing(Stage.SET_UP),
        surgery_on=date(2026, 3, 26),
        today=date(2026, 3, 2),
        not_before={Step.TRY_IN: date(2026, 3, 13)},
    )
    told = {row.step.value: row for row in found}

    assert told["try-in"].expected == date(2026, 3, 13)
    assert told["anterior teeth"].expected == date(2026, 3, 16)
    assert told["received"].slack_days == 0


def test_the_plan_says_a_stage_in_the_laboratorys_word():
    rows = rows_of(Stage.DRAFT, date(2026, 1, 5), Houses(names={"processing": "Press and cure"}))
    told = {row.name: row.on for row in rows}
    assert told["Press and cure"] == date(2026, 3, 18)
    assert told["Dispatched"] == date(2026, 3, 23)
