"""Rotations and frames against scipy's, which knows nothing of this engine."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from occlusion import frames, guidance
from occlusion.errors import ImpossibleGeometry
from tests.occlusion import strategies as some
from tests.occlusion.bench import INCISAL, along, moved

EXACT = 1e-12

turns = st.floats(-math.pi, math.pi)
vectors = st.tuples(*[st.floats(-100.0, 100.0)] * 3)
rotations = st.tuples(turns, turns, turns).map(lambda angles: Rotation.from_euler("xyz", angles))
tilts = st.floats(-30.0, 30.0)


@given(turns, vectors)
def test_a_turn_about_the_axis_is_scipys_turn_about_y(angle, vector):
    turned = frames.about_y(angle) @ vector

    assert turned == pytest.approx(Rotation.from_euler("y", angle).apply(vector), abs=1e-10)


def test_a_turn_about_the_axis_takes_whole_arrays_of_angles():
    angles = np.linspace(-1.0, 1.0, 7)

    assert frames.about_y(angles) == pytest.approx(
        Rotation.from_euler("y", angles[:, None]).as_matrix(), abs=EXACT
    )


@given(turns, turns)
def test_roll_and_then_yaw_are_scipys_turns_about_z_and_x(roll, yaw):
    ours = np.array(guidance.roll_and_yaw_rows(np.array(roll), np.array(yaw)))

    assert ours == pytest.approx(Rotation.from_euler("ZX", [yaw, roll]).as_matrix(), abs=EXACT)


@given(rotations, vectors, st.lists(vectors, min_size=1, max_size=4))
def test_a_transform_turns_and_then_shifts(rotation, shift, points):
    placed = frames.transform(rotation.as_matrix(), np.array(shift))

    assert frames.apply(placed, np.array(points)) == pytest.approx(
        rotation.apply(points) + shift, abs=1e-10
    )


@given(rotations, vectors, st.lists(vectors, min_size=1, max_size=4))
def test_the_inverse_shifts_back_and_then_turns_back(rotation, shift, points):
    back = frames.inverse(frames.transform(rotation.as_matrix(), np.array(shift)))

    assert frames.apply(back, np.array(points)) == pytest.approx(
        rotation.inv().apply(np.array(points) - shift), abs=1e-10
    )


@given(st.integers(0, 2**32 - 1), st.integers(3, 6))
def test_the_best_motion_turns_as_scipy_aligns_vectors(seed, count):
    rng = np.random.default_rng(seed)
    here = rng.normal(size=(count, 3)) * 30.0
    there = Rotation.random(random_state=seed).apply(here) + rng.normal(size=(count, 3))
    aligned, _ = Rotation.align_vectors(there - there.mean(axis=0), here - here.mean(axis=0))

    turn, shift = frames.best_motion(here, there)

    assert turn == pytest.approx(aligned.as_matrix(), abs=1e-6)
    assert turn @ here.mean(axis=0) + shift == pytest.approx(there.mean(axis=0), abs=1e-9)


@given(rotations, vectors)
def test_every_rotation_of_scipys_is_rigid(rotation, shift):
    placed = frames.transform(rotation.as_matrix(), np.array(shift))

    assert frames.check_rigid(placed) is not None


@given(rotations, vectors, st.floats(1e-6, 0.1), st.integers(0, 2))
def test_a_rotation_that_also_stretches_one_direction_is_refused(rotation, shift, by, axis):
    stretch = np.eye(3)
    stretch[axis, axis] += by
    placed = frames.transform(rotation.as_matrix() @ stretch, np.array(shift))

    with pytest.raises(ImpossibleGeometry, match="stretches or mirrors"):
        frames.check_rigid(placed)


@given(rotations, vectors)
def test_a_mirror_image_is_refused_however_it_is_turned(rotation, shift):
    placed = frames.transform(rotation.as_matrix() @ np.diag([1.0, -1.0, 1.0]), np.array(shift))

    with pytest.raises(ImpossibleGeometry, match="stretches or mirrors"):
        frames.check_rigid(placed)


@given(st.floats(0.0, 50.0), st.floats(-40.0, 40.0), tilts)
def test_angles_of_a_path_are_carried_into_the_axes_as_the_path_itself_is(down, across, tilt):
    slopes = np.tan(np.radians([across, down]))
    x, y, z = Rotation.from_euler("y", tilt, degrees=True).apply([1.0, slopes[0], -slopes[1]])

    assert frames.turn_sagittal_deg(down, tilt_deg=tilt) == pytest.approx(
        math.degrees(math.atan2(-z, x)), abs=1e-9
    )
    assert frames.turn_lateral_deg(across, sagittal_deg=down, tilt_deg=tilt) == pytest.approx(
        math.degrees(math.atan2(y, x)), abs=1e-9
    )


@given(vectors, tilts)
def test_a_vector_is_seen_from_a_tilted_plane_as_scipy_turns_it_back(vector, tilt):
    back = Rotation.from_euler("y", tilt, degrees=True).inv()

    assert frames.into_plane(np.array(vector), tilt_deg=tilt) == pytest.approx(
        back.apply(vector), abs=1e-10
    )


@given(some.benches(), some.moves)
def test_a_position_is_yaw_then_roll_then_hinge_turn_about_the_middle_of_the_condyles(bench, move):
    positions = along(bench, move, steps=4)
    middle = (positions.condyle_right_mm + positions.condyle_left_mm) / 2.0
    right_to_left = positions.condyle_left_mm - positions.condyle_right_mm
    x, y, z = (right_to_left / bench.intercondylar).T
    angles = np.stack([np.arctan2(-x, y), np.arcsin(z), np.radians(positions.hinge_deg)], axis=-1)
    rotation = Rotation.from_euler("ZXY", angles)

    assert positions.transforms[:, :3, :3] == pytest.approx(rotation.as_matrix(), abs=1e-10)
    assert moved(positions, INCISAL) + INCISAL == pytest.approx(
        rotation.apply(INCISAL) + middle, abs=1e-9
    )
