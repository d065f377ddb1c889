"""Heights over a grid: which surface is kept, where there is none, and how near it is read."""

import dataclasses
import math

import numpy as np
import pytest

from occlusion.errors import BadRequest, NotANumber, OpenOrEmptyMesh, OutOfRange
from occlusion.surfaces import _raster
from occlusion.surfaces.heightfield import HeightField, field_of, height_field, tilted_view
from tests import published
from tests.occlusion.surfaces import second_opinion, shapes
from tests.published import number

SQUARE = (-1.0, 1.0, -1.0, 1.0)


def sheet(height, bounds=SQUARE, spacing=2.0):
    return shapes.grid_of(lambda x, y: height + 0 * x, bounds, spacing)


def small(inside=True):
    """Four cells of 1 mm from (10, 20): heights 0, 1 along x and 2, 5 beside them."""
    return HeightField(
        z_mm=np.array([[0, 2], [1, 5]], dtype=np.float32),
        inside=np.array([[True, True], [True, inside]]),
        x0_mm=10.0,
        y0_mm=20.0,
        pitch_mm=1.0,
        member="lower",
    )


# Looking up


def test_between_four_cells_heights_are_bilinear():
    z, inside = small().at([10.25, 10.0, 10.5], [20.5, 20.0, 20.5])

    # x adds 1 on the near side and 3 on the far one: 0.25 x (0.5 x 1 + 0.5 x 3) + 0.5 x 2.
    assert z == pytest.approx([1.5, 0.0, 2.0], abs=1e-6)
    assert inside.tolist() == [True, True, True]


def test_one_empty_cell_of_four_is_enough_to_be_outside():
    _z, inside = small(inside=False).at([10.01], [20.01])

    assert inside.tolist() == [False]


@pytest.mark.parametrize("x", [9.99, 11.01, -1e7, 1e7])
def test_beside_the_field_there_is_nothing_along_x(x):
    assert small().at([x], [20.5])[1].tolist() == [False]


@pytest.mark.parametrize("y", [19.99, 21.01, -1e7, 1e7])
def test_beside_the_field_there_is_nothing_along_y(y):
    assert small().at([10.5], [y])[1].tolist() == [False]


def test_the_slope_of_a_plane_is_that_of_the_plane():
    rising = field_of(shapes.plane((0, 0, 0), 0.75, 0.0), member="lower", bounds_mm=SQUARE)
    both = field_of(shapes.plane((0, 0, 0), 2.0, -2.0), member="upper", bounds_mm=SQUARE)

    assert rising.slope_cos(0.123, 0.456) == pytest.approx(0.8, abs=1e-5)
    assert both.slope_cos([0.1], [-0.7]) == pytest.approx([1 / 3], abs=1e-5)


def test_the_slope_of_a_sphere_is_read_at_the_place_and_not_half_a_cell_beside_it():
    sphere = field_of(shapes.cap((0, 0, 0), 1.0), member="lower", bounds_mm=(-2, 2, -2, 2))

    # At (0.6, 0) and (0, -0.6), and midway between cells, the cosine is the height itself.
    assert sphere.slope_cos([0.6, 0.0, 0.45], [0.0, -0.6, 0.0]) == pytest.approx(
        [0.8, 0.8, 0.893], abs=0.006
    )


def test_at_a_rim_the_slope_comes_from_the_side_that_is_there():
    half = field_of(
        lambda x, y: np.where(x <= 0.0, 0.75 * x, np.nan), member="lower", bounds_mm=SQUARE
    )

    assert half.slope_cos([0.0, -0.05], [0.3, 0.3]) == pytest.approx([0.8, 0.8], abs=1e-5)


# What a raster keeps


def test_a_lower_arch_keeps_the_highest_sheet_and_an_upper_one_the_lowest():
    sheets = np.concatenate([sheet(-1.0), sheet(2.0), sheet(0.5)])

    assert height_field(sheets, member="lower").at(0.03, 0.04)[0] == pytest.approx(2.0)
    assert height_field(sheets, member="upper").at(0.03, 0.04)[0] == pytest.approx(-1.0)


def test_every_cell_of_a_cusp_is_where_a_ray_meets_its_mesh():
    soup = shapes.grid_of(shapes.cusps([(0, 0, 1), (2, 1, 0.8)], 30.0), (-1, 3, -1.3, 2), 0.37)
    field = height_field(soup, member="lower")
    nodes = field.nodes_mm()[::37]
    rays = [second_opinion.way_along(soup, (x, y, 0), (0, 0, 1))[-1] for x, y, _z in nodes]

    assert len(nodes) > 30
    assert nodes[:, 2] == pytest.approx(rays, abs=1e-5)


@pytest.mark.parametrize("first", [0, 1, 2])
@pytest.mark.parametrize("winding", [1, -1])
def test_a_triangle_covers_its_own_half_of_the_box_around_it(first, winding):
    corners = np.roll([[0.0, 0.0, 5.0], [2.0, 0.0, 7.0], [0.0, 2.0, 5.0]], first, axis=0)
    field = height_field(corners[None, ::winding], member="lower", pitch_mm=0.5)

    assert field.inside.sum(axis=1).tolist() == [5, 4, 3, 2, 1]
    assert field.z_mm[:, 0] == pytest.approx([5.0, 5.5, 6.0, 6.5, 7.0])


def test_a_sphere_shows_its_upper_half_to_one_side_and_its_lower_half_to_the_other():
    soup = shapes.sphere((50.0, -25.0, -33.0), 1.0)

    assert height_field(soup, member="lower").at(50, -25)[0] == pytest.approx(-32.0, abs=1e-4)
    assert height_field(soup, member="upper").at(50, -25)[0] == pytest.approx(-34.0, abs=1e-4)


def test_neighbouring_triangles_leave_no_hole_between_them():
    turn = math.radians(17.0)
    soup = shapes.grid_of(lambda x, y: 0 * x, (-4.0, 4.0, -4.0, 4.0), 0.061)
    x, y = soup[..., 0].copy(), soup[..., 1].copy()
    soup[..., 0] = 60.0 + math.cos(turn) * x - math.sin(turn) * y
    soup[..., 1] = math.sin(turn) * x + math.cos(turn) * y
    field = height_field(soup, member="lower", bounds_mm=(57.2, 62.8, -2.8, 2.8))

    assert field.inside.shape == (57, 57)
    assert field.inside.all()


def test_a_mesh_larger_than_one_batch_loses_nothing():
    two = sheet(1.0, (-30.0, 30.0, -30.0, 30.0), 60.0)
    many = sheet(1.0, (0.0, 10.0, 0.0, 10.0), 0.05)

    assert _raster.PAIRS_AT_ONCE < 601 * 601
    assert height_field(two, member="lower").inside.all()
    assert len(many) > _raster.TRIANGLES_AT_ONCE
    assert height_field(many, member="upper").inside.all()


def test_cells_stand_on_multiples_of_the_pitch_and_cover_the_mesh():
    field = height_field(sheet(0.0, (9.96, 12.05, -3.02, -1.0)), member="lower")

    assert (field.x0_mm, field.y0_mm) == pytest.approx((9.9, -3.1))
    assert field.z_mm.shape == (23, 22)
    assert field.inside[0].tolist() == [False] * 22  # 9.9 lies beside the mesh


def test_bounds_cut_a_field_out():
    field = height_field(
        sheet(0.0, (-9, 9, -9, 9)), member="lower", bounds_mm=(1.0, 2.0, -0.5, 0.0), pitch_mm=0.25
    )

    assert (field.x0_mm, field.y0_mm, field.z_mm.shape) == (1.0, -0.5, (5, 3))


def test_an_empty_cell_holds_a_finite_height_past_everything():
    half = shapes.cap((0.0, 0.0, 0.0), 1.0)
    lower = field_of(half, member="lower", bounds_mm=(-2, 2, -2, 2))
    upper = field_of(lambda x, y: -half(x, y), member="upper", bounds_mm=(-2, 2, -2, 2))

    assert np.unique(lower.z_mm[~lower.inside]) == pytest.approx([-10.0])
    assert np.unique(upper.z_mm[~upper.inside]) == pytest.approx([10.0])


def test_a_field_is_read_only():
    field = field_of(shapes.cap((0, 0, 0), 1.0), member="lower", bounds_mm=SQUARE)

    with pytest.raises(ValueError, match="read-only"):
        field.z_mm[0, 0] = 1.0


# How near it is read


def test_a_fossa_between_two_cusps_is_as_deep_as_their_slopes_make_it():
    # Tips 5.2 mm apart, 20 deg, rounded by 0.5 mm: tan 20 x (sqrt(2.6 ^ 2 + 0.5 ^ 2) - 0.5).
    tips = shapes.cusps([(0.0, 0.0, -30.0), (5.2, 0.0, -30.0)], 20.0)
    soup = shapes.grid_of(tips, (-1.0, 6.2, -1.0, 1.0), 0.05)

    assert height_field(soup, member="lower").at(2.6, 0.0)[0] == pytest.approx(-30.7817, abs=5e-4)


@published.each("steep_walls")
def test_a_steep_wall_is_read_badly_along_the_vertical(row):
    flank = number(row, "flank_deg")
    wall = shapes.ridge(0.03, 0.0, radius=1.0, front_deg=flank, back_deg=flank)
    field = field_of(wall, member="lower", bounds_mm=(-2.0, 2.0, -0.5, 0.5))
    x = np.linspace(-1.6, 1.6, 3001)
    error = np.abs(field.at(x, 0 * x)[0] - wall(x, 0 * x))
    square = error * field.slope_cos(x, 0 * x)

    near = number(row, "tolerance")
    assert error.max() == pytest.approx(number(row, "vertical_mm"), abs=near)
    assert square.max() == pytest.approx(number(row, "normal_mm"), abs=near)
    # Read 0.02 mm beside its place, far down the flank.
    (here, there), _inside = field.at([1.4, 1.42], [0.0, 0.0])
    assert here - there == pytest.approx(number(row, "beside_mm"), abs=5e-4)


def labial_errors(tilt_deg):
    """Errors of the edge and the labial flank of an incisal ridge, and how much is seen."""
    edge = shapes.ridge(0.0, 0.0, radius=0.6, front_deg=75, back_deg=60)
    view = tilted_view(member="lower", tilt_deg=tilt_deg) if tilt_deg else None
    field = height_field(
        shapes.grid_of(edge, (-2.5, 2.0, -0.5, 0.5), 0.02), member="lower", view=view
    )
    x = np.linspace(-0.2, 1.2, 1401)
    places = np.column_stack([x, 0.0 * x, edge(x, 0.0 * x)]) @ field.view.T
    z, inside = field.at(places[:, 0], places[:, 1])
    error = np.abs(z - places[:, 2])[inside]
    square = error * field.slope_cos(places[:, 0], places[:, 1])[inside]
    return error.max(), square.max(), inside.mean()


@published.each("labial_view")
def test_a_view_from_in_front_reads_a_steep_labial_flank_well(row):
    vertical, square, seen = labial_errors(number(row, "turned_deg"))

    near = number(row, "tolerance")
    assert vertical == pytest.approx(number(row, "vertical_mm"), abs=near)
    assert square == pytest.approx(number(row, "normal_mm"), abs=near)
    assert seen > 0.9


def test_a_view_turned_too_far_loses_the_incisal_edge():
    assert labial_errors(45)[2] < 0.8


@pytest.mark.parametrize("member", ["lower", "upper"])
def test_a_tilted_view_looks_at_the_labial_side(member):
    view = tilted_view(member=member, tilt_deg=30.0)
    from_the_eye = view[2] if member == "lower" else -view[2]

    assert from_the_eye == pytest.approx(
        [0.5, 0.0, math.cos(math.pi / 6) * (1 if member == "lower" else -1)]
    )
    assert np.linalg.det(view) == pytest.approx(1.0)


def test_labial_of_a_left_canine_is_to_the_left_and_forward():
    view = tilted_view(member="lower", tilt_deg=30.0, towards_deg=60.0)

    assert view[2] == pytest.approx([0.25, math.sqrt(3) / 4, math.sqrt(3) / 2])


def test_two_cells_along_the_silhouette_of_a_tilted_view_are_left_out():
    level = np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    soup = sheet(0.0, (0.0, 1.0, 0.0, 0.6), 0.2)
    turned = height_field(soup, member="lower", view=level)

    assert height_field(soup, member="lower").inside.sum() == 11 * 7
    assert turned.z_mm.shape == (7, 11)
    assert turned.inside.sum() == (11 - 4) * (7 - 4)


# Refusals


def test_a_mesh_without_triangles_is_refused():
    with pytest.raises(OpenOrEmptyMesh) as refusal:
        height_field(np.empty((0, 3, 3)), member="lower")

    assert refusal.value.text == (
        "No part of the surface lies over the grid. Give a surface that is wider than a cell, "
        "in millimetres, in articulator axes."
    )


@pytest.mark.parametrize("bounds", [(5, 6, 5, 6), (0, 0, 0, 1)])
def test_a_grid_beside_the_mesh_is_refused(bounds):
    with pytest.raises(OpenOrEmptyMesh):
        height_field(sheet(0.0) + 0.02, member="lower", bounds_mm=bounds, pitch_mm=0.5)


def test_a_function_that_is_nowhere_is_refused():
    with pytest.raises(OpenOrEmptyMesh):
        field_of(lambda x, y: np.nan * x, member="lower", bounds_mm=SQUARE)


@pytest.mark.parametrize(
    "triangles", [np.full((2, 3, 3), np.nan), np.full((1, 3, 3), np.inf), np.zeros((3, 3))]
)
def test_corners_that_are_no_numbers_are_refused(triangles):
    with pytest.raises(NotANumber):
        height_field(triangles, member="lower")


def test_a_grid_that_no_memory_holds_is_refused_with_a_way_out():
    with pytest.raises(OutOfRange, match=r"Crop the surface, or choose a pitch coarser than 0\.02"):
        height_field(sheet(0.0, (-90, 90, -90, 90), 180.0), member="lower", pitch_mm=0.02)


@pytest.mark.parametrize("pitch", [0.0, 0.019, 0.51, -0.1])
def test_a_pitch_out_of_bounds_is_refused(pitch):
    with pytest.raises(OutOfRange, match=r"Enter 0.02 to 0.5 mm"):
        height_field(sheet(0.0), member="lower", pitch_mm=pitch)


def test_an_arch_is_upper_or_lower():
    with pytest.raises(BadRequest, match="Choose one of: upper, lower"):
        height_field(sheet(0.0), member="both")


@pytest.mark.parametrize("view", [np.diag([1.0, 1.0, -1.0]), 2 * np.eye(3), np.eye(4)])
def test_a_view_that_mirrors_or_stretches_is_refused(view):
    with pytest.raises(NotANumber, match="The view is not a rotation"):
        height_field(sheet(0.0), member="lower", view=view)


def test_a_field_with_other_heights_is_read_anew():
    field = small()
    field.at([10.5], [20.5])
    lifted = dataclasses.replace(field, z_mm=field.z_mm + np.float32(1.0))

    assert lifted.at([10.5], [20.5])[0] == pytest.approx([3.0])
