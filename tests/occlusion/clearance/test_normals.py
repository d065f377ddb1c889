"""Normal gaps beside planes and spheres, whose distances are known."""

import dataclasses

import numpy as np
import pytest

from occlusion.clearance.normals import Normals
from occlusion.clearance.opposed import Facing
from occlusion.surfaces.gaps import FAR_MM
from occlusion.surfaces.heightfield import field_of
from occlusion.surfaces.nearest import refined
from occlusion.surfaces.samples import samples_of
from tests.occlusion.clearance.faces import slope
from tests.occlusion.surfaces import shapes

STAYS = np.eye(4)[None]
#: About the place (50, -25, 0) the lower member turns by 10 deg, its front goes down; then forward.
TURNED = np.eye(4)
TURNED[:3, :3] = [
    [np.cos(np.radians(10)), 0.0, np.sin(np.radians(10))],
    [0.0, 1.0, 0.0],
    [-np.sin(np.radians(10)), 0.0, np.cos(np.radians(10))],
]
TURNED[:3, 3] = np.array([50.0, -25.0, 0.0]) - TURNED[:3, :3] @ [50.0, -25.0, 0.0] + (0.5, 0, 0)


def flat(z, member, bounds=(46.0, 54.0, -29.0, -21.0)):
    return field_of(lambda x, y: z + 0.0 * x + 0.0 * y, member=member, bounds_mm=bounds)


def incline(deg, member="lower"):
    height = shapes.plane((50.0, -25.0, 0.0), slope(deg), 0.0)
    return field_of(height, member=member, bounds_mm=(46.0, 54.0, -29.0, -21.0))


def along(field, samples, transform, vertical, *, place=(50.0, -25.0), search=False):
    cell = int(np.argmin(np.hypot(*(samples.points_mm[:, :2] - place).T)))
    (found,) = Normals(Facing(field, samples)).along(
        transform,
        cells=np.array([cell]),
        vertical_mm=np.array([vertical]),
        search=search,
    )
    return found


@pytest.mark.parametrize("deg", [0.0, 20.0, -45.0, 60.0])
def test_near_a_plane_the_normal_gap_is_the_vertical_times_its_cosine(deg):
    found = along(incline(deg), samples_of(flat(1.0, "upper")), STAYS, 0.2)

    assert found == pytest.approx(0.2 * np.cos(np.radians(deg)), abs=1e-4)


def test_the_slope_is_read_across_both_ways():
    field = field_of(
        shapes.plane((50.0, -25.0, 0.0), 1.0, 1.0),
        member="lower",
        bounds_mm=(46.0, 54.0, -29.0, -21.0),
    )

    found = along(field, samples_of(flat(1.0, "upper")), STAYS, 0.3)

    assert found == pytest.approx(0.3 / np.sqrt(3.0), abs=1e-4)  # one up, one along, one across


@pytest.mark.parametrize(("member", "steep"), [("upper", 49.75), ("lower", 50.75)])
def test_the_slope_is_read_at_the_foot_in_the_axes_of_the_field(member, steep):
    """Flat, but for a band of 45 deg where the moved sample comes to stand and nowhere else."""
    other = "lower" if member == "upper" else "upper"

    def height(x, y):
        return np.clip(x - steep, -0.25, 0.25) + 0.0 * y

    field = field_of(height, member=other, bounds_mm=(46.0, 54.0, -29.0, -21.0))
    samples = samples_of(flat(1.5, member))
    # By hand for a sample at (50, -25, 1.5): forward by cos and sin of 10 deg, and 0.5 mm.
    # A lower sample goes to 50.76; over an upper one the field's axes read 49.25.
    matrix = TURNED if member == "lower" else np.linalg.inv(TURNED)
    foot = matrix @ [50.0, -25.0, 1.5, 1.0]

    shifted = TURNED.copy()
    if member == "upper":
        shifted[0, 3] -= 0.5  # the field is read at 49.74
    assert foot[0] == pytest.approx(50.76 if member == "lower" else 49.25, abs=0.01)
    assert along(field, samples, shifted[None], 0.2) == pytest.approx(0.2 * np.sqrt(0.5), abs=1e-3)


def test_a_gap_over_nothing_stays_far_and_a_foot_at_a_rim_has_no_slope():
    samples = samples_of(flat(1.0, "upper"))

    assert along(incline(45.0), samples, STAYS, FAR_MM) == FAR_MM
    assert along(incline(45.0), samples, STAYS, 0.2, place=(46.0, -25.0)) == 0.2


@pytest.mark.parametrize("gap", [0.6, 1.5])
@pytest.mark.parametrize("member", ["upper", "lower"])
def test_beyond_a_third_of_a_millimetre_the_nearest_point_counts(gap, member):
    """A sphere of 1 mm under or over a plate: the plate's middle is nearest, also when turned."""
    sign = 1.0 if member == "upper" else -1.0
    top = shapes.cap((50.0, -25.0, -1.0), 1.0)
    field = field_of(
        lambda x, y: sign * top(x, y),
        member="lower" if member == "upper" else "upper",
        bounds_mm=(48.0, 52.0, -27.0, -23.0),
    )
    samples = samples_of(flat(sign * gap, member))
    # The cell asked stands aside: above it the sphere has fallen 0.134 mm at 0.5 mm.
    beside = along(field, samples, STAYS, gap + 0.134, place=(50.5, -25.0), search=True)

    assert beside == pytest.approx(gap, abs=2e-3)
    assert along(field, samples, STAYS, gap + 0.134, place=(50.5, -25.0)) == pytest.approx(
        (gap + 0.134) * np.sqrt(0.75), abs=0.02
    )


@pytest.mark.parametrize(
    ("member", "place", "distance"),
    [("upper", (51.1, -25.0), 1.0), ("lower", (50.0, -25.0), 1.0)],
)
def test_the_search_moves_the_samples_into_the_axes_of_the_field(member, place, distance):
    """A single sample 2 mm from the middle of a sphere of 1 mm, in the moved position."""
    sign = 1.0 if member == "upper" else -1.0
    cap = shapes.cap((50.0, -25.0, 0.0), 1.0)
    field = field_of(
        lambda x, y: sign * cap(x, y),
        member="lower" if member == "upper" else "upper",
        bounds_mm=(48.0, 52.0, -27.0, -23.0),
    )
    direction = np.array([0.3, 0.0, sign * np.sqrt(1.0 - 0.09)])
    foot = np.append(np.array([50.0, -25.0, 0.0]) + 2.0 * direction, 1.0)
    back = TURNED if member == "upper" else np.linalg.inv(TURNED)
    point = (back @ foot)[:3].astype(np.float32)
    samples = samples_of(flat(0.0, member)).taken(np.array([0]))
    samples = dataclasses.replace(samples, points_mm=point[None])

    found = along(field, samples, TURNED[None], 1.05, search=True)

    assert found == pytest.approx(1.0, abs=2e-3)


def test_where_nothing_is_within_reach_the_cosine_stands():
    far = samples_of(flat(30.0, "upper")).taken(np.array([0]))

    assert along(incline(0.0), far, STAYS, 3.0, search=True) == pytest.approx(3.0)


def test_a_tilted_view_is_searched_and_read_in_its_own_axes():
    """Axes turned by 90 deg about the vertical: forward is along y of the view."""
    view = np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    seen = field_of(
        shapes.plane((-25.0, -50.0, 0.0), 1.0, 0.0),
        member="lower",
        bounds_mm=(-29.0, -21.0, -54.0, -46.0),
    )
    seen = dataclasses.replace(seen, view=view)
    samples = samples_of(flat(2.0, "upper"))

    assert along(seen, samples, STAYS, 0.2) == pytest.approx(0.2 * np.sqrt(0.5), abs=1e-4)
    # A plate 2 mm over a plane of 45 deg that ends at y = -21: nearest to its upper edge.
    alone = samples.taken(
        np.array([np.argmin(np.hypot(*(samples.points_mm[:, :2] - (50.0, -25.0)).T))])
    )
    # Told 2.2 mm it is searched for, and found where it stands: 2 mm over the plane.
    found = along(seen, alone, STAYS, 2.2, search=True)
    assert found == pytest.approx(2.0 * np.sqrt(0.5), abs=2e-3)


def test_a_sample_between_the_nodes_may_be_the_nearest():
    """0.35 mm over the middle of a cell it is 0.357 mm from the nodes; another 0.355 mm."""
    samples = samples_of(flat(0.0, "upper")).taken(np.array([0, 1]))
    points = np.array([[50.0, -25.0, 0.355], [50.05, -25.05, 0.35]], np.float32)
    samples = dataclasses.replace(samples, points_mm=points)

    found = along(flat(0.0, "lower"), samples, STAYS, 0.36, search=True)

    assert found == pytest.approx(0.35, abs=1e-4)


def test_a_foot_between_the_nodes_is_found_from_the_nearest_one():
    field = incline(60.0)
    q = np.array([[50.03, -25.04, 1.0]])
    node = field.nodes_mm()
    nearest = node[[np.argmin(np.linalg.norm(node - q, axis=1))]]
    # Distance from the plane z = tan(60) (x - 50).
    expected = (1.0 - slope(60) * 0.03) * 0.5

    assert np.linalg.norm(q - nearest) > expected + 1e-3
    assert refined(field, q, nearest)[0] == pytest.approx([expected], abs=2e-4)


def test_no_foot_is_taken_beyond_the_rim():
    field = flat(0.0, "lower", bounds=(46.0, 50.0, -29.0, -21.0))
    q = np.array([[51.0, -25.0, 0.0]])

    # The surface ends at 50: a millimetre away, whatever the plane beyond would say.
    assert refined(field, q, np.array([[50.0, -25.0, 0.0]]))[0] == pytest.approx([1.0])


def test_feet_on_a_sphere_are_found_to_a_few_thousandths():
    """0.6 mm over a sphere of 1 mm in 200 directions, from the nearest node on."""
    field = field_of(
        shapes.cap((50.0, -25.0, 0.0), 1.0), member="lower", bounds_mm=(48.0, 52.0, -27.0, -23.0)
    )
    directions = np.random.default_rng(0).normal(size=(200, 3))
    directions[:, 2] = np.abs(directions[:, 2]) + 1.5
    directions /= np.linalg.norm(directions, axis=1, keepdims=True)
    q = np.array([50.0, -25.0, 0.0]) + 1.6 * directions
    nodes = field.nodes_mm()
    away = np.linalg.norm(q[:, None] - nodes[None], axis=2)

    found, _feet = refined(field, q, nodes[away.argmin(axis=1)])

    # From the nodes alone they are 0.0027 mm off in the mean; the rest are chords of 0.1 mm.
    assert 0.0 < (found - 0.6).mean() < 0.002
    assert (found - 0.6).max() < 0.0065
