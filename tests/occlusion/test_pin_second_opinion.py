"""The second opinion on the pin first against literals, then the engine against it."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion import pin, readings
from tests.occlusion import pin_second_opinion as second
from tests.occlusion import strategies as some
from tests.occlusion.bench import settings_of
from tests.occlusion.second_opinion import Bench

EXACT = 1e-10
FEW = settings(max_examples=25, deadline=None)
slopes = st.floats(0.0, 40.0)
benches = st.sampled_from(["table lowered", "upper pin", "lower pin"])


# Proven on literals


def test_a_point_at_the_height_of_the_axis_turns_by_an_arcsine():
    # (50, 0) lowered by 5: asin(1/10).
    angle = second.opened((50, 0), 5)

    assert float(angle) == pytest.approx(math.asin(0.1), abs=1e-15)
    down, back = second.movement((50, 0), angle)
    assert (float(down), float(back)) == pytest.approx((5, 50 - math.sqrt(50**2 - 5**2)))


def test_a_tip_and_a_rim_of_the_same_triangle():
    # An upper tip at (24, -7) seen from the lower opened by asin(7/25) stands at (25, 0).
    angle = second.angle_of_a_tip_on_the_rim((24, -7), 0)

    assert float(angle) == pytest.approx(math.asin(0.28), abs=1e-15)


def test_on_a_flat_table_at_the_height_of_the_axis_a_straight_pin_opens_what_it_says():
    for bench in ("table lowered", "lower pin", "upper pin"):
        angle = second.straight_pin((80, 0), 0, 2, bench)
        size = {"table lowered": math.asin(2 / 80)}.get(bench, math.atan(2 / 80))
        assert float(angle) == pytest.approx(size, abs=1e-15)


def test_a_wrong_axis_at_the_true_one_leaves_nothing():
    left = second.left_by_a_wrong_axis((90, -40), 3, (0, 0), (50, -35))

    assert [float(part) for part in left] == pytest.approx([0, 0, 0], abs=1e-40)


def test_a_condition_without_a_passage_is_refused():
    with pytest.raises(ValueError, match="does not pass zero"):
        second.opened((5, 0), 3)


# The engine against it


@FEW
@given(some.pins, st.floats(0.1, 6.0), some.teeth, slopes)
def test_drop_and_gaps_of_a_tooth(guided, opening, place, slope):
    (found,) = pin.opening_at_teeth(
        settings=settings_of(Bench(pin=guided)),
        opening_mm=opening,
        points_mm={"here": place},
        incline_deg=slope,
    )
    at, angle = (place[0], place[2]), second.opened((guided[0], guided[2]), opening)
    down, back = (float(way) for way in second.movement(at, angle))
    lean = math.radians(slope)

    assert (found.drop_mm, found.back_mm) == pytest.approx((down, back), abs=EXACT)
    # Distance to a plane through the place, from its normal: forward and up, or back and up.
    for forward, gap, normal in (
        (1.0, found.gap_mm, found.normal_gap_mm),
        (-1.0, found.other_gap_mm, found.other_normal_gap_mm),
    ):
        away = math.cos(lean) * down + forward * math.sin(lean) * back
        assert normal == pytest.approx(away, abs=EXACT)
        assert gap == pytest.approx(away / math.cos(lean), abs=EXACT)


@FEW
@given(some.pins, st.floats(0.1, 5.0), st.floats(0.0, 35.0), benches)
def test_straight_pin(guided, reading, table, bench):
    found = readings.straight_pin(
        settings=settings_of(Bench(pin=guided, table=table)), reading_mm=reading, bench=bench
    )
    at = (guided[0], guided[2])
    angle = second.straight_pin(at, table, reading, bench)

    assert found.hinge_deg == pytest.approx(math.degrees(angle), abs=1e-9)
    assert found.opening_mm == pytest.approx(float(second.movement(at, angle)[0]), abs=EXACT)


@FEW
@given(some.pins, some.teeth, st.floats(0.01, 2.0))
def test_rise_of_the_pin_from_one_tip_and_back_from_rise_to_depth(guided, tip, low):
    rim = tip[2] + low
    found = pin.pin_rise(pin_point_mm=guided, lower_rim_z_mm=rim, upper_tips_mm=[tip])
    angle = second.angle_of_a_tip_on_the_rim((tip[0], tip[2]), rim)
    at = (guided[0], guided[2])

    assert found.pin_rise_mm == pytest.approx(float(second.movement(at, angle)[0]), abs=EXACT)
    if found.pin_rise_mm <= 10:
        (depth,) = readings.correction_depths(
            pin_rise_mm=found.pin_rise_mm,
            settings=settings_of(Bench(pin=guided)),
            teeth_mm={"17": (tip[0], tip[1], rim)},
        )
        assert depth.exact_mm == pytest.approx(low, abs=1e-9)


@FEW
@given(
    st.tuples(st.floats(40.0, 100.0), st.floats(-50.0, -10.0)),
    st.floats(0.5, 6.0),
    st.tuples(st.floats(-6.0, 6.0), st.floats(-6.0, 6.0)),
    st.tuples(st.floats(30.0, 60.0), st.floats(-45.0, -25.0)),
)
def test_what_a_wrong_axis_leaves(record_at, record, error, watched):
    found = pin.wrong_axis(
        record_point_mm=record_at,
        record_mm=record,
        axis_error_mm=error,
        watched_point_mm=watched,
    )
    x, z, forward = second.left_by_a_wrong_axis(record_at, record, error, watched)

    assert found.residual_mm == pytest.approx((float(x), float(z)), abs=EXACT)
    assert found.forward_shift_mm == pytest.approx(float(forward), abs=1e-9)
