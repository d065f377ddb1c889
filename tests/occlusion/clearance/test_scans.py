"""Scans in a check: robust minima, inclines of named regions, and what is said of them."""

import numpy as np
import pytest

from occlusion.clearance import AskedExcursion, surface_clearance
from occlusion.clearance.scans import ScanPair, oppose, with_inclines
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


def test_scans_are_told_by_the_mean_of_their_lowest_cells():
    surfaces = oppose(pair(), pitch_mm=0.2)
    asked = [AskedExcursion(kind="right", travel_mm=3.0, steps=10)]
    settings = settings_of(symmetric(30, 10, bennett=10, wing=10))
    robust = surface_clearance(settings=settings, asked=asked, surfaces=surfaces)
    plain = surface_clearance(
        settings=settings, asked=asked, surfaces=type(surfaces)(surfaces.facings, surfaces.material)
    )

    told, least = (found.excursions[0].regions[0] for found in (robust, plain))
    assert surfaces.robust
    assert least.vertical_mm < told.vertical_mm < least.vertical_mm + 0.1
    assert "A sentence of its own." in robust.assumptions
    assert any("taken as denture teeth" in sentence for sentence in robust.assumptions)


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
