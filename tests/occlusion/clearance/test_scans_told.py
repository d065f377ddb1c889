"""Flats and waves as scans: which axis each region is seen along, and what is warned of."""

import numpy as np
import pytest

from occlusion.clearance.scans import ScanPair, oppose, with_inclines
from occlusion.ranges import EngineWarning
from occlusion.surfaces.gaps import sample_gaps
from occlusion.surfaces.heightfield import field_of
from occlusion.surfaces.meshes import mesh_of
from occlusion.surfaces.samples import INCLINES, Region, samples_of
from tests.occlusion.surfaces import shapes


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
        places = [(41.0 + 2.0 * (n % 10), -34.0 + 2.0 * (n // 10)) for n in range(count)]
        return [Region(f"r{n}", place, 0.9) for n, place in enumerate(places)]

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
