"""What must hold whatever the settings are: geometry of a rigid body, no source needed."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.occlusion import strategies as some
from tests.occlusion.bench import INCISAL, along, at, fall_forward, mirrored, mirrored_move, moved
from tests.occlusion.second_opinion import Move

EXACT = 1e-9


# A rigid body


@given(some.benches(), some.moves)
def test_the_condyles_keep_their_distance(bench, move):
    positions = along(bench, move)
    apart = np.linalg.norm(positions.condyle_left_mm - positions.condyle_right_mm, axis=-1)

    assert np.abs(apart - bench.intercondylar).max() < EXACT


@given(some.benches(), some.moves)
def test_the_lower_member_is_neither_stretched_nor_mirrored(bench, move):
    transforms = along(bench, move).transforms
    turns = transforms[:, :3, :3]

    assert np.abs(np.swapaxes(turns, 1, 2) @ turns - np.eye(3)).max() < EXACT
    assert np.abs(np.linalg.det(turns) - 1.0).max() < EXACT
    assert (transforms[:, 3] == [0.0, 0.0, 0.0, 1.0]).all()


@given(some.benches(), some.moves, some.teeth, some.teeth)
def test_two_points_of_the_lower_member_keep_their_distance(bench, move, one, other):
    found = at(bench, move)
    after = (np.array(one) + moved(found, one)) - (np.array(other) + moved(found, other))

    assert np.linalg.norm(after) == pytest.approx(math.dist(one, other), abs=EXACT)


@given(some.benches(), some.moves, some.teeth)
def test_lower_and_upper_member_see_each_other_move_by_the_same_distance(bench, move, point):
    found = at(bench, move)
    there = np.array(point) + moved(found, point)
    back = there + moved(found, there, member="upper")

    assert back == pytest.approx(point, abs=EXACT)


@given(some.benches(opening=0.0), some.moves)
def test_no_travel_and_no_side_shift_is_the_closed_position(bench, move):
    still = replace(bench, shift_right=0.0, shift_left=0.0)
    found = at(still, replace(move, travel=0.0))

    assert np.abs(found.transform - np.eye(4)).max() < EXACT
    assert found.hinge_deg == pytest.approx(0.0, abs=EXACT)


# Paths and table


@given(some.benches(), some.moves)
def test_the_condyles_stay_on_their_paths(bench, move):
    # No sideways tilt of the superior wall, so a balancing condyle runs down it as steeply as
    # in protrusion, whatever the Bennett angle (a Fischer angle of 0).
    positions = along(bench, move)
    slopes = {
        "right": math.tan(math.radians(bench.inclination_right)),
        "left": math.tan(math.radians(bench.inclination_left)),
    }
    for side, slope in slopes.items():
        condyle = getattr(positions, f"condyle_{side}_mm")
        assert np.abs(condyle[:, 2] + slope * condyle[:, 0]).max() < EXACT


@given(some.benches(), st.sampled_from(["right", "left"]), some.travels)
def test_travel_along_the_path_is_its_length_in_space_without_the_side_shift(bench, kind, travel):
    found = at(bench, Move(kind, travel, "path"))
    leader, half = ("left" if kind == "right" else "right"), bench.intercondylar / 2.0
    shift = bench.shift_left if kind == "right" else bench.shift_right
    start = np.array([0.0, half - shift, 0.0])
    end = np.abs(getattr(found, f"condyle_{leader}_mm")) * [1.0, 1.0, 1.0]

    assert np.linalg.norm(end - start) == pytest.approx(travel, abs=EXACT)


@given(some.benches(), some.travels)
def test_travel_along_the_path_takes_no_condyle_further_in_protrusion(bench, travel):
    found = at(bench, Move("protrusive", travel, "path"))
    lengths = [
        math.hypot(condyle[0], condyle[2])
        for condyle in (found.condyle_right_mm, found.condyle_left_mm)
    ]

    assert max(lengths) == pytest.approx(travel, abs=EXACT)


@given(some.benches(), some.moves)
def test_the_pin_stays_on_the_table_in_every_position(bench, move):
    positions = along(bench, move)
    guided = np.array(bench.pin)
    forward = math.sqrt(guided[0] ** 2 + guided[2] ** 2 - (guided[2] - bench.opening) ** 2)
    opened = np.array([forward, guided[1], guided[2] - bench.opening])
    if bench.table_on == "upper":
        slid = guided + moved(positions, guided) - opened
    else:  # the pin stands still and the table goes away under it
        slid = -(opened + moved(positions, opened, member="upper") - guided)
    table, right, left = (
        math.tan(math.radians(angle)) for angle in (bench.table, bench.wing_right, bench.wing_left)
    )
    wing = np.where(slid[:, 1] < 0.0, right, left)
    off = slid[:, 2] + table * slid[:, 0] + wing * np.abs(slid[:, 1])

    assert np.abs(off).max() < EXACT
    assert positions.pin_residual_mm.max() < EXACT


@given(some.benches(), some.moves)
def test_nothing_jumps_from_one_position_to_the_next(bench, move):
    positions = along(bench, move, steps=30)
    incisal = np.array(INCISAL) + moved(positions, INCISAL)
    strides = np.linalg.norm(np.diff(incisal, axis=0), axis=-1)

    # The incisal point goes about as far as the leading condyle, which makes 30 equal strides.
    assert strides.max() < 5.0 * move.travel / 30.0


@given(some.benches(), some.moves)
def test_a_sweep_begins_closed_shifts_sideways_first_and_ends_where_the_move_ends(bench, move):
    positions = along(bench, move)
    last, single = positions.at(len(positions) - 1), at(bench, move)
    shifting = positions.advance_mm == 0.0

    assert np.abs(last.transform - single.transform).max() < EXACT
    assert positions.advance_mm[0] == 0.0
    assert positions.side_shift_mm[0] == 0.0 or not shifting[1:].any()
    assert (np.diff(positions.advance_mm) >= 0.0).all()
    assert (np.diff(positions.side_shift_mm) >= 0.0).all()
    assert np.ptp(positions.side_shift_mm[~shifting]) == 0.0


# Symmetries


@given(some.benches(), some.moves, some.teeth)
def test_right_and_left_are_mirror_images(bench, move, point):
    flip = np.array([1.0, -1.0, 1.0])
    here = moved(at(bench, move), point)
    there = moved(at(mirrored(bench), mirrored_move(move)), flip * point)

    assert there == pytest.approx(flip * here, abs=EXACT)


@given(some.benches(), st.sampled_from(["right", "left"]), some.travels, some.along)
def test_a_blend_of_one_is_protrusion(bench, kind, travel, travel_along):
    blended = at(bench, Move(kind, travel, travel_along, 1.0))
    forward = at(bench, Move("protrusive", travel, travel_along))

    assert np.abs(blended.transform - forward.transform).max() < EXACT


@given(some.benches(wing_right=0.0, wing_left=0.0), some.moves, some.teeth)
def test_without_wings_a_point_in_the_middle_feels_no_side_of_the_table(bench, move, point):
    other = replace(bench, pin=(bench.pin[0], -bench.pin[1], bench.pin[2]))
    flat = replace(move, kind="protrusive", blend=0.0)

    # Equal condyles: the pin may stand to either side of the midline alike.
    here, there = (
        moved(at(some.level(bench), flat), point),
        moved(at(some.level(other), flat), point),
    )
    assert there == pytest.approx(here, abs=EXACT)


@given(some.benches(), some.moves, some.teeth, st.floats(0.9, 1.05))
def test_twice_the_size_is_twice_the_movement_and_the_same_angles(bench, move, point, scale):
    larger = replace(
        bench,
        intercondylar=bench.intercondylar * scale,
        shift_right=bench.shift_right * scale,
        shift_left=bench.shift_left * scale,
        pin=tuple(scale * np.array(bench.pin)),
        opening=bench.opening * scale,
    )
    one, other = at(bench, move), at(larger, replace(move, travel=move.travel * scale))

    assert other.hinge_deg == pytest.approx(one.hinge_deg, abs=EXACT)
    assert moved(other, scale * np.array(point)) == pytest.approx(
        scale * moved(one, point), abs=EXACT
    )


@given(
    some.benches(opening=0.0),
    st.sampled_from(["right", "left", "protrusive"]),
    some.travels,
    some.teeth,
    st.floats(-12.0, 8.0),
)
def test_turning_articulator_angles_and_teeth_together_changes_no_separation(
    bench, kind, travel, point, tilt
):
    # Travel is a length of path and the pin closed: an advance and a drop are along the axes.
    # In protrusion both condyles are as far forward along the axes, so their paths are equal.
    upright = some.level(bench) if kind == "protrusive" else bench
    upright = replace(upright, table=min(bench.table, 30.0))
    turned = replace(upright, tilt=tilt, pin=tuple(fall_forward(upright.pin, tilt)))
    move = Move(kind, travel, "path")
    here = moved(at(upright, move), point)
    there = moved(at(turned, move), fall_forward(point, tilt))

    assert there == pytest.approx(fall_forward(here, tilt), abs=EXACT)
