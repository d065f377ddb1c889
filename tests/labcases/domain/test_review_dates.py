"""Days of the reviews, the age of a liner and the span of the reline, by literal dates."""

from datetime import date, timedelta

import pytest

from labcases.domain import review_dates
from labcases.domain.open_days import Calendar

DAY = date(2026, 3, 26)  # a Thursday


def on(*, delivered=DAY, closed=()):
    rows = review_dates.due(delivered_on=delivered, today=delivered, closed=closed)
    return [row.on.isoformat() for row in rows]


def test_the_worked_example_of_a_thursday():
    assert on() == [
        "2026-03-27",
        "2026-03-30",  # day 3 is a Sunday; the Monday is day 4, still on time
        "2026-04-02",
        "2026-04-09",
        "2026-04-27",  # day 30 is a Saturday
        "2026-06-24",
        "2026-09-22",
        "2027-03-26",
    ]


def test_the_first_check_is_a_calendar_day_and_says_when_the_office_is_closed():
    friday = date(2026, 3, 27)
    rows = review_dates.due(delivered_on=friday, today=friday)
    assert (rows[0].on, rows[0].closed) == (date(2026, 3, 28), True)
    saturdays = Calendar(weekdays=frozenset(range(1, 7)))
    assert not review_dates.due(delivered_on=friday, today=friday, closed=saturdays)[0].closed
    eve = date(2026, 12, 24)
    shut = [date(2026, 12, 25)]
    assert review_dates.due(delivered_on=eve, today=eve, closed=shut)[0].closed


def test_where_no_later_day_is_on_time_the_last_open_one_before_is_taken():
    # A Wednesday: day 3 is a Saturday and Monday would be day 5.
    assert on(delivered=date(2026, 3, 25))[1] == "2026-03-27"


def test_where_no_open_day_is_on_time_the_day_stays_and_says_so():
    shut = [DAY + timedelta(days=n) for n in range(2, 5)]
    row = review_dates.due(delivered_on=DAY, today=DAY, closed=shut)[1]
    assert (row.on, row.closed) == (date(2026, 3, 29), True)


@pytest.mark.parametrize(
    ("days", "held", "states"),
    [
        (0, (), "ahead ahead ahead ahead"),
        (1, (), "due ahead ahead ahead"),
        (2, (), "late ahead ahead ahead"),
        (2, ("first",), "done ahead ahead ahead"),
        (5, ("first",), "done late ahead ahead"),
        (7, ("first",), "done late due ahead"),
        (8, ("first", "week"), "done missed done ahead"),
        (9, ("week",), "missed missed done ahead"),
        (19, ("week",), "missed missed done late"),
    ],
)
def test_how_each_review_stands(days, held, states):
    rows = review_dates.due(delivered_on=DAY, today=DAY + timedelta(days=days), held=held)
    assert " ".join(row.state for row in rows[:4]) == states


@pytest.mark.parametrize(
    ("days", "held", "key"),
    [
        (0, (), "first"),
        (1, (), "first"),
        (10, (), "week"),
        (10, ("week",), "fortnight"),
        (400, ("year",), None),
    ],
)
def test_of_several_reviews_that_nobody_recorded_the_last_is_next(days, held, key):
    rows = review_dates.due(delivered_on=DAY, today=DAY + timedelta(days=days), held=held)
    found = review_dates.next_due(rows)
    assert (found.review.key if found else None) == key


@pytest.mark.parametrize(
    ("kind", "days", "state"),
    [
        ("tissue conditioner", 3, "good"),
        ("tissue conditioner", 4, "to be changed"),
        ("tissue conditioner", 7, "to be changed"),
        ("tissue conditioner", 8, "over"),
        ("soft liner", 27, "good"),
        ("soft liner", 28, "to be changed"),
        ("soft liner", 90, "to be changed"),
        ("soft liner", 91, "over"),
    ],
)
def test_a_liner_runs_out_by_its_kind(kind, days, state):
    found = review_dates.liner_age(kind, DAY, DAY + timedelta(days=days))
    assert (found.state, found.days) == (state, days)


def test_where_nothing_was_placed_nothing_runs_out():
    assert review_dates.liner_age("none", DAY, DAY) is None


def test_the_reline_is_a_span_with_the_word_of_each_source():
    window = review_dates.reline_window(DAY)
    assert (window.first, window.last) == (date(2026, 5, 7), date(2027, 3, 26))
    assert (window.rows[0].first, window.rows[0].last) == (date(2026, 5, 7), date(2026, 5, 21))
    assert len(window.rows) == 7


def test_a_review_that_is_not_needed_is_due_on_no_day_and_ends_what_came_before():
    delivered = date(2026, 3, 26)

    def states(days: int, *held: str) -> list[str]:
        rows = review_dates.due(
            delivered_on=delivered,
            today=delivered + timedelta(days=days),
            held=held,
            not_needed=["reline"],
        )
        return [row.state for row in rows[4:]]

    assert states(60) == ["late", "not needed", "ahead", "ahead"]
    assert states(100) == ["missed", "not needed", "ahead", "ahead"]
    assert states(100, "reline") == ["missed", "done", "ahead", "ahead"]
    assert states(300) == ["missed", "not needed", "late", "ahead"]


def test_a_later_delivery_has_no_earlier_review():
    for n in range(60):
        first, second = (on(delivered=DAY + timedelta(days=n + m)) for m in (0, 1))
        # Day 2 to 4 may slide back to a Friday; every other review follows its delivery.
        assert all(a <= b for k, (a, b) in enumerate(zip(first, second, strict=True)) if k != 1)
