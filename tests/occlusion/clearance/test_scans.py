"""Scans in a check: robust minima, inclines of named regions, and what is said of them."""

import numpy as np
import pytest

from occlusion.clearance import AskedExcursion, surface_clearance
from occlusion.clearance.scans import ScanPair, oppose, with_inclines
from occlusion.errors import OutsideScan
from occlusion.surfaces.heightfield import field_of
from occlusion.surfaces.meshes import mesh_of
from occlusion.surfaces.samples import INCLINES, Region, samples_of
from tests.occlusion.bench import settings_of, symmetric
from tests.occlusion.surfaces import shapes

LOWER, UPPER, BOUNDS = shapes.two_arches(4)


def pair(**options):
    lower = mesh_of(shapes.grid_of(LOWER, BOUNDS, 0.25), source="lower")
    upper = mesh_of(shapes.grid_of(UPPER, BOUNDS, 0.25)[:, ::-1], source="upper")
    return ScanPair(lower, upper, options.get("sd", {}), ("A sentence of its own.",), ())


def check(surfaces):
    return surface_clearance(
        settings=settings_of(symmetric(30, 10, bennett=10, wing=10)),
        asked=[AskedExcursion(kind="right", travel_mm=3.0, steps=10)],
        surfaces=surfaces,
    )


def test_the_state_of_a_scan_rests_on_its_lowest_cells_and_the_least_gap_is_told_too():
    found = check(oppose(pair(), pitch_mm=0.2))
    row = found.excursions[0].regions[0]

    assert row.vertical_mm < row.robust_mm < row.vertical_mm + 0.1
    assert "A sentence of its own." in found.assumptions
    assert any("upper scan is of denture teeth" in sentence for sentence in found.assumptions)


def test_front_teeth_are_looked_at_along_an_axis_that_leans_forward():
    # Two ridges as an incisor's edge and the palatal wall in front of it, steep and close.
    edge = shapes.ridge(78.0, -30.0, radius=0.6, front_deg=75.0, back_deg=60.0)
    wall = shapes.ridge(80.2, 30.0, radius=0.6, front_deg=60.0, back_deg=75.0)
    bounds = (74.0, 84.0, -4.0, 4.0)
    lower = mesh_of(shapes.grid_of(edge, bounds, 0.1), source="lower")
    upper = mesh_of(
        shapes.grid_of(lambda x, y: 3.0 - wall(x, y) - 3.0, bounds, 0.1)[:, ::-1], source="upper"
    )
    regions = [Region("11", (80.0, 0.0), 3.0)]
    surfaces = oppose(ScanPair(lower, upper, {}, (), ()), regions=regions)

    (facing,) = surfaces.facings
    assert facing.field.view[0, 2] != 0.0
    assert any("leans 30 deg to labial" in sentence for sentence in surfaces.assumptions)
    assert check(surfaces).excursions[0].regions[0].name == "11"


def test_what_lies_beside_the_other_scan_is_warned_of_and_wholly_beside_it_refused():
    near = oppose(pair(), regions=[Region("46", (33.0, -31.0), 4.0)], pitch_mm=0.25)
    cut = pair()
    low = cut.lower.triangles_mm[(cut.lower.triangles_mm[..., 0] > 40.0).all(axis=1)]
    half = ScanPair(mesh_of(low, source="lower"), cut.upper, {}, (), ())

    assert "outside_scan" not in [one.code for one in near.warnings]
    assert "outside_scan" in [one.code for one in oppose(half, pitch_mm=0.25).warnings]
    with pytest.raises(OutsideScan, match="Region 47 lies wholly beside"):
        oppose(half, regions=[Region("47", (35.0, -26.0), 3.0)], pitch_mm=0.25)


def test_a_registration_error_is_kept_for_its_region():
    regions = [Region("46", (47.0, -24.0), 5.0), Region("47", (38.0, -26.0), 5.0)]
    surfaces = oppose(pair(sd={"46": 0.11}), regions=regions, pitch_mm=0.25)

    assert surfaces.vertical_sd_mm == {"46": 0.11, "47": 0.0}
    assert surfaces.names == ("46", "47")


@pytest.mark.parametrize("side", [-1.0, 1.0])
@pytest.mark.parametrize("member", ["upper", "lower"])
def test_inclines_of_a_region_are_told_by_side_and_slope(side, member):
    sign = 1.0 if member == "lower" else -1.0
    tips = [(50.0 + dx, side * 25.0 + dy, 0.0) for dx in (-2.5, 2.5) for dy in (-2.6, 2.6)]
    shape = shapes.cusps(tips, 25.0)
    field = field_of(
        lambda x, y: sign * shape(x, y),
        member=member,
        bounds_mm=(44.0, 56.0, side * 25.0 - 6.0, side * 25.0 + 6.0),
        pitch_mm=0.2,
    )
    region = Region("16", (50.0, side * 25.0), 8.0)
    told = with_inclines(samples_of(field, regions=[region]), field, [region])

    def at(x, out):
        away = np.hypot(told.points_mm[:, 0] - x, told.points_mm[:, 1] - side * out)
        return INCLINES[told.incline[int(away.argmin())]]

    # Tips stand 22.4 and 27.6 mm from the midline; forward is mesial.
    assert at(52.5, 29.0) == "buccal outer mesial"
    assert at(52.5, 26.2) == "buccal inner mesial"
    assert at(47.5, 23.8) == "lingual inner distal"
    assert at(47.5, 21.0) == "lingual outer distal"


def test_near_the_midline_no_incline_is_told():
    field = field_of(
        lambda x, y: -0.1 * x + 0.0 * y, member="upper", bounds_mm=(70.0, 80.0, -5.0, 5.0)
    )
    region = Region("11", (75.0, 2.0), 6.0)

    assert (with_inclines(samples_of(field, regions=[region]), field, [region]).incline == -1).all()


@pytest.mark.parametrize(
    ("upper", "lower", "looked", "yields"),
    [
        ("denture", "natural", "upper", True),
        ("denture", "denture", "upper", True),
        ("natural", "denture", "lower", True),
        ("natural", "natural", "upper", False),
    ],
)
def test_only_a_scan_of_denture_teeth_ever_yields(upper, lower, looked, yields):
    name = "46" if looked == "lower" else "16"
    regions = [Region(name, (47.0, -24.0), 5.0)]
    surfaces = oppose(
        pair(), regions=regions, pitch_mm=0.25, upper_material=upper, lower_material=lower
    )
    found = surface_clearance(
        settings=settings_of(symmetric(5, 0, bennett=15)),
        asked=[AskedExcursion(kind="right", travel_mm=3.0, steps=10)],
        surfaces=surfaces,
    )

    assert surfaces.facings[0].samples.member == looked
    assert [row.object for row in found.reduction] == [name if yields else None]


def test_a_region_without_any_surface_is_refused():
    with pytest.raises(OutsideScan, match="Region 16 has nothing of the upper scan in it"):
        oppose(pair(), regions=[Region("16", (0.0, 0.0), 5.0)], pitch_mm=0.25)
