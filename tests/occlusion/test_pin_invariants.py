"""Invariants of the pin and of the hinge axis: geometry, no source needed."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from occlusion import pin
from tests.occlusion import strategies as some
from tests.occlusion.bench import at, fall_forward, moved, settings_of
from tests.occlusion.second_opinion import Bench, Move

EXACT = 1e-9


# The pin and the axis


@given(
    some.pins,
    st.floats(0.1, 5.0),
    st.floats(0.1, 1.0),
    st.sets(st.integers(20, 130), min_size=2, max_size=6),
)
def test_an_opened_pin_lowers_every_tooth_the_more_the_further_it_is_from_the_axis(
    guided, opening, more, distances
):
    points = {str(x): (x, 0.0, -32.0) for x in sorted(distances)}
    settings = settings_of(Bench(pin=guided))
    less, further = (
        pin.open_pin(settings=settings, opening_mm=height, points_mm=points)
        for height in (opening, opening + more)
    )
    drops = list(less.drop_mm.values())

    assert drops[0] > 0.0
    assert (np.diff(drops) > 0.0).all()
    assert all(further.drop_mm[name] > drop for name, drop in less.drop_mm.items())


@given(some.benches(), st.floats(0.1, 6.0), some.teeth)
def test_opening_the_pin_moves_teeth_as_the_closed_articulator_with_that_opening_does(
    bench, opening, point
):
    opened = replace(bench, opening=opening, shift_right=0.0, shift_left=0.0)
    found = at(opened, Move("protrusive", 0.0))
    said = pin.open_pin(settings=settings_of(bench), opening_mm=opening, points_mm={"here": point})

    assert found.hinge_deg == pytest.approx(said.hinge_deg, abs=EXACT)
    assert moved(found, point) == pytest.approx(
        (-said.back_mm["here"], 0.0, -said.drop_mm["here"]), abs=EXACT
    )
    assert moved(found, bench.pin)[2] == pytest.approx(-opening, abs=EXACT)


@given(some.benches(), st.floats(0.1, 2.0), some.teeth)
def test_opening_and_then_closing_brings_everything_back(bench, opening, point):
    up = at(replace(bench, opening=opening), Move("protrusive", 0.0))
    lifted = tuple(np.array(bench.pin) + moved(up, bench.pin))
    down = at(replace(bench, pin=lifted, opening=-opening), Move("protrusive", 0.0))

    assert np.abs(down.transform @ up.transform - np.eye(4)).max() < EXACT
    opened = np.array(point) + moved(up, point)
    assert opened + moved(down, opened) == pytest.approx(point, abs=EXACT)


@given(
    st.tuples(st.floats(40.0, 100.0), st.floats(-50.0, -10.0)),
    st.floats(0.5, 6.0),
    st.tuples(st.floats(-10.0, 10.0), st.floats(-10.0, 10.0)),
)
def test_closing_about_another_axis_leaves_a_shift_across_the_error(record_at, record, error):
    found = pin.wrong_axis(
        record_point_mm=record_at,
        record_mm=record,
        axis_error_mm=error,
        watched_point_mm=(50.0, -35.0),
    )
    theta, size = math.radians(found.theta_deg), math.hypot(*error)
    # Length 2 e sin(theta / 2), at right angles to the error turned by half of theta.
    half = fall_forward((error[0], 0.0, error[1]), -found.theta_deg / 2.0)
    across = found.residual_mm[0] * half[0] + found.residual_mm[1] * half[2]

    assert math.hypot(*found.residual_mm) == pytest.approx(
        2.0 * size * math.sin(theta / 2.0), abs=EXACT
    )
    assert found.residual_length_mm == pytest.approx(math.hypot(*found.residual_mm), abs=EXACT)
    assert across == pytest.approx(0.0, abs=EXACT)


@given(
    st.tuples(st.floats(40.0, 100.0), st.floats(-50.0, -10.0)),
    st.floats(0.5, 6.0),
)
def test_closing_about_the_same_axis_leaves_nothing(record_at, record):
    found = pin.wrong_axis(
        record_point_mm=record_at,
        record_mm=record,
        axis_error_mm=(0.0, 0.0),
        watched_point_mm=(50.0, -35.0),
    )

    assert found.residual_mm == pytest.approx((0.0, 0.0), abs=EXACT)
    assert found.forward_shift_mm == pytest.approx(0.0, abs=EXACT)


@given(some.pins, st.lists(some.teeth, min_size=1, max_size=6), st.floats(0.05, 1.0))
def test_the_pin_rises_to_the_highest_of_the_rises_that_single_tips_ask_for(guided, tips, lower):
    rim = max(z for _, _, z in tips)  # nothing stands above the rim but the tips
    asked = pin.pin_rise(pin_point_mm=guided, lower_rim_z_mm=rim, upper_tips_mm=tips)
    alone = [
        pin.pin_rise(pin_point_mm=guided, lower_rim_z_mm=rim, upper_tips_mm=[tip]).pin_rise_mm
        for tip in tips
    ]
    ground = [(x, y, rim) for x, y, _ in tips]

    assert asked.pin_rise_if_only_this_tip_mm == pytest.approx(alone, abs=EXACT)
    assert asked.pin_rise_mm == pytest.approx(max(alone), abs=EXACT)
    assert all(rise >= 0.0 for rise in alone)
    closed = pin.pin_rise(pin_point_mm=guided, lower_rim_z_mm=rim, upper_tips_mm=ground)
    assert (closed.pin_rise_mm, closed.first_contact_index) == (0.0, None)
    deeper = [(x, y, z - lower) for x, y, z in tips]
    found = pin.pin_rise(pin_point_mm=guided, lower_rim_z_mm=rim, upper_tips_mm=deeper)
    assert found.pin_rise_mm > asked.pin_rise_mm


@given(some.pins, st.floats(0.1, 5.0), some.teeth, st.floats(0.0, 45.0), st.floats(0.8, 1.25))
def test_millimetres_in_are_millimetres_out(guided, opening, place, slope, k):
    def grown(point):
        return tuple(k * part for part in point)

    small, large = (
        pin.opening_at_teeth(
            settings=settings_of(Bench(pin=at)),
            opening_mm=height,
            points_mm={"here": point},
            incline_deg=slope,
        )[0]
        for at, height, point in (
            (guided, opening, place),
            (grown(guided), k * opening, grown(place)),
        )
    )

    for name in ("drop_mm", "back_mm", "gap_mm", "normal_gap_mm", "other_gap_mm"):
        assert getattr(large, name) == pytest.approx(k * getattr(small, name), abs=EXACT), name


@given(some.pins, st.floats(0.1, 6.0), some.teeth, st.floats(0.0, 60.0))
def test_the_two_gaps_lie_on_either_side_of_the_drop(guided, opening, place, slope):
    (found,) = pin.opening_at_teeth(
        settings=settings_of(Bench(pin=guided)),
        opening_mm=opening,
        points_mm={"here": place},
        incline_deg=slope,
    )

    assert found.other_gap_mm <= found.drop_mm <= found.gap_mm
    assert found.gap_mm + found.other_gap_mm == pytest.approx(2 * found.drop_mm, abs=EXACT)
    assert abs(found.normal_gap_mm) <= abs(found.gap_mm)
