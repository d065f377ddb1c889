"""Placed arches come to rest on three places; cusps are spheres, so that where is known."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from occlusion.errors import NoSolution, OutOfRange
from occlusion.frames import apply, best_motion, transform
from occlusion.surfaces.gaps import sample_gaps
from occlusion.surfaces.heightfield import field_of
from occlusion.surfaces.registration import settle
from occlusion.surfaces.samples import Region, samples_of
from tests.occlusion.surfaces.crowns import arch
from tests.occlusion.surfaces.set_ups import made

BOUNDS = (30.0, 85.0, -35.0, 35.0)
PITCH = 0.5
RADIUS = 3.0

#: Middles of spheres: a front tooth, premolars and molars. By construction a flat plate above them
#: rests on the three that stand highest over the plane through any other three.
TRIPOD = [(75.0, 5.0), (40.0, -26.0), (40.0, 26.0)]
LOWER_THERE = [(70.0, -15.0), (60.0, 22.0)]


def cusps(middles, *, floor=-6.0):
    """Heights of spheres over a floor."""

    def height(x, y):
        z = np.full(x.shape, floor)
        for cx, cy, cz in middles:
            beside2 = (x - cx) ** 2 + (y - cy) ** 2
            cap = cz + np.sqrt(np.maximum(RADIUS**2 - beside2, 0.0))
            z = np.maximum(z, np.where(beside2 <= RADIUS**2, cap, floor))
        return z

    return height


def plate(x, _y):
    return np.zeros(x.shape)


def arches(middles, *, upper=plate):
    lower = field_of(cusps(middles), member="lower", bounds_mm=BOUNDS, pitch_mm=PITCH)
    return lower, field_of(upper, member="upper", bounds_mm=BOUNDS, pitch_mm=PITCH)


def tilted(*, lift, about_x_deg=0.0, about_y_deg=0.0):
    """Middles of spheres that would all but two touch the plate, had they not been moved."""
    level = [(x, y, -RADIUS) for x, y in TRIPOD] + [(x, y, -RADIUS - 0.4) for x, y in LOWER_THERE]
    turn = Rotation.from_euler("xy", [about_x_deg, about_y_deg], degrees=True)
    centre = np.array([55.0, 0.0, -RADIUS])
    return turn.apply(np.array(level) - centre) + centre + (0.0, 0.0, lift)


def moved(found, points):
    return np.asarray(points) @ found.transform[:3, :3].T + found.transform[:3, 3]


@given(st.floats(-0.4, 0.4), st.floats(-0.4, 0.4), st.floats(-0.4, 0.4), st.booleans())
@settings(max_examples=8, deadline=None)
def test_a_plate_comes_to_rest_on_the_three_spheres_that_reach_it(lift, a, b, by_upper):
    middles = tilted(lift=lift, about_x_deg=a, about_y_deg=b)
    lower, upper = arches(middles)

    found = settle(lower, samples_of(upper)) if by_upper else settle(upper, samples_of(lower))

    # A plate touches a sphere where its middle is a radius away: the grid is 0.02 mm coarse there.
    assert moved(found, middles)[:3, 2] == pytest.approx([-RADIUS] * 3, abs=0.025)
    assert (moved(found, middles)[3:, 2] < -RADIUS - 0.3).all()
    assert len(found.contacts_mm) == 3
    for place in TRIPOD:
        assert np.hypot(*(found.contacts_mm[:, :2] - place).T).min() < 0.75


def test_how_far_they_moved_is_the_way_of_the_tooth_that_moves_most():
    # A quarter of a degree about x over 35 mm, and 0.2 mm down.
    lower, upper = arches(tilted(lift=0.2, about_x_deg=0.25))

    found = settle(lower, samples_of(upper))

    assert found.tilt_deg == pytest.approx(0.25, abs=0.01)
    assert found.lift_mm == pytest.approx(-0.2, abs=0.01)
    assert found.moved_mm == pytest.approx(0.2 + 35.0 * np.radians(0.25), abs=0.01)


def test_only_named_regions_count_as_teeth_for_the_way():
    lower, upper = arches(tilted(lift=0.2, about_x_deg=0.25))
    middle = samples_of(upper, regions=[Region("41", (75.0, 0.0), 4.0)])

    found = settle(lower, middle)

    assert found.moved_mm == pytest.approx(0.2 + 4.0 * np.radians(0.25), abs=0.01)


def test_contacts_are_told_with_their_regions_and_at_rest():
    middles = tilted(lift=-0.3)
    lower, upper = arches(middles)
    regions = [Region("46", (40.0, -26.0), 4.0), Region("36", (40.0, 26.0), 4.0)]

    found = settle(upper, samples_of(lower, regions=regions))

    assert sorted(found.contact_regions) == ["", "36", "46"]
    assert found.contacts_mm[:, 2] == pytest.approx([0.0] * 3, abs=0.01)
    assert found.lift_mm == pytest.approx(0.3, abs=0.01)


def test_nothing_is_left_with_an_interference_and_three_places_touch():
    def fossae(x, y):
        return 0.4 + 0.4 * np.sin(x / 2.0) * np.cos(y / 3.0)

    lower, upper = arches(tilted(lift=0.35, about_x_deg=0.5, about_y_deg=-0.3), upper=fossae)
    samples = samples_of(upper)

    found = settle(lower, samples)
    gaps = sample_gaps(lower, samples.points_mm, found.transform, member="upper")

    assert gaps.min() == pytest.approx(0.0, abs=2e-5)  # float32 at 30 mm
    touching = samples.points_mm[gaps <= 0.01][:, :2]
    around = touching - samples.points_mm[:, :2].mean(axis=0)
    # They stand around the load: from the load no half of the plane is without a contact.
    angles = np.sort(np.arctan2(around[:, 1], around[:, 0]))
    assert np.diff(np.append(angles, angles[0] + 2 * np.pi)).max() <= np.pi


def test_no_rise_at_the_load_and_no_tilt_could_close_them_further():
    # Brute force: from where they rest, a small lift at the load with any small tilt cuts.
    lower, upper = arches(tilted(lift=0.1, about_x_deg=0.3))
    samples = samples_of(upper)
    found = settle(lower, samples)
    load = samples.points_mm.mean(axis=0)
    rng = np.random.default_rng(4)

    for turn in rng.uniform(-0.01, 0.01, (300, 2)):
        further = np.eye(4)
        further[:3, :3] = Rotation.from_rotvec([*turn, 0.0]).as_matrix()
        further[:3, 3] = load - further[:3, :3] @ load + (0.0, 0.0, 0.02)
        gaps = sample_gaps(lower, samples.points_mm, further @ found.transform, member="upper")
        assert gaps.min() < -0.005


def test_the_load_decides_which_three_carry_it():
    # A fourth sphere at the right front, as high as the others: the plane tips to where it is held.
    middles = [(x, y, -RADIUS) for x, y in TRIPOD] + [(75.0, -20.0, -RADIUS - 0.2)]
    lower, upper = arches(middles)
    samples = samples_of(upper)

    back = settle(lower, samples, load_mm=(50.0, 2.0))
    right = settle(lower, samples, load_mm=(65.0, -17.0))

    assert moved(back, middles)[3, 2] < -RADIUS - 0.15
    assert moved(right, middles)[3, 2] == pytest.approx(-RADIUS, abs=0.01)
    assert len(right.contacts_mm) == 3


def test_arches_that_rest_already_are_left_where_they_are():
    lower, upper = arches(tilted(lift=0.0))

    found = settle(lower, samples_of(upper))

    assert found.moved_mm < 0.002
    assert found.transform == pytest.approx(np.eye(4), abs=0.002)


def test_contacts_that_carry_the_load_come_first_and_near_ones_are_one():
    # Two plates touch everywhere: the first three stand around the load, no two are neighbours.
    flat = field_of(plate, member="lower", bounds_mm=BOUNDS, pitch_mm=PITCH)
    _, upper = arches([])

    contacts = settle(flat, samples_of(upper), load_mm=(50.0, 10.0)).contacts_mm[:, :2]

    apart = np.linalg.norm(contacts[:, None] - contacts[None], axis=2)
    assert apart[np.triu_indices(len(contacts), 1)].min() >= 3.0
    weights = np.linalg.solve(np.vstack([contacts[:3].T, np.ones(3)]), [50.0, 10.0, 1.0])
    assert weights.min() >= -1e-6


@given(st.floats(-0.3, 0.3), st.floats(-0.3, 0.3), st.floats(-0.3, 0.3))
@settings(max_examples=8, deadline=None)
def test_cusps_in_fossae_are_never_left_cut_into_each_other(dx, dy, turn_deg):
    def bumps(x, y):
        return 1.5 * np.cos(1.1 * x) * np.cos(1.1 * y)

    def shifted(x, y):
        return bumps(x - dx, y - dy) - 0.3 + np.radians(turn_deg) * y

    upper = samples_of(field_of(bumps, member="upper", bounds_mm=BOUNDS, pitch_mm=PITCH))
    lower = field_of(shifted, member="lower", bounds_mm=BOUNDS, pitch_mm=PITCH)

    found = settle(lower, upper)

    gaps = sample_gaps(lower, upper.points_mm, found.transform, member="upper")
    assert gaps.min() >= -2e-5  # float32 at 30 mm
    assert len(found.contacts_mm) >= 3


# Slides


def eggs(x, y):
    """Hills and hollows that fit into each other in one place only, within a period of 5.7 mm."""
    return 1.5 * np.cos(1.1 * x) * np.cos(1.1 * y)


def placed_aside(dx, dy, turn_deg, *, up=-0.3):
    """Eggs that belong at the origin, carried from there about the middle of the arch."""
    there = np.eye(4)
    there[:3, :3] = Rotation.from_rotvec([0.0, 0.0, np.radians(turn_deg)]).as_matrix()
    middle = np.array([57.5, 0.0, 0.0])
    there[:3, 3] = middle - there[:3, :3] @ middle + (dx, dy, up)
    lower = field_of(eggs, member="lower", bounds_mm=BOUNDS, pitch_mm=0.25)
    samples = samples_of(field_of(eggs, member="upper", bounds_mm=BOUNDS, pitch_mm=PITCH))
    # As the lower member sees it the upper one stands aside by the inverse.
    seen = (samples.points_mm - there[:3, 3]) @ there[:3, :3]
    return lower, replace(samples, points_mm=seen.astype(np.float32)), there


def left_over(there, found, places):
    """How far places of the lower member end from where they belong, shape (m, 3)."""
    return apply(there, apply(found.transform, places)) - places


CORNERS = np.array([[75.0, 5.0, 0.0], [40.0, -26.0, 0.0], [40.0, 26.0, 0.0]])


@pytest.mark.parametrize(
    ("dx", "dy", "turn_deg"), [(0.3, 0.0, 0.0), (-0.2, 0.25, 0.0), (0.1, -0.2, 0.4)]
)
def test_interlocking_arches_placed_aside_find_their_deepest_rest(dx, dy, turn_deg):
    lower, samples, there = placed_aside(dx, dy, turn_deg)

    open_ = settle(lower, samples)
    found = settle(lower, samples, slide_mm=0.4)

    # Straight up, hills stop on the sides of hills: a slope of 1.65 at most.
    assert left_over(there, open_, CORNERS)[:, 2].mean() < -0.1
    assert np.abs(left_over(there, found, CORNERS)).max() < 0.05
    assert found.slide_mm == pytest.approx(np.hypot(dx, dy), abs=0.03)
    assert found.twist_deg == pytest.approx(abs(turn_deg), abs=0.05)
    assert found.lift_mm == pytest.approx(0.3, abs=0.03)
    assert (open_.slide_mm, open_.twist_deg) == (0.0, 0.0)


def test_a_slide_ends_where_it_is_allowed_to():
    lower, samples, there = placed_aside(0.3, 0.0, 0.0)

    found = settle(lower, samples, slide_mm=0.1)

    assert left_over(there, found, CORNERS)[:, 0] == pytest.approx([0.2] * 3, abs=0.01)
    assert found.slide_mm == pytest.approx(0.1, abs=0.003)


def test_the_lower_arch_may_be_the_one_that_is_sampled():
    lower, _, there = placed_aside(0.2, -0.15, 0.0)
    upper = field_of(eggs, member="upper", bounds_mm=BOUNDS, pitch_mm=0.25)
    points = samples_of(lower).points_mm[::3] @ there[:3, :3].T + there[:3, 3]
    below = replace(samples_of(lower).taken(slice(None, None, 3)), points_mm=points.astype("f4"))

    found = settle(upper, below, slide_mm=0.4)

    back = apply(found.transform, apply(there, CORNERS)) - CORNERS
    assert np.abs(back).max() < 0.05


def test_friction_keeps_what_no_slide_would_lower():
    flat = field_of(plate, member="lower", bounds_mm=BOUNDS, pitch_mm=PITCH)
    _, upper = arches([])

    found = settle(flat, samples_of(upper), slide_mm=0.5)

    assert (found.slide_mm, found.twist_deg) == pytest.approx((0.0, 0.0), abs=1e-6)


def test_arches_read_with_an_error_stand_nearer_to_the_truth_once_they_have_settled():
    """Both casts registered by three points read to 0.1 mm; the incisor, in three directions."""
    both = made(upper=arch("upper", "denture"), lower=arch("lower", "natural"))
    lower, samples = both.field("lower", pitch_mm=0.25), both.samples("upper", pitch_mm=0.25)
    points = np.array([[80.0, 0.0, -32.0], [42.0, -26.0, -30.0], [42.0, 26.0, -30.0]])
    rng = np.random.default_rng(3)
    incisor = points[:1]
    before, after = [], []
    for _ in range(8):
        moves = []
        for _member in ("upper", "lower"):
            read, stood = points + rng.normal(0.0, 0.1, (2, 3, 3))
            moves.append(transform(*best_motion(read, stood)))
        there = np.linalg.inv(moves[0]) @ moves[1]
        seen = apply(np.linalg.inv(there), samples.points_mm.astype(float))
        found = settle(lower, replace(samples, points_mm=seen.astype("f4")), slide_mm=0.45)
        before.append(apply(there, incisor)[0] - incisor[0])
        after.append(left_over(there, found, incisor)[0])
    before, after = (np.sqrt(np.mean(np.square(one), axis=0)) for one in (before, after))

    assert (before > 0.1).all()
    assert (after < 0.05).all()


# What finds no rest


def test_a_rest_too_far_away_is_refused():
    lower, upper = arches(tilted(lift=-1.5))

    with pytest.raises(NoSolution, match=r"rest on each other only 1\.5\d mm .* 1 mm are allowed"):
        settle(lower, samples_of(upper), most_mm=1.0)
    assert settle(lower, samples_of(upper)).moved_mm == pytest.approx(1.5, abs=0.05)


def test_arches_beside_each_other_are_refused():
    lower = field_of(plate, member="lower", bounds_mm=(30, 50, -30, -10), pitch_mm=PITCH)
    upper = field_of(plate, member="upper", bounds_mm=(60, 80, 10, 30), pitch_mm=PITCH)

    with pytest.raises(NoSolution, match="do not lie over each other"):
        settle(lower, samples_of(upper))


def test_a_single_cusp_under_the_load_is_no_rest():
    lower, upper = arches([(57.5, 0.0, -RADIUS)])

    with pytest.raises(NoSolution, match="cannot be settled on each other: they "):
        settle(lower, samples_of(upper), load_mm=(57.5, 0.0))


def test_a_way_that_nobody_allows_is_refused():
    lower, upper = arches(tilted(lift=0.0))

    with pytest.raises(OutOfRange, match=r"Enter 0\.01 to 10 mm"):
        settle(lower, samples_of(upper), most_mm=50.0)
    with pytest.raises(OutOfRange, match=r"Enter 0 to 2 mm"):
        settle(lower, samples_of(upper), slide_mm=3.0)
