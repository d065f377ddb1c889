"""Gaps by looking up, against closed forms and against rays on the moved meshes."""

import dataclasses
import math

import numpy as np
import pytest

from occlusion.errors import BadRequest, ImpossibleGeometry, OutOfRange
from occlusion.surfaces.gaps import (
    GapMaps,
    contact_area_mm2,
    gap_maps,
    minima,
    robust_minima,
    sample_gaps,
)
from occlusion.surfaces.heightfield import field_of, height_field, tilted_view
from occlusion.surfaces.nearest import nearest_gaps
from occlusion.surfaces.samples import Samples, samples_of
from tests import published
from tests.occlusion.surfaces import second_opinion, shapes
from tests.occlusion.surfaces.moves import along, end, shifted, turned
from tests.published import number

CLOSED = np.eye(4)[None]
SPHERE = shapes.cap((50.0, -25.0, -33.0), 1.0)
LOWER = field_of(SPHERE, member="lower", bounds_mm=(48.5, 51.5, -26.5, -23.5))


def level(z, bounds=(-2.0, 2.0, -2.0, 2.0)):
    """Samples of a level upper plane."""
    return samples_of(field_of(lambda x, y: z + 0 * x, member="upper", bounds_mm=bounds))


def some(regions, names=("16", "17")):
    """Upper samples of which only the regions matter."""
    return Samples(
        member="upper",
        points_mm=np.zeros((len(regions), 3), dtype=np.float32),
        region=np.array(regions, dtype=np.int16),
        names=names,
        incline=np.full(len(regions), -1, dtype=np.int16),
        cell_mm2=0.01,
    )


def maps_of(gaps):
    gap = np.array(gaps, dtype=np.float32)
    return GapMaps(gap, gap, gap >= 99.0)


# Against closed forms


@published.each("sphere_under_facet")
def test_a_sphere_under_a_facet_has_the_gap_of_a_point_and_a_plane(row):
    slope = math.tan(math.radians(number(row, "facet_deg")))
    normal = np.array([-slope * number(row, "rises_x"), -slope * number(row, "rises_y"), 1.0])
    normal /= np.linalg.norm(normal)
    touched = np.array([50.0, -25.0, -33.0]) + normal
    facet = shapes.plane(touched, *(-normal[:2] / normal[2]))
    samples = samples_of(field_of(facet, member="upper", bounds_mm=(45.0, 56.0, -30.0, -20.0)))
    position = end(row["excursion"])
    maps = gap_maps(LOWER, samples, position)
    vertical, _at = minima(maps, samples)
    expected = number(row, "normal_gap_mm")

    # The gap is vertical in the lower member: the facet leans there by its turn as well.
    assert vertical[0, 0] * (normal @ position[:3, 2]) == pytest.approx(
        expected, abs=number(row, "tolerance")
    )
    # The same along the vertical of the upper member.
    if row["vertical_gap_mm"]:
        upright = vertical[0, 0] * (normal @ position[:3, 2]) / normal[2]
        assert upright == pytest.approx(
            number(row, "vertical_gap_mm"), abs=number(row, "tolerance")
        )
    if expected > -0.5:  # deeper than that, the nearest surface is the sphere's other side
        distances, _feet = nearest_gaps(LOWER, samples.points_mm, position, member="upper")
        assert distances.min() == pytest.approx(expected, abs=number(row, "tolerance"))


def test_a_closed_plane_over_a_sphere_is_as_far_as_it_stands():
    least, at = minima(
        gap_maps(LOWER, level(-31.75, (49, 51, -26, -24)), CLOSED),
        samples := level(-31.75, (49, 51, -26, -24)),
    )

    assert least == pytest.approx(np.array([[0.25]]), abs=1e-4)
    assert samples.points_mm[at[0, 0]] == pytest.approx([50.0, -25.0, -31.75], abs=1e-4)


@pytest.mark.parametrize(("transform", "gap"), [(shifted(z=-0.4), 0.9), (shifted(z=0.6), -0.1)])
def test_a_lower_member_that_drops_opens_and_one_that_rises_interferes(transform, gap):
    lower = field_of(lambda x, y: 0 * x, member="lower", bounds_mm=(-3, 3, -3, 3))
    upper = field_of(lambda x, y: 0 * x + 0.5, member="upper", bounds_mm=(-3, 3, -3, 3))

    assert gap_maps(lower, samples_of(upper), transform).gap_mm[0, 500] == pytest.approx(gap)
    assert gap_maps(upper, samples_of(lower), transform).gap_mm[0, 500] == pytest.approx(gap)


@pytest.mark.parametrize(("x", "gap"), [(1.0, 1.0), (-1.0, 0.0)])
def test_a_lower_slope_that_moves_forward_is_met_further_back(x, gap):
    # The lower plane rises forward by half: 1 mm forward, it stands half a millimetre lower.
    rising = field_of(shapes.plane((0, 0, 0), 0.5, 0), member="lower", bounds_mm=(-5, 5, -5, 5))
    found = sample_gaps(rising, [[0.0, 0.0, 0.5]], shifted(x=x), member="upper")

    assert found == pytest.approx([gap], abs=1e-5)


def test_the_normal_gap_is_the_vertical_one_times_the_cosine_of_the_slope():
    rising = field_of(shapes.plane((0, 0, 0), 0.75, 0), member="lower", bounds_mm=(-5, 5, -5, 5))
    maps = gap_maps(rising, level(2.0), CLOSED)

    assert maps.normal_mm == pytest.approx(0.8 * maps.gap_mm, rel=1e-4)
    assert maps.normal_mm.min() == pytest.approx(0.8 * (2.0 - 1.5), rel=1e-4)


# Against rays


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("kind", ["protrusive", "right", "left"])
def test_gaps_of_both_members_are_those_of_rays_on_the_moved_mesh(seed, kind):
    below, above, bounds = shapes.two_arches(seed, teeth=2)
    lower, upper = shapes.grid_of(below, bounds, 0.5), shapes.grid_of(above, bounds, 0.5)
    low, up = height_field(lower, member="lower"), height_field(upper, member="upper")
    position = end(kind)
    picked = np.random.default_rng(seed).integers(0, len(samples_of(up)), 15)
    upper_points = samples_of(up).points_mm[picked]
    lower_points = samples_of(low).points_mm[picked]

    found = sample_gaps(low, upper_points, position, member="upper")
    rays = np.array([second_opinion.gap(lower, point, position) for point in upper_points])
    assert (found < 99.0).sum() >= 9
    assert np.abs(found - rays)[found < 99.0].max() < 0.004
    found = sample_gaps(up, lower_points, position, member="lower")
    rays = np.array([second_opinion.gap_from_below(upper, one, position) for one in lower_points])
    assert (found < 99.0).sum() >= 9
    assert np.abs(found - rays)[found < 99.0].max() < 0.004


def test_gaps_in_a_tilted_view_are_those_of_rays_along_its_vertical():
    below, above, bounds = shapes.two_arches(3, teeth=2)
    lower = shapes.grid_of(below, bounds, 0.5)
    view = tilted_view(member="lower", tilt_deg=20.0, towards_deg=-35.0)
    field = height_field(lower, member="lower", view=view)
    points = samples_of(height_field(shapes.grid_of(above, bounds, 0.5), member="upper")).points_mm
    points = points[5000::1500]
    position = end("left")
    found = sample_gaps(field, points, position, member="upper")
    rays = [second_opinion.gap(lower, point, position, view[2]) for point in points]

    assert (found < 99.0).sum() >= 9
    assert np.abs(found - rays)[found < 99.0].max() < 0.004


# What it keeps to


def test_both_arches_moved_and_turned_together_keep_their_gaps():
    below, above, bounds = shapes.two_arches(4, teeth=2)
    together = shifted(1.234, -2.345, 0.567) @ turned("z", 25.0, (45.0, -24.0, 0.0))
    back = np.linalg.inv(together)

    def elsewhere(x, y):
        return (
            below(
                back[0, 0] * x + back[0, 1] * y + back[0, 3],
                back[1, 0] * x + back[1, 1] * y + back[1, 3],
            )
            + together[2, 3]
        )

    here = field_of(below, member="lower", bounds_mm=bounds)
    there = field_of(elsewhere, member="lower", bounds_mm=(15.0, 75.0, -50.0, 0.0))
    points = samples_of(field_of(above, member="upper", bounds_mm=bounds)).points_mm[::11]
    taken = points @ together[:3, :3].T + together[:3, 3]
    positions = along("right", steps=2)
    first = sample_gaps(here, points, positions, member="upper")
    second = sample_gaps(there, taken, together @ positions @ back, member="upper")
    both = (first < 99.0) & (second < 99.0)

    assert both.mean() > 0.7
    assert np.abs(first - second)[both].mean() < 0.001
    assert np.abs(first - second)[both].max() < 0.02  # on creases, which the grid rounds


def test_many_samples_are_the_same_as_few():
    below, above, bounds = shapes.two_arches(5)
    lower = field_of(below, member="lower", bounds_mm=bounds)
    samples = samples_of(field_of(above, member="upper", bounds_mm=bounds))
    last = samples.taken(np.arange(len(samples) - 40, len(samples)))
    positions = along("left", steps=2)

    assert len(samples) > 3 * 16_384
    assert gap_maps(lower, samples, positions).gap_mm[:, -40:] == pytest.approx(
        gap_maps(lower, last, positions).gap_mm, abs=2e-5
    )


def test_the_bare_look_up_keeps_the_shape_of_the_positions():
    positions = np.stack([along("right", steps=2), along("left", steps=2)])
    found = sample_gaps(LOWER, [[50.0, -25.0, -31.0]], positions, member="upper")
    maps = gap_maps(LOWER, level(-31.0, (50, 50.1, -25, -24.9)), positions[1])

    assert found.shape == (2, 3, 1)
    assert found[1, :, 0] == pytest.approx(maps.gap_mm[:, 0], abs=1e-5)


def test_a_sample_over_nothing_has_no_gap():
    maps = gap_maps(LOWER, level(-31.0, (48, 52, -27, -23)), CLOSED)

    assert maps.outside[0, 0]
    assert maps.gap_mm[0, 0] == maps.normal_mm[0, 0] == np.float32(99.0)
    assert (maps.gap_mm < 99.0).tolist() == (~maps.outside).tolist()


# Of each region


def test_the_least_gap_of_each_region_comes_with_its_sample():
    maps = maps_of([[0.3, 0.1, -0.2, 0.5, -0.9], [0.2, 0.4, 99.0, 99.0, -0.9]])
    least, at = minima(maps, some([0, 0, 1, 1, -1], ("16", "17", "18")))

    assert least == pytest.approx(np.array([[0.1, -0.2, 99.0], [0.2, 99.0, 99.0]]))
    assert at.tolist() == [[1, 2, -1], [0, -1, -1]]


def test_a_robust_minimum_is_the_mean_of_the_lowest_cells():
    gaps = np.concatenate([np.arange(40.0)[::-1] / 100.0, [-5.0, 0.2, 0.4, 99.0]])
    found = robust_minima(maps_of([gaps]), some([0] * 40 + [-1, 1, 1, 1]))

    assert found == pytest.approx(np.array([[0.12, 0.3]]))  # 0.00 to 0.24; and only two there


def test_a_robust_minimum_over_nothing_is_far():
    assert robust_minima(maps_of([[99.0, 99.0]]), some([0, 0], ("16",))).tolist() == [[99.0]]


@published.each("noisy_minimum")
def test_noise_pulls_the_least_gap_down_and_the_robust_one_hardly(row):
    bounds = (-4.0, 4.0, -4.0, 4.0)
    lower = field_of(shapes.cusps([(0, 0, 0)], 20.0), member="lower", bounds_mm=bounds)
    upper = field_of(lambda x, y: 0.3 + 0 * x, member="upper", bounds_mm=bounds)

    def read(low, up):
        samples = samples_of(up)
        maps = gap_maps(low, samples, CLOSED)
        return minima(maps, samples)[0][0, 0], robust_minima(maps, samples)[0, 0]

    def noisy(field, draw):
        noise = draw.normal(0.0, number(row, "noise_mm"), field.z_mm.shape)
        return dataclasses.replace(field, z_mm=(field.z_mm + noise).astype(np.float32))

    draws = [np.random.default_rng(seed) for seed in range(20)]
    bias = np.mean([read(noisy(lower, one), noisy(upper, one)) for one in draws], axis=0)
    bias -= read(lower, upper)

    near = number(row, "tolerance")
    assert bias[0] == pytest.approx(number(row, "least_bias_mm"), abs=near)
    assert bias[1] == pytest.approx(number(row, "robust_bias_mm"), abs=near)
    above = number(row, "noise_free_robust_mm")
    assert read(lower, upper)[1] - 0.3 == pytest.approx(above, abs=0.002)


def test_the_area_of_a_contact_band_is_that_of_the_cap_within_it():
    samples = level(-32.0, (48.9, 51.1, -26.1, -23.9))
    closed_and_pressed = np.stack([np.eye(4), shifted(z=0.1)])
    area = contact_area_mm2(gap_maps(LOWER, samples, closed_and_pressed), samples, 0.1)

    # pi (2 r b - b ^ 2) for a band of 0.1, and of 0.2 once pressed in by 0.1.
    assert area == pytest.approx(np.array([[0.597], [1.131]]), abs=0.06)


def test_a_contact_band_counts_what_interferes_and_no_other_region():
    maps = maps_of([[0.05, -0.5, 0.2, 0.1]])

    assert contact_area_mm2(maps, some([0, 0, 0, 1]), 0.1) == pytest.approx(
        np.array([[0.02, 0.01]])
    )
    with pytest.raises(OutOfRange):
        contact_area_mm2(maps, some([0, 0, 0, 1]), 0.7)


# Refusals


def test_an_arch_is_not_compared_with_itself():
    with pytest.raises(BadRequest, match="Samples and field both belong to the lower arch"):
        gap_maps(LOWER, samples_of(LOWER), CLOSED)


def test_a_position_that_mirrors_is_refused():
    with pytest.raises(ImpossibleGeometry):
        sample_gaps(LOWER, [[50.0, -25.0, -31.0]], np.diag([1.0, -1.0, 1.0, 1.0]), member="upper")
