"""True distances, against closed forms and against every triangle of the mesh."""

import numpy as np
import pytest

from occlusion.errors import NoSolution
from occlusion.surfaces.gaps import sample_gaps
from occlusion.surfaces.heightfield import field_of, height_field, tilted_view
from occlusion.surfaces.nearest import nearest_gaps
from tests.occlusion.surfaces import second_opinion, shapes
from tests.occlusion.surfaces.moves import end, shifted

STAYS = np.eye(4)
SPHERE = field_of(
    shapes.cap((0.0, 0.0, 0.0), 2.0), member="lower", bounds_mm=(-2.5, 2.5, -2.5, 2.5)
)


@pytest.mark.parametrize(
    ("point", "distance"),
    [
        ((0.0, 0.0, 2.5), 0.5),
        ((1.5, 0.0, 2.0), 0.5),
        ((1.2, 0.9, 2.0), 0.5),
        ((0.23, -0.37, 1.9), -0.0498),  # past the surface: sqrt(0.23^2 + 0.37^2 + 1.9^2) - 2
    ],
)
def test_the_distance_to_a_sphere_is_that_to_its_centre_less_the_radius(point, distance):
    found, foot = nearest_gaps(SPHERE, [point], STAYS, member="upper")

    assert found == pytest.approx([distance], abs=0.002)
    assert np.linalg.norm(foot[0]) == pytest.approx(2.0, abs=0.002)


def test_a_wall_beside_a_point_is_nearer_than_the_floor_below_it():
    step = field_of(
        lambda x, y: np.where(x < 0.0, 0.0, 3.0) + 0 * y, member="lower", bounds_mm=(-3, 3, -1, 1)
    )
    found, foot = nearest_gaps(step, [[-0.6, 0.0, 2.0]], STAYS, member="upper")

    assert sample_gaps(step, [[-0.6, 0.0, 2.0]], STAYS, member="upper") == pytest.approx([2.0])
    assert found == pytest.approx([0.55], abs=0.06)  # the wall stands in the cell up to x = 0
    assert foot[0, 0] == pytest.approx(-0.05, abs=0.06)


@pytest.mark.parametrize("member", ["upper", "lower"])
def test_distances_of_both_members_are_those_to_every_triangle(member):
    below, above, bounds = shapes.two_arches(6, teeth=2)
    lower, upper = shapes.grid_of(below, bounds, 0.4), shapes.grid_of(above, bounds, 0.4)
    position = end("right")
    carrier, other = (upper, lower) if member == "upper" else (lower, upper)
    points = carrier[:: len(carrier) // 14, 0]
    field = height_field(other, member="lower" if member == "upper" else "upper")
    found, _feet = nearest_gaps(field, points, position, member=member)
    if member == "upper":
        truth = [second_opinion.nearest(second_opinion.moved(lower, position), p) for p in points]
    else:
        seen = second_opinion.moved(points[None], position)[0]
        truth = [second_opinion.nearest(upper, point) for point in seen]

    assert np.abs(found) == pytest.approx(truth, abs=0.006)
    assert min(truth) < 1.5


def test_a_distance_is_the_same_in_any_view():
    below, _above, bounds = shapes.two_arches(6, teeth=2)
    lower = shapes.grid_of(below, bounds, 0.2)
    view = tilted_view(member="lower", tilt_deg=25.0, towards_deg=-40.0)
    points = [[44.0, -24.0, -31.4], [46.0, -21.0, -32.5]]
    straight, _foot = nearest_gaps(
        height_field(lower, member="lower"), points, end("left"), member="upper"
    )
    tilted, _foot = nearest_gaps(
        height_field(lower, member="lower", view=view), points, end("left"), member="upper"
    )

    assert tilted == pytest.approx(straight, abs=0.003)


def test_points_far_from_everything_are_refused():
    with pytest.raises(NoSolution, match="Nothing of the lower arch is within 3 mm"):
        nearest_gaps(SPHERE, [[0.0, 0.0, 3.0]], shifted(x=9.0), member="upper")
