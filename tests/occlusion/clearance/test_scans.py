"""Scans in a check: robust minima, inclines of named regions, and what is said of them."""

import numpy as np
import pytest

from occlusion.clearance import AskedExcursion, surface_clearance
from occlusion.clearance.scans import ScanPair, oppose, with_inclines
from occlusion.errors import OutsideScan
from occlusion.ranges import EngineWarning
from occlusion.surfaces.gaps import sample_gaps
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


def level(z, bounds, *, spacing=0.5):
    return shapes.grid_of(lambda x, y: z + 0.0 * x + 0.0 * y, bounds, spacing)


def flats(regions, *, lower=(30.0, 70.0, -35.0, -15.0), **options):
    """An upper flat 1 mm over a lower one."""
    below = mesh_of(level(-32.0, lower), source="lower")
    bounds = options.get("upper", (30.0, 70.0, -35.0, -15.0))
    above = mesh_of(level(-31.0, bounds)[:, ::-1], source="upper")
    return oppose(
        ScanPair(below, above, {}, (), options.get("warnings", ())),
        regions=regions,
        pitch_mm=0.5,
    )


def test_front_and_back_regions_are_seen_along_their_own_axes():
    back, front = flats(
        [Region("13", (60.0, -25.0), 3.0), Region("16", (45.0, -25.0), 3.0)]
    ).facings

    assert (back.samples.names, front.samples.names) == (("16",), ("13",))
    assert (back.field.view == np.eye(3)).all()
    # The axis leans 30 deg forward from below: cos 30 up and sin 30 forward.
    assert front.field.view[2] == pytest.approx([0.5, 0.0, 0.8660], abs=1e-4)
    # Only the back regions have inclines; 1 mm up is 1 / cos 30 along the axis of the front.
    assert (back.samples.incline >= 0).any()
    assert (front.samples.incline == -1).all()
    gaps = sample_gaps(front.field, front.samples.points_mm, np.eye(4), member="upper")
    assert gaps[front.samples.region == 0] == pytest.approx(
        np.full((front.samples.region == 0).sum(), 1.1547), abs=1e-3
    )


def test_without_back_regions_only_the_front_is_looked_at_and_without_any_everything():
    assert [one.samples.names for one in flats([Region("11", (60.0, -25.0), 3.0)]).facings] == [
        ("11",)
    ]
    assert flats([]).names == ("all",)


def test_a_surface_of_few_cells_is_told_by_its_least_gap():
    def regions(count):
        return [Region(f"r{n}", (41.0 + 0.25 * n, -25.0), 1.0) for n in range(count)]

    square = (40.0, 60.0, -35.0, -15.0)

    # 41 by 41 cells: 25.1 for each of 67 regions, 24.7 for each of 68; 25 make a tooth.
    assert flats(regions(67), upper=square).robust
    assert not flats(regions(68), upper=square).robust


def test_warnings_of_the_scans_and_of_undercuts_go_with_the_answer():
    mine = EngineWarning("mine", "A warning of its own.", "practice")

    region = Region("16", (50.0, -25.0), 3.0)
    assert [one.code for one in flats([region], warnings=(mine,)).warnings] == ["mine"]
    # A wave that leans over: 3 mm high, pushed forward by half as much again.
    low = level(-32.0, (30.0, 70.0, -35.0, -15.0)).copy()
    height = 3.0 * np.exp(-((low[..., 0] - 40.0) ** 2) / 4.0)
    low[..., 0] += 1.5 * height
    low[..., 2] += height
    high = mesh_of(level(-28.0, (30.0, 70.0, -35.0, -15.0))[:, ::-1], source="upper")
    pair = ScanPair(mesh_of(low, source="lower"), high, {}, (), ())
    codes = [one.code for one in oppose(pair, regions=[region], pitch_mm=0.5).warnings]
    assert "undercut" in " ".join(codes)


def test_only_samples_of_regions_are_missed_beside_the_other_scan():
    """The lower scan ends at 50; a region in front of that is whole, one across it is not."""
    short = (50.0, 70.0, -35.0, -15.0)

    whole = flats([Region("16", (60.0, -25.0), 3.0)], lower=short)
    across = flats([Region("16", (50.5, -25.0), 3.0)], lower=short)

    assert [one.code for one in whole.warnings] == []
    (warning,) = across.warnings
    assert warning.code == "outside_scan"
    # Of a disc 34 in a hundred lie a quarter of its radius and more behind its middle.
    assert int(warning.text.split()[0]) == pytest.approx(34, abs=2)


def test_inclines_of_one_region_do_not_tell_those_of_another():
    def ridge_along_x(x, y):
        return -1.0 * np.abs(np.abs(y) - 25.0) + 0.0 * x

    field = field_of(
        lambda x, y: -ridge_along_x(x, y), member="upper", bounds_mm=(40, 60, -32, 32), pitch_mm=0.5
    )
    regions = [Region("26", (50.0, 25.0), 5.0), Region("16", (50.0, -25.0), 5.0)]
    told = with_inclines(samples_of(field, regions=regions), field, regions)

    def at(x, y):
        away = np.hypot(told.points_mm[:, 0] - x, told.points_mm[:, 1] - y)
        return INCLINES[told.incline[int(away.argmin())]]

    # A single hanging ridge along the middle: outward of it the surface rises, outer buccal.
    assert at(52.0, 27.0) == at(52.0, -27.0) == "buccal outer mesial"
    assert at(48.0, 23.0) == at(48.0, -23.0) == "lingual outer distal"


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
