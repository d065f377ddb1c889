"""How likely a case is to be in time: counted out, drawn, and held against every sum by hand."""

from __future__ import annotations

from itertools import product
from math import prod

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labcases.domain import chance
from labcases.enums import Stage

#: One stage of five finished cases; four of the five are done within five days.
ONE_STAGE = [3, 4, 4, 5, 9]

stages_of_days = st.lists(
    st.lists(st.integers(0, 9), min_size=1, max_size=5), min_size=1, max_size=4
)


def every_sum(stages: list[list[int]], days_left: int) -> float:
    """Second opinion: each way to take a duration of each stage, one by one."""
    ways = list(product(*stages))
    assert len(ways) == prod(map(len, stages))
    return sum(sum(way) <= days_left for way in ways) / len(ways)


def test_the_second_opinion_on_literals():
    assert every_sum([ONE_STAGE], 5) == 0.8
    assert every_sum([[1, 2], [1, 3]], 3) == 0.5


@pytest.mark.parametrize(("left", "share"), [(2, 0.0), (3, 0.2), (4, 0.6), (5, 0.8), (9, 1.0)])
def test_one_stage_of_five_cases(left, share):
    assert chance.exact([ONE_STAGE], left) == share
    assert chance.in_time({Stage.SET_UP: ONE_STAGE}, left, least=5).share == share
    assert chance.drawn([ONE_STAGE], left) == pytest.approx(share, abs=0.02)


def test_two_stages_add_up():
    """Sums 2, 3, 4 and 5, each by one way of four."""
    assert chance.exact([[1, 2], [1, 3]], 4) == 0.75


@given(stages_of_days, st.integers(-1, 40))
def test_what_is_counted_out_is_what_every_sum_says(stages, left):
    assert chance.exact(stages, left) == every_sum(stages, left)


@given(stages_of_days, st.integers(-1, 40))
def test_another_day_never_lowers_it_and_another_stage_never_raises_it(stages, left):
    here = chance.exact(stages, left)
    assert chance.exact(stages, left + 1) >= here
    assert chance.exact([*stages, [0, 2]], left) <= here
    assert chance.exact(stages[::-1], left) == here


@pytest.mark.parametrize("left", [9, 12, 14, 16, 20, 27])
def test_draws_come_within_two_hundredths_and_are_the_same_each_time(left):
    stages = [ONE_STAGE, [1, 2, 2, 3, 8], [2, 2, 4, 6, 6]]
    share = chance.drawn(stages, left)
    assert share == pytest.approx(chance.exact(stages, left), abs=0.02)
    assert share == chance.drawn(stages, left)


def test_what_would_take_too_many_additions_is_drawn():
    wide = [[n * 997**k for n in range(60)] for k in range(3)]
    assert chance.exact(wide, 10**6) is None
    found = chance.in_time(dict(zip(Stage, wide, strict=False)), 30 * 997**2)
    assert found.share == pytest.approx(0.5, abs=0.02)
    assert found.cases == 60


def test_under_twenty_cases_of_any_stage_nothing_is_said():
    found = chance.in_time({Stage.SET_UP: [4] * 34, Stage.PROCESSING: [3] * 12}, 30)
    assert (found.share, found.enough, found.cases) == (None, False, 12)
    assert chance.in_time({Stage.SET_UP: [4] * 19}, 30).share is None
    assert chance.in_time({Stage.SET_UP: [4] * 20}, 4).share == 1.0
    assert not chance.in_time({}, 5).enough


def test_days_that_a_case_has_stood_are_taken_off_those_that_stood_as_long():
    assert chance.still_to_go(ONE_STAGE, 0) == ONE_STAGE
    assert chance.still_to_go(ONE_STAGE, 4) == [0, 0, 1, 5]
    assert chance.still_to_go(ONE_STAGE, 10) == []


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.8, "about 80 %"),
        (1.0, "more than 99 %"),
        (0.0, "less than 1 %"),
        (0.01, "about 1 %"),
        (None, ""),
    ],
)
def test_a_share_is_told_in_percent_and_never_as_certain(share, words):
    assert chance.Chance(share, 34).percent_words == words
