"""Rigid transforms and planes."""

import numpy as np
import pytest

from occlusion import frames
from occlusion.errors import ImpossibleGeometry, NotANumber


def test_a_positive_turn_opens():
    moved = frames.about_y(np.radians(1.0)) @ np.array([80.0, 0.0, -32.0])

    assert moved[2] < -32.0


def test_a_transform_and_its_inverse_cancel():
    placed = frames.transform(frames.about_y(0.3), np.array([1.0, -2.0, 3.0]))

    assert np.allclose(placed @ frames.inverse(placed), np.eye(4), rtol=0, atol=1e-14)  # round-off
    assert frames.check_rigid(placed) is not None


@pytest.mark.parametrize(
    "matrix",
    [np.diag([1.01, 1, 1, 1]), np.diag([1, -1, 1, 1]), np.eye(4) + np.eye(4, k=-3)],
    ids=["stretched", "mirrored", "no transform"],
)
def test_what_is_not_rigid_is_refused(matrix):
    with pytest.raises(ImpossibleGeometry, match="rotation and a shift only"):
        frames.check_rigid(matrix)


@pytest.mark.parametrize("matrix", [np.eye(3), "x", np.full((4, 4), np.nan)])
def test_what_is_no_matrix_is_refused(matrix):
    with pytest.raises(NotANumber):
        frames.check_rigid(matrix)


def test_the_best_motion_never_mirrors():
    rng = np.random.default_rng(5)
    for _ in range(200):
        turn, _ = frames.best_motion(rng.normal(size=(4, 3)), rng.normal(size=(4, 3)))
        assert np.linalg.det(turn) == pytest.approx(1.0, abs=1e-12)


def test_the_best_motion_of_a_quarter_turn_and_a_shift_is_that():
    here = np.array([[1.0, 0, 0], [0, 2.0, 0], [0, 0, 3.0]])
    there = np.array([[10.0, 1.0, 0], [8.0, 0, 0], [10.0, 0, 3.0]])

    turn, shift = frames.best_motion(here, there)

    assert turn == pytest.approx(np.array([[0.0, -1, 0], [1, 0, 0], [0, 0, 1]]), abs=1e-12)
    assert shift == pytest.approx([10.0, 0, 0], abs=1e-12)


def test_sagittal_angles_add_the_tilt_of_their_plane():
    assert frames.turn_sagittal_deg(30.0, tilt_deg=8.0) == 38.0


def test_a_lateral_angle_is_turned_exactly_as_the_direction_it_stands_for():
    # A direction forward, 12 deg sideways and 30 deg down, seen from a plane tilted by 10 deg.
    tan = np.tan(np.radians([12.0, 30.0]))
    seen = np.array([1.0, tan[0], -tan[1]])
    x, y, z = frames.about_y(np.radians(10.0)) @ seen

    turned = frames.turn_lateral_deg(12.0, sagittal_deg=30.0, tilt_deg=10.0)

    assert turned == pytest.approx(np.degrees(np.arctan2(y, x)), abs=1e-12)
    assert np.degrees(np.arctan2(-z, x)) == pytest.approx(40.0, abs=1e-12)


def test_a_vector_along_a_tilted_plane_is_forward_there():
    along = np.array([np.cos(np.radians(20.0)), 0.0, -np.sin(np.radians(20.0))])

    assert frames.into_plane(along, tilt_deg=20.0) == pytest.approx([1, 0, 0], abs=1e-15)
