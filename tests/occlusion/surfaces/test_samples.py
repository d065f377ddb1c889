"""Samples of a field: where they are, which region has them, and their inclines."""

import numpy as np
import pytest

from occlusion.errors import BadRequest, NotANumber, OutOfRange
from occlusion.surfaces.heightfield import field_of, height_field, tilted_view
from occlusion.surfaces.samples import INCLINES, Region, Samples, samples_of
from tests.occlusion.surfaces import shapes

PLANE = shapes.plane((0.0, 0.0, -30.0), 0.5, -0.25)
FIELD = field_of(PLANE, member="upper", bounds_mm=(0.0, 4.0, 0.0, 2.0), pitch_mm=0.5)


def test_every_cell_is_a_sample_on_the_surface():
    samples = samples_of(FIELD)
    x, y, z = samples.points_mm.T

    assert len(samples) == 9 * 5
    assert z == pytest.approx(PLANE(x, y), abs=1e-5)
    assert (samples.member, samples.names, samples.cell_mm2) == ("upper", ("all",), 0.25)
    assert set(samples.region) == {0}
    assert set(samples.incline) == {-1}


def test_empty_cells_give_no_samples():
    cap = field_of(shapes.cap((0, 0, 0), 1.03), member="lower", bounds_mm=(-2, 2, -2, 2))
    samples = samples_of(cap)

    assert len(samples) == 341  # places of whole tenths within a circle of 1.03 mm
    assert np.hypot(*samples.points_mm[:, :2].T).max() <= 1.03


def test_a_sample_belongs_to_the_nearest_centre_that_reaches_it():
    regions = [Region("16", (1.0, 1.0), 1.1), Region("15", (2.0, 1.0), 0.6)]
    samples = samples_of(FIELD, regions=regions)
    x, y, _z = samples.points_mm.T
    at = {(a, b): int(r) for a, b, r in zip(x, y, samples.region, strict=True)}

    assert samples.names == ("16", "15")
    assert at[(1.0, 1.0)] == 0
    assert at[(1.5, 1.0)] == 0  # as near to both: the first named
    assert at[(2.0, 1.0)] == 1
    assert at[(2.0, 1.5)] == 1
    assert at[(0.0, 1.0)] == 0
    assert at[(0.0, 0.0)] == -1
    assert at[(4.0, 1.0)] == -1


def test_samples_of_a_tilted_view_are_in_the_axes_of_the_articulator():
    soup = shapes.grid_of(PLANE, (0, 4, 0, 2), 0.1)
    field = height_field(soup, member="lower", view=tilted_view(member="lower", tilt_deg=30.0))
    samples = samples_of(field, regions=[Region("41", (2.0, 1.0), 0.5)])
    x, y, z = samples.points_mm.T

    assert z == pytest.approx(PLANE(x, y), abs=2e-5)
    assert np.hypot(x - 2.0, y - 1.0)[samples.region == 0].max() <= 0.5


def five():
    return Samples(
        member="upper",
        points_mm=np.arange(15, dtype=np.float32).reshape(5, 3),
        region=np.array([0, 1, 1, -1, 0], dtype=np.int16),
        names=("16", "17"),
        incline=np.array([2, 0, 7, 3, -1], dtype=np.int16),
        cell_mm2=0.01,
    )


def test_the_eight_inclines_go_from_the_cheek_to_the_tongue():
    assert len(INCLINES) == len(set(INCLINES)) == 8
    assert INCLINES[0] == "buccal outer mesial"
    assert INCLINES[1] == "buccal outer distal"
    assert INCLINES[2] == "buccal inner mesial"
    assert INCLINES[-1] == "lingual outer distal"


def test_some_samples_keep_their_regions():
    some = five().taken(np.array([False, True, False, False, True]))

    assert some.points_mm[:, 0].tolist() == [3.0, 12.0]
    assert some.region.tolist() == [1, 0]
    assert some.names == ("16", "17")
    assert five().of("17").tolist() == [1, 2]


def test_an_unknown_region_is_refused_with_those_there_are():
    with pytest.raises(BadRequest, match=r"There is no region '18'\. Choose one of: 16, 17"):
        five().of("18")


def test_two_regions_of_one_name_are_refused():
    with pytest.raises(BadRequest, match="Two regions have one name: 16, 16"):
        samples_of(FIELD, regions=[Region("16", (1, 1), 1.0), Region("16", (2, 1), 1.0)])


@pytest.mark.parametrize(
    ("region", "refusal"),
    [
        (Region("16", (1.0, 1.0), 0.0), OutOfRange),
        (Region("16", (1.0, float("nan")), 1.0), NotANumber),
    ],
)
def test_a_region_nowhere_or_without_size_is_refused(region, refusal):
    with pytest.raises(refusal):
        samples_of(FIELD, regions=[region])
