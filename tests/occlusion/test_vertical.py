"""Vertical dimension and processing; published figures and bands stand in the fixtures."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from mpmath import mp

from occlusion import vertical
from occlusion.errors import NotANumber, OutOfRange


def test_freeway_space_is_rest_less_occlusion_without_round_off():
    # 68.3 - 64.3 is 4.000000000000000 and a bit in floating point, and 4 is still usual.
    found = vertical.freeway_space(resting_vertical_mm=68.3, occlusal_vertical_mm=64.3)

    assert (found.value_mm, found.band, found.alarm) == (4.0, "usual", False)
    assert found.text == (
        "Freeway space 4 mm. 2 to 4 mm is usual. The dentist decides on the vertical."
    )


def test_outside_of_the_observed_range_the_source_is_that_of_the_range():
    wide = vertical.freeway_space(resting_vertical_mm=70, occlusal_vertical_mm=65)
    outside = vertical.freeway_space(resting_vertical_mm=72, occlusal_vertical_mm=65)

    assert (wide.alarm, wide.source.startswith("Freeway space of 2 to 4 mm")) == (True, True)
    assert outside.source.startswith("Aradya")
    assert outside.text.startswith("Freeway space 7 mm. 7 mm or more was not seen")


def test_the_closest_speaking_space_is_stored_as_measured_and_alarms_only_when_large():
    assert vertical.closest_speaking_space(measured_mm=3.5).alarm is False
    assert vertical.closest_speaking_space(measured_mm=0.2).alarm is False
    large = vertical.closest_speaking_space(measured_mm=3.6)
    assert (large.value_mm, large.alarm) == (3.6, True)
    assert large.text == (
        "Closest speaking space 3.6 mm, more than was measured in people: confirm it."
    )
    with pytest.raises(OutOfRange, match="Enter 0 to 15 mm"):
        vertical.closest_speaking_space(measured_mm=-1)


@pytest.mark.parametrize(
    ("rise", "cause", "proposes"),
    [
        (0.0, "", False),
        (0.4, "", True),
        (1.0, "", True),
        (1.01, "", False),
        (1.01, "  ", False),
        (1.01, "flask opened", True),
        (-0.3, "flask opened", False),
    ],
)
def test_above_1_mm_no_reduction_is_proposed_before_a_cause_is_recorded(rise, cause, proposes):
    found = vertical.processing_rise(pin_rise_mm=rise, cause=cause)

    assert found.propose_reduction is proposes
    assert found.text.endswith(
        "The pin alone does not tell where the teeth meet: find the place with foil before "
        "anything is reduced."
    )


def test_the_sentence_of_a_rise_says_what_comes_first():
    asked = vertical.processing_rise(pin_rise_mm=1.2)
    told = vertical.processing_rise(pin_rise_mm=1.2, cause="Flask opened. ")

    assert asked.text.startswith(
        "Pin rise 1.2 mm. More than 1 mm: find the cause, record it and mount again; until then "
        "no reduction is proposed."
    )
    assert told.text.startswith("Pin rise 1.2 mm. Cause recorded: Flask opened. Mount again first.")
    assert asked.sources[0] == "common practice, no source"
    assert asked.sources[1].startswith("Wesley")


@given(st.floats(0.0, 30.0))
def test_linear_shrinkage_is_the_cube_root_to_many_digits(volume):
    with mp.workdps(40):
        exact = 100 * (1 - mp.cbrt(1 - mp.mpf(volume) / 100))
    found = vertical.linear_shrinkage_pct(volume_pct=volume)

    assert found == pytest.approx(float(exact), rel=1e-14, abs=1e-30)
    assert (1 - found / 100) ** 3 == pytest.approx(1 - volume / 100, rel=1e-12)
    assert found >= volume / 3.0 * (1 - 1e-14)


@given(st.floats(0.0, 60.0), st.floats(0.0, 5.0), st.floats(0.5, 2.0))
def test_shrinkage_grows_with_the_width_in_proportion(width, percent, k):
    one = vertical.shrinkage_over_mm(width_mm=width, linear_pct=percent)
    other = vertical.shrinkage_over_mm(width_mm=k * width, linear_pct=percent)

    assert other == pytest.approx(k * one, abs=1e-12)


def test_a_finished_denture_of_50_mm_loses_a_fifth_to_a_third_of_a_millimetre():
    assert vertical.shrinkage_seen_mm(width_mm=50) == pytest.approx((0.21, 0.29))


def test_growth_after_processing_is_told_from_least_to_greatest_mean():
    found = vertical.growth_after_processing_mm(occlusal_vertical_mm=65)

    assert found == pytest.approx((1.248, 1.898))


def test_foil_and_marks_look_at_the_same_gap_with_their_own_limits():
    assert vertical.foil_holds(gap_mm=-0.2) == "holds"
    assert vertical.mark_of(gap_mm=0.1 + 0.2 - 0.3 + 0.01) == "contact"  # round-off of 5e-17
    assert vertical.mark_of(gap_mm=0.05, in_wax=True) == "contact"
    assert vertical.mark_of(gap_mm=0.05) == "none predicted"


@pytest.mark.parametrize(("height", "noticed"), [(0.0, False), (0.014, False), (0.0142, True)])
def test_natural_teeth_notice_from_their_threshold_on(height, noticed):
    assert vertical.likely_noticed(height_mm=height) is noticed


@pytest.mark.parametrize(
    ("value", "shown"),
    [(0.0, 0.0), (0.02, 0.0), (0.03, 0.05), (0.12, 0.1), (-0.13, -0.15), (1.0, 1.0)],
)
def test_gaps_are_shown_in_steps_of_a_twentieth_and_no_finer(value, shown):
    assert vertical.shown_mm(value) == shown
    assert math.copysign(1.0, vertical.shown_mm(0.0)) == 1.0


def test_what_is_no_number_or_no_face_is_refused():
    with pytest.raises(NotANumber):
        vertical.shown_mm(float("nan"))
    with pytest.raises(OutOfRange, match=r"Vertical at rest is 6\.8 mm"):
        vertical.freeway_space(resting_vertical_mm=6.8, occlusal_vertical_mm=64)
    with pytest.raises(OutOfRange, match="Shrinkage by volume is 31 %"):
        vertical.linear_shrinkage_pct(volume_pct=31)
    with pytest.raises(OutOfRange, match="Pin rise is 11 mm"):
        vertical.processing_rise(pin_rise_mm=11)
