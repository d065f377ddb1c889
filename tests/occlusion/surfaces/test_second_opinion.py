"""The second opinion on surfaces, on one triangle whose answers can be read off."""

import numpy as np
import pytest

from tests.occlusion.surfaces import second_opinion

#: Rises by 1 along x: over (1, 1) it stands at 1, over (3, 0.5) at 3.
SLOPE = np.array([[[0.0, 0.0, 0.0], [4.0, 0.0, 4.0], [0.0, 4.0, 0.0]]])
FLAT = np.array([[[0.0, 0.0, 2.0], [4.0, 0.0, 2.0], [0.0, 4.0, 2.0]]])
STAYS = np.eye(4)


def shifted(x, y, z):
    matrix = np.eye(4)
    matrix[:3, 3] = x, y, z
    return matrix


def test_a_ray_meets_a_slope_where_it_stands():
    assert second_opinion.way_along(SLOPE, (1, 1, 5), (0, 0, -1)) == pytest.approx([4.0])
    assert second_opinion.way_along(SLOPE, (3, 0.5, 5), (0, 0, -1)) == pytest.approx([2.0])
    assert second_opinion.way_along(SLOPE, (3, 1.5, 5), (0, 0, -1)).tolist() == []


def test_a_ray_meets_two_sheets_in_their_order():
    both = np.concatenate([SLOPE, FLAT])

    assert second_opinion.way_along(both, (1, 1, 5), (0, 0, -1)) == pytest.approx([3.0, 4.0])


def test_a_gap_follows_the_moved_mesh():
    assert second_opinion.gap(FLAT, (1, 1, 2.5), STAYS) == pytest.approx(0.5)
    assert second_opinion.gap(FLAT, (1, 1, 2.5), shifted(0, 0, 0.75)) == pytest.approx(-0.25)
    assert second_opinion.gap(SLOPE, (1, 1, 5), shifted(-1, 0, 0)) == pytest.approx(3.0)
    assert second_opinion.gap(FLAT, (9, 9, 2.5), STAYS) == np.inf


def test_a_gap_from_below_follows_the_moved_point():
    assert second_opinion.gap_from_below(FLAT, (1, 1, 0), STAYS) == pytest.approx(2.0)
    assert second_opinion.gap_from_below(SLOPE, (1, 1, 0), shifted(1, 0, 0.5)) == pytest.approx(1.5)


def test_what_is_swept_is_the_highest_of_all_positions():
    positions = [STAYS, shifted(-1, 0, 0), shifted(0, 0, 0.25)]

    assert second_opinion.swept_height(SLOPE, 1, 1, positions) == pytest.approx(2.0)
    assert second_opinion.swept_height(SLOPE, 9, 9, positions) == -np.inf


@pytest.mark.parametrize(
    ("point", "distance"),
    [
        ((1, 1, 5), 3.0),  # over the face
        ((1, -4, -1), 5.0),  # beside an edge: 3 below and 4 off
        ((-2, -3, 8), 7.0),  # off the corner at the origin: 2, 3, 6
        ((3, 3, 2), 2**0.5),  # off the slanted edge
    ],
)
def test_the_nearest_point_is_in_the_face_on_an_edge_or_a_corner(point, distance):
    assert second_opinion.nearest(FLAT, point) == pytest.approx(distance)
