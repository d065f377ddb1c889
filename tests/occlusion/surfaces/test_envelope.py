"""What an arch sweeps, against a closed form and against rays on the moved meshes."""

import dataclasses

import numpy as np
import pytest

from occlusion.articulator import Excursion
from occlusion.errors import BadRequest
from occlusion.motion import lower_positions
from occlusion.surfaces.envelope import (
    fan,
    fan_excursions,
    fan_paths,
    reduction_depths,
    swept_envelope,
)
from occlusion.surfaces.gaps import gap_maps
from occlusion.surfaces.heightfield import field_of, height_field, tilted_view
from occlusion.surfaces.samples import samples_of
from tests import published
from tests.occlusion.bench import settings_of, symmetric
from tests.occlusion.surfaces import second_opinion, shapes
from tests.occlusion.surfaces.moves import along, end, shifted, turned
from tests.published import number

SPHERE = field_of(
    shapes.cap((50.0, -25.0, -33.0), 1.0), member="lower", bounds_mm=(48.5, 51.5, -26.5, -23.5)
)
STEEP = symmetric(20.0, 20.0)


@published.each("swept_sphere")
def test_a_sphere_sweeps_as_high_as_its_path_takes_it(row):
    path = along("protrusive", bench=STEEP, steps=60)
    height, _at = swept_envelope(
        SPHERE, [[number(row, "x_mm"), number(row, "y_mm")]], path, start_z_mm=-32.0
    )

    assert height == pytest.approx([number(row, "height_mm")], abs=number(row, "tolerance"))


def test_each_place_of_the_envelope_names_the_position_that_made_it():
    path = along("protrusive", bench=STEEP, steps=60)
    places = [[50.0, -25.0], [51.5, -25.0], [53.0, -25.0], [47.0, -25.0]]
    height, at = swept_envelope(SPHERE, places, path, start_z_mm=-32.0)

    # Advance is 0.05 mm a step; the sphere passes a little before its top is at the place.
    assert at[:3].tolist() == [0, 24, 54]
    assert (at[3], np.isnan(height[3])) == (-1, True)


def test_where_to_start_on_the_line_does_not_matter():
    path = along("right", steps=10)
    places = [[50.4, -25.3], [51.0, -26.0]]
    near, _at = swept_envelope(SPHERE, places, path, start_z_mm=[-32.2, -32.5])
    far, _at = swept_envelope(SPHERE, places, path, start_z_mm=-22.0)

    assert far == pytest.approx(near, abs=2e-4)


def test_the_lines_stand_in_the_upper_member_and_not_in_the_lower():
    # A level plane turned by 5 deg about y through its edge: on the line x = 4 the turned plane
    # stands 4 tan 5 lower; along its own vertical it would be 4 sin 5.
    plane = field_of(lambda x, y: 0 * x, member="lower", bounds_mm=(-9, 9, -2, 2))
    height, _at = swept_envelope(plane, [[4.0, 0.5]], turned("y", 5.0), start_z_mm=0.0)

    assert height == pytest.approx([-0.34995], abs=2e-5)


def test_an_upper_arch_sweeps_down_as_the_lower_member_sees_it():
    plane = field_of(lambda x, y: 0 * x, member="upper", bounds_mm=(-9, 9, -9, 9))
    height, at = swept_envelope(
        plane,
        [[4.0, 0.5]],
        np.stack([np.eye(4), shifted(z=0.3), shifted(z=-0.7)]),
        start_z_mm=-1.0,
    )

    assert height == pytest.approx([-0.3], abs=1e-6)
    assert at.tolist() == [1]


@pytest.mark.parametrize("seed", [1, 2])
def test_the_envelope_of_a_lower_arch_is_that_of_rays_on_every_moved_mesh(seed):
    below, above, bounds = shapes.two_arches(seed, teeth=2)
    lower = shapes.grid_of(below, bounds, 0.6)
    path = np.concatenate([along("right", steps=4), along("protrusive", steps=3)])
    places = samples_of(field_of(above, member="upper", bounds_mm=bounds)).points_mm[3000::2200]
    field = height_field(lower, member="lower")
    found, _at = swept_envelope(field, places[:, :2], path, places[:, 2])
    rays = np.array([second_opinion.swept_height(lower, x, y, path) for x, y, _z in places])

    assert len(found) >= 9
    assert np.isfinite(found).all()
    assert found == pytest.approx(rays, abs=0.004)


def test_the_envelope_of_an_upper_arch_is_the_mirrored_one_of_its_mirror_image():
    # Upside down, with the inverse movements, a lower arch sees an upper one as the upper a lower.
    below, _above, bounds = shapes.two_arches(3, teeth=2)
    path = along("right", bench=symmetric(15.0, 5.0, bennett=10.0), steps=8)
    flip = np.diag([1.0, 1.0, -1.0, 1.0])
    lower = field_of(below, member="lower", bounds_mm=bounds)
    upper = field_of(lambda x, y: -below(x, y), member="upper", bounds_mm=bounds)
    places = [[x, y] for x in (38.0, 41.0, 45.0, 49.0) for y in (-27.0, -24.0, -21.0)]
    up, at = swept_envelope(lower, places, path, start_z_mm=-32.0)
    down, mirrored_at = swept_envelope(
        upper, places, flip @ np.linalg.inv(path) @ flip, start_z_mm=32.0
    )

    assert len(set(at.tolist())) > 1
    assert down == pytest.approx(-up, abs=1e-5)
    assert mirrored_at.tolist() == at.tolist()


def test_an_envelope_in_a_tilted_view_is_that_of_the_same_shape_tilted():
    # A sphere looks the same from everywhere, so does its path when the movement is tilted too.
    view = tilted_view(member="lower", tilt_deg=30.0)
    turn = np.eye(4)
    turn[:3, :3] = view
    path = along("right", steps=6)
    ball = shapes.sphere((50.0, -25.0, -33.0), 1.0)
    tilted = height_field(ball, member="lower", view=view)
    straight = height_field(second_opinion.moved(ball, turn), member="lower")
    places = (view @ [50.0, -25.0, -33.0])[:2] + np.array([[0.2, 0.1], [-0.3, 0.2]])
    found, _at = swept_envelope(tilted, places, path, start_z_mm=0.0)
    other, _at = swept_envelope(straight, places, turn @ path @ turn.T, start_z_mm=0.0)

    assert found == pytest.approx(other, abs=1e-4)


def test_more_positions_never_lower_the_envelope():
    below, above, bounds = shapes.two_arches(7, teeth=2)
    field = field_of(below, member="lower", bounds_mm=bounds)
    samples = samples_of(field_of(above, member="upper", bounds_mm=bounds))
    samples = samples.taken(np.arange(0, len(samples), 7))
    path = shifted(z=0.4) @ along("right", steps=16)
    every, fewer = (reduction_depths(field, samples, path[::step]) for step in (1, 4))

    assert (every.depth_mm - fewer.depth_mm).min() > -1e-5  # round-off
    assert (every.depth_mm > fewer.depth_mm).any()


# Reduction


@pytest.mark.parametrize("member", ["upper", "lower"])
def test_a_pressed_cusp_is_deep_by_as_much_as_it_is_pressed(member):
    cusp = shapes.cusps([(0.0, 0.0, 0.0)], 30.0)
    bounds = (-2.0, 2.0, -2.0, 2.0)
    lower = field_of(cusp, member="lower", bounds_mm=bounds)
    upper = field_of(lambda x, y: 0.1 + 0 * x, member="upper", bounds_mm=bounds)
    field, carrier = (lower, upper) if member == "upper" else (upper, lower)
    samples = samples_of(carrier)
    positions = np.stack([np.eye(4), shifted(z=0.4), shifted(z=0.2)])
    found = reduction_depths(field, samples, positions)
    deepest = found.depth_mm.argmax()

    assert found.depth_mm[deepest] == pytest.approx(0.3, abs=1e-5)
    assert samples.points_mm[deepest, :2] == pytest.approx([0.0, 0.0], abs=1e-5)
    assert found.position[deepest] == 1
    assert found.depth_mm.min() == 0.0
    assert (found.depth_mm > 0.0).mean() == pytest.approx(0.145, abs=0.005)


def test_a_normal_depth_is_square_to_the_slope_that_asks_for_it():
    slope = field_of(shapes.plane((0, 0, 0), 0.0, 0.75), member="lower", bounds_mm=(-9, 9, -9, 9))
    above = shapes.plane((0, 0, -0.5), 0.0, 0.75)
    samples = samples_of(field_of(above, member="upper", bounds_mm=(-1, 1, -1, 1)))
    level = reduction_depths(slope, samples, np.eye(4))
    # Rolled by 5 deg, the slope that asks has only 36.87 - 5 = 31.87 deg left.
    rolled = reduction_depths(slope, samples, turned("x", -5.0))

    assert level.depth_mm == pytest.approx(np.full(len(samples), 0.5), abs=1e-5)
    assert level.normal_mm == pytest.approx(np.full(len(samples), 0.4), abs=1e-5)
    assert rolled.normal_mm == pytest.approx(0.84924 * rolled.depth_mm, abs=1e-4)
    assert rolled.depth_mm.max() == pytest.approx(0.5 + 0.75 - 0.62176, abs=1e-4)


def test_a_sphere_turned_about_its_centre_asks_for_what_it_asked_before():
    # 0.6 mm beside the middle a sphere of 1 mm stands 0.8 mm over its centre, at a cosine of 0.8.
    level = field_of(lambda x, y: -33.0 + 0 * x, member="upper", bounds_mm=(49, 51, -26, -24))
    samples = samples_of(level)
    beside = np.hypot(*(samples.points_mm[:, :2] - [50.0, -25.6]).T).argmin()
    for angle in (6.0, -6.0):
        turn = turned("x", angle, (50.0, -25.0, -33.0))
        found = reduction_depths(SPHERE, samples, turn)
        assert found.depth_mm[beside] == pytest.approx(0.8, abs=0.003)
        assert found.normal_mm[beside] == pytest.approx(0.64, abs=0.01)


def test_where_nothing_is_swept_nothing_has_to_go():
    far = samples_of(field_of(lambda x, y: -99.0 + 0 * x, member="upper", bounds_mm=(0, 1, 0, 1)))
    found = reduction_depths(SPHERE, far, np.eye(4))

    assert found.depth_mm.max() == found.normal_mm.max() == 0.0
    assert set(found.position) == {-1}


def test_what_nearly_touches_asks_for_nothing():
    lower = field_of(lambda x, y: 0 * x, member="lower", bounds_mm=(-2, 2, -2, 2))
    upper = field_of(lambda x, y: 5e-4 + 0 * x, member="upper", bounds_mm=(-1, 1, -1, 1))
    found = reduction_depths(lower, samples_of(upper), np.eye(4))

    assert found.depth_mm.max() == 0.0
    assert set(found.position) == {-1}


def test_what_is_left_after_the_reduction_meets_nothing():
    below, above, bounds = shapes.two_arches(8, teeth=2)
    lower = field_of(below, member="lower", bounds_mm=bounds)
    upper = field_of(above, member="upper", bounds_mm=bounds)
    samples = samples_of(upper)
    path = shifted(z=0.4) @ along("right", steps=8)
    found = reduction_depths(lower, samples, path)
    z = upper.z_mm.copy()
    z[upper.inside] += found.depth_mm
    after = gap_maps(lower, samples_of(dataclasses.replace(upper, z_mm=z)), path)

    assert gap_maps(lower, samples, path).gap_mm.min() < -0.3
    assert after.gap_mm.min() > -0.002


def test_the_other_arch_is_needed_for_a_reduction():
    with pytest.raises(BadRequest, match="Samples and field both belong to the lower arch"):
        reduction_depths(SPHERE, samples_of(SPHERE), end("right"))


# The fan


def test_the_fan_holds_protrusion_both_sides_and_three_blends_of_each():
    excursions = fan_excursions(
        travel_mm={"protrusive": 4.0, "right": 2.0, "left": 3.0}, travel_along="path"
    )

    assert [(one.kind, one.blend, one.travel_mm) for one in excursions] == [
        ("protrusive", 0.0, 4.0),
        ("right", 0.0, 2.0),
        ("right", 0.25, 2.5),
        ("right", 0.5, 3.0),
        ("right", 0.75, 3.5),
        ("left", 0.0, 3.0),
        ("left", 0.25, 3.25),
        ("left", 0.5, 3.5),
        ("left", 0.75, 3.75),
    ]
    assert {one.travel_along for one in excursions} == {"path"}


def test_one_travel_is_that_of_every_excursion():
    excursions = fan_excursions(travel_mm=3.0, travel_along="horizontal")

    assert {one.travel_mm for one in excursions} == {3.0}


def test_the_fan_is_the_engine_s_positions_one_excursion_after_the_other():
    settings = settings_of(symmetric(30.0, 10.0, bennett=15.0, wing=20.0))
    positions = fan(settings, travel_mm=3.0, travel_along="horizontal", steps=5)
    right = lower_positions(
        settings=settings,
        excursion=Excursion(kind="right", travel_mm=3.0, travel_along="horizontal"),
        steps=5,
    )

    assert positions.shape == (9 * 6, 4, 4)
    assert positions[0] == pytest.approx(np.eye(4), abs=1e-12)
    assert positions[6:12] == pytest.approx(right.transforms, abs=1e-12)


def test_the_side_shift_is_gone_through_before_the_travel():
    settings = settings_of(symmetric(30.0, 10.0, bennett=15.0, wing=20.0, shift=0.6))
    excursions = fan_excursions(travel_mm=3.0, travel_along="horizontal")
    paths = fan_paths(settings, excursions, steps=30)
    right = paths[1]

    assert len(paths[0]) == 31
    assert len(right) == 31 + 6
    assert right.side_shift_mm[:8] == pytest.approx([0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.6])
    assert right.advance_mm[:8] == pytest.approx([0.0] * 7 + [0.1])
    assert len(fan(settings, travel_mm=3.0, travel_along="horizontal")) == sum(map(len, paths))
