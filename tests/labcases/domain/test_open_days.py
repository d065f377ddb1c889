"""Working days are counted by the days on which a house is open; numpy counts them again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labcases.domain.open_days import (
    Calendar,
    ahead,
    back,
    both,
    is_working_day,
    whole_days_between,
    working_days_between,
)
from labcases.reference import holidays

days = st.dates(date(2024, 1, 1), date(2036, 12, 31))


def near_closed(day: date, offsets: frozenset[int]) -> frozenset[date]:
    """Closed days that matter: the ones shortly before a day."""
    return frozenset(day - timedelta(days=n) for n in offsets)


offsets = st.frozensets(st.integers(0, 40), max_size=15)


@given(surgery=days, later=st.integers(0, 60), n=st.integers(0, 30), off=offsets)
def test_a_later_surgery_never_gives_an_earlier_date(surgery, later, n, off):
    closed = near_closed(surgery, off)

    assert back(surgery + timedelta(days=later), n, closed) >= back(surgery, n, closed)


@given(surgery=days, n=st.integers(0, 30), off=offsets, more=st.integers(0, 60))
def test_one_more_closed_day_never_gives_a_later_date(surgery, n, off, more):
    closed = near_closed(surgery, off)

    assert back(surgery, n, closed | {surgery - timedelta(days=more)}) <= back(surgery, n, closed)


@given(surgery=days.filter(lambda day: day.weekday() < 5), weeks=st.integers(0, 20))
def test_five_working_days_are_a_week_where_nothing_is_closed(surgery, weeks):
    assert back(surgery, 5 * weeks) == surgery - timedelta(days=7 * weeks)


@given(surgery=days, off=offsets, n=st.integers(1, 30))
def test_a_latest_day_is_a_working_day_that_many_steps_before(surgery, off, n):
    closed = near_closed(surgery, off)
    found = back(surgery, n, closed)

    assert is_working_day(found, closed)
    assert back(surgery, n - 1, closed) > found


@given(surgery=days, off=offsets, n=st.integers(1, 30))
def test_numpy_counts_the_same_days_back(surgery, off, n):
    closed = near_closed(surgery, off)
    second = np.busday_offset(surgery, -n, roll="forward", holidays=sorted(closed))

    assert back(surgery, n, closed) == second.astype(date)


@given(start=days, span=st.integers(-60, 60), off=offsets)
def test_numpy_counts_the_same_days_between(start, span, off):
    end = start + timedelta(days=span)
    closed = near_closed(start + timedelta(days=20), off)
    low, high = sorted((start, end))
    one = timedelta(days=1)
    counted = int(np.busday_count(low + one, high + one, holidays=sorted(closed)))

    assert working_days_between(start, end, closed) == (counted if span >= 0 else -counted)


@pytest.mark.parametrize(
    ("start", "working_days", "closed", "end"),
    [
        (date(2026, 11, 26), 1, (), date(2026, 11, 27)),
        (date(2026, 11, 27), 1, (), date(2026, 11, 30)),
        (date(2026, 11, 28), 1, (), date(2026, 11, 30)),
        (date(2026, 11, 27), 1, (date(2026, 11, 30),), date(2026, 12, 1)),
        (date(2026, 11, 26), 0, (), date(2026, 11, 26)),
    ],
)
def test_days_ahead_leave_out_week_ends_and_closed_days(start, working_days, closed, end):
    assert ahead(start, working_days, closed) == end


# --- holidays and half days ----------------------------------------------------------------------


def test_a_house_is_closed_on_its_holidays_but_for_those_it_works_on():
    ascension, friday = date(2026, 5, 14), date(2026, 5, 15)
    house = Calendar(region="fr")

    assert [house.is_open(day) for day in (ascension, friday)] == [False, True]
    assert Calendar(region="fr", opened=frozenset({ascension})).is_open(ascension)
    half = Calendar(region="fr", half=frozenset({ascension}))
    assert (half.is_open(ascension), half.is_half(ascension)) == (True, True)
    # What somebody closed stays closed.
    shut = Calendar(region="fr", opened=frozenset({ascension}), closed=frozenset({ascension}))
    assert not shut.is_open(ascension)
    assert house.holiday(ascension) == "Ascension Day"


FRIDAYS = Calendar(half_weekdays=frozenset({5}))
THURSDAY = date(2026, 3, 26)


@pytest.mark.parametrize(
    ("working_days", "before", "after"),
    [
        # Friday is half a day: with Monday it makes more than one.
        (1, date(2026, 3, 25), date(2026, 3, 30)),
        (2, date(2026, 3, 24), date(2026, 3, 31)),
        # Four whole days and a half one go before; the second Friday makes five.
        (4, date(2026, 3, 19), date(2026, 4, 2)),
        (5, date(2026, 3, 18), date(2026, 4, 3)),
        (9, date(2026, 3, 12), date(2026, 4, 9)),
    ],
)
def test_two_half_days_make_a_working_day(working_days, before, after):
    assert back(THURSDAY, working_days, FRIDAYS) == before
    assert ahead(THURSDAY, working_days, FRIDAYS) == after


def test_half_a_day_over_is_late_and_is_no_time_left():
    friday, monday = date(2026, 3, 27), date(2026, 3, 30)

    assert working_days_between(THURSDAY, friday, FRIDAYS) == 1
    assert whole_days_between(THURSDAY, friday, FRIDAYS) == 0
    assert working_days_between(THURSDAY, monday, FRIDAYS) == 2
    assert whole_days_between(THURSDAY, monday, FRIDAYS) == 1
    assert working_days_between(friday, THURSDAY, FRIDAYS) == -1
    assert whole_days_between(friday, THURSDAY, FRIDAYS) == -1
    assert working_days_between(THURSDAY, friday, FRIDAYS.whole()) == 1


def test_a_box_counts_a_half_day_for_a_whole_one_and_needs_both_houses_open():
    road = both(FRIDAYS, Calendar(region="gb-eng"))
    maundy, good_friday, tuesday = date(2026, 4, 2), date(2026, 4, 3), date(2026, 4, 7)

    assert ahead(THURSDAY, 1, road) == date(2026, 3, 27)
    assert not road.is_open(good_friday)
    assert ahead(maundy, 1, road) == tuesday
    # Whichever of the two keeps the holidays, and whichever works on one.
    assert ahead(maundy, 1, both(Calendar(region="gb-eng"), FRIDAYS)) == tuesday
    works = Calendar(region="gb-eng", opened=frozenset({good_friday}))
    assert ahead(maundy, 1, both(works, FRIDAYS)) == good_friday
    assert ahead(maundy, 1, both(works, Calendar(region="de-by"))) == tuesday


calendars = st.builds(
    Calendar,
    weekdays=st.frozensets(st.integers(1, 7), min_size=1),
    closed=st.frozensets(st.dates(date(2026, 1, 1), date(2026, 12, 31)), max_size=30),
    region=st.sampled_from(["", *holidays.regions()]),
    half_weekdays=st.frozensets(st.integers(1, 7), max_size=3),
    half=st.frozensets(st.dates(date(2026, 1, 1), date(2026, 12, 31)), max_size=10),
)
of_2026 = st.dates(date(2026, 1, 1), date(2026, 12, 31))


def by_numpy(calendar: Calendar) -> dict[str, object]:
    """The same calendar for numpy, with the holidays of the years around."""
    every = [day for year in range(2024, 2030) for day in holidays.days_of(calendar.region, year)]
    return {
        "weekmask": [number in calendar.weekdays for number in range(1, 8)],
        "holidays": sorted({*every, *calendar.closed}),
    }


@given(day=of_2026, n=st.integers(1, 30), calendar=calendars)
def test_numpy_counts_the_same_over_any_calendar_of_whole_days(day, n, calendar):
    whole = replace(calendar, half=frozenset(), half_weekdays=frozenset())
    told = by_numpy(whole)

    assert back(day, n, whole) == np.busday_offset(day, -n, roll="forward", **told).astype(date)
    assert ahead(day, n, whole) == np.busday_offset(day, n, roll="backward", **told).astype(date)
    end = day + timedelta(days=n)
    one = timedelta(days=1)
    counted = int(np.busday_count(day + one, end + one, **told))
    assert working_days_between(day, end, whole) == whole_days_between(day, end, whole) == counted


@given(day=of_2026, n=st.integers(1, 20), calendar=calendars)
def test_half_days_add_up_to_the_days_that_are_stepped(day, n, calendar):
    """A second count: numpy adds the halves of every day of two years up."""
    end = ahead(day, n, calendar)
    every = [day + timedelta(days=number) for number in range(1, (end - day).days + 1)]
    halves = np.array([2 * calendar.is_open(one) - calendar.is_half(one) for one in every])
    sums = np.cumsum(halves)

    assert sums[-1] in (2 * n, 2 * n + 1)
    assert len(sums) == 1 or sums[-2] < 2 * n
    assert whole_days_between(day, end, calendar) == n
    assert working_days_between(day, end, calendar) in (n, n + 1)
    assert calendar.is_open(end)


@given(surgery=of_2026, n=st.integers(0, 30), more=st.integers(0, 60), calendar=calendars)
def test_a_new_holiday_or_half_day_never_makes_a_latest_date_later(surgery, n, more, calendar):
    day = surgery - timedelta(days=more)
    shut = replace(calendar, closed=calendar.closed | {day})
    latest = back(surgery, n, calendar)

    assert back(surgery, n, shut) <= latest
    if not calendar.holiday(day):
        assert back(surgery, n, replace(calendar, half=calendar.half | {day})) <= latest
    assert back(surgery, n, calendar) <= back(surgery, n, replace(calendar, region=""))
