"""The best rigid movement of a record's points, and how sure the condyles are."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from occlusion.records.fit import carried_condyles, spread_mm
from tests.occlusion.records.writing import LANDMARKS, carried_by_rotations

CLOSED = np.array(LANDMARKS)


def carried(moved):
    return carried_condyles(
        intercondylar_mm=110, landmarks_mm=CLOSED, moved_mm=np.asarray(moved, float)
    )


def test_a_pure_shift_carries_both_condyles_and_the_teeth_alike():
    found = carried(CLOSED + np.array([3.0, -1.0, -2.0]))

    for movement in (found.right_mm, found.left_mm, found.teeth_mm):
        assert movement == pytest.approx([3.0, -1.0, -2.0], abs=1e-12)
    assert found.misfit_mm == pytest.approx(0.0, abs=1e-12)


def test_a_quarter_turn_about_the_vertical_axis_takes_the_left_condyle_back():
    x, y, z = CLOSED.T
    found = carried(np.column_stack([-y, x, z]))

    assert found.turn_deg == pytest.approx(90.0, abs=1e-6)
    assert found.left_mm == pytest.approx([-55.0, -55.0, 0.0], abs=1e-9)
    assert found.right_mm == pytest.approx([55.0, 55.0, 0.0], abs=1e-9)
    assert found.of("left")[0] == pytest.approx([-55.0, -55.0, 0.0], abs=1e-9)


def test_points_that_were_mirrored_fit_badly():
    solid = np.vstack([CLOSED, [60.0, 5.0, -20.0]])
    found = carried_condyles(intercondylar_mm=110, landmarks_mm=solid, moved_mm=solid * [1, -1, 1])
    assert found.misfit_mm > 1.0


def test_the_other_library_itself_is_right_about_a_shift_and_a_quarter_turn():
    x, y, z = CLOSED.T
    quarter = np.column_stack([-y, x, z])

    shifted = carried_by_rotations(LANDMARKS, CLOSED + np.array([3.0, -1.0, -2.0]), 55.0)
    assert shifted == pytest.approx([3.0, -1.0, -2.0], abs=1e-9)
    turned = carried_by_rotations(LANDMARKS, quarter, 55.0)
    assert turned == pytest.approx([-55.0, -55.0, 0.0], abs=1e-9)


@given(
    st.lists(st.floats(-0.3, 0.3), min_size=9, max_size=9),
    st.floats(-5.0, 5.0),
    st.floats(90.0, 130.0),
)
def test_another_library_carries_the_condyles_to_the_same_place(errors, turn_deg, width):
    cos, sin = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    turned = CLOSED @ np.array([[cos, 0, -sin], [0, 1, 0], [sin, 0, cos]])
    moved = turned + np.reshape(errors, (3, 3)) + [4.0, 1.0, 0.0]
    found = carried_condyles(intercondylar_mm=width, landmarks_mm=CLOSED, moved_mm=moved)

    for side, y in (("right", -width / 2), ("left", width / 2)):
        other = carried_by_rotations(LANDMARKS, moved, y)
        assert found.of(side)[0] == pytest.approx(other, abs=1e-8)


def test_the_covariance_is_that_of_small_errors_put_in_one_by_one():
    moved = CLOSED @ np.array([[0.995, 0.0998, 0], [-0.0998, 0.995, 0], [0, 0, 1.0]]) + [4, -3, -2]
    found, step = carried(moved), 1e-5
    for side in ("right", "left"):
        movement, covariance = found.of(side)
        changes = []
        for index in range(9):
            nudged = moved.copy()
            nudged[index // 3, index % 3] += step
            changes.append((carried(nudged).of(side)[0] - movement) / step)
        numeric = np.array(changes).T @ np.array(changes)
        # The turn is not a perfect one, 0.995 and 0.0998, so that it fits to 2e-4 only.
        assert covariance == pytest.approx(numeric, abs=2e-3)


def test_a_misfit_is_told_per_coordinate():
    # One side of the triangle longer by 0.3 mm at each end: 0.18 of squares over 3 freedoms.
    apart = CLOSED + np.array([[0, 0, 0], [0, -0.3, 0], [0, 0.3, 0]])

    assert carried(apart).misfit_mm == pytest.approx(np.sqrt(0.18 / 3), abs=1e-12)


def test_points_are_as_far_from_their_line_as_they_are():
    assert spread_mm(np.array([[0.0, 0, 0], [10, 0, 0], [20, 0, 0]])) == pytest.approx(0.0)
    square = np.array([[0.0, 3, 0], [10, 3, 0], [0, -3, 0], [10, -3, 0]])
    assert spread_mm(square) == pytest.approx(3.0)
