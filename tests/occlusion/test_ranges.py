"""Hard and usual limits: what passes, what warns, what is refused."""

import dataclasses

import pytest

from occlusion.ranges import LIMITS, _limits, warnings_for
from occlusion.sources import SOURCES
from tests.occlusion.bench import settings_of, symmetric


def codes(bench):
    return [warning.code for warning in warnings_for(settings_of(bench))]


def test_the_teaching_setting_passes_without_a_warning():
    # 20 deg condylar and incisal, 15 deg Bennett, pin opened 0.5 mm.
    bench = symmetric(20, 20, bennett=15, wing=20, opening=0.5, table_on="lower")

    assert codes(bench) == []


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"inclination_right": 61}, ["condylar_inclination_right_unusual", "sides_differ"]),
        ({"inclination_left": 9.9}, ["condylar_inclination_left_unusual", "sides_differ"]),
        ({"inclination_left": 30}, []),
        ({"inclination_left": 30.1}, ["sides_differ"]),
        ({"bennett_left": 26}, ["bennett_left_unusual"]),
        ({"shift_right": 1.5}, []),
        ({"shift_right": 1.6}, ["immediate_side_shift_right_unusual"]),
        ({"opening": 6.0}, []),
        ({"opening": 6.1}, ["pin_opening_unusual"]),
    ],
)
def test_what_is_unusual_warns_and_no_more(change, expected):
    bench = dataclasses.replace(symmetric(20, 20, bennett=15, wing=20), **change)

    assert codes(bench) == expected


def test_a_warning_says_what_is_usual_and_where_that_comes_from():
    (warning,) = warnings_for(settings_of(symmetric(20, 20, bennett=15, opening=7.0)))

    assert warning.text == ("Pin opening is 7 mm; usual is -1 to 6 mm. Confirm it with the record.")
    assert warning.source.startswith("Dentistry Journal 2022")


@pytest.mark.parametrize("limit", LIMITS.values(), ids=LIMITS)
def test_usual_lies_within_hard_and_every_limit_names_a_source(limit):
    assert limit.hard_low <= limit.usual_low < limit.usual_high <= limit.hard_high
    assert limit.source in SOURCES


def test_no_limit_can_be_given_twice():
    limit = LIMITS["travel_mm"]

    with pytest.raises(ValueError, match=r"given twice: \['travel_mm'\]"):
        _limits(limit, LIMITS["blend"], dataclasses.replace(limit, hard_high=20))
