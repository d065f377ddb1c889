"""Working days are counted by the days on which a house is open; numpy counts them again."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labcases.domain.open_days import ahead, back, is_working_day, working_days_between

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
