"""What a row of the check says, on a sphere that just slides: every number worked out."""

import dataclasses

import numpy as np
import pytest

from occlusion.clearance import AskedExcursion, FormReading, Opposed, surface_clearance
from occlusion.clearance.check import role_if_tooth
from occlusion.front import FrontGuidance
from occlusion.spread import draws_of
from occlusion.surfaces.samples import Region
from tests.occlusion.clearance.faces import (
    MATCHED,
    MIDDLE,
    facing_of,
    one,
    settings,
    slope,
    sphere_under_facet,
    sphere_under_ridge,
    where,
)
from tests.occlusion.surfaces import shapes

FORWARD = AskedExcursion(kind="protrusive", travel_mm=3.0, steps=30)


def check(surfaces, *, bench=MATCHED, asked=FORWARD, **options):
    return surface_clearance(
        settings=settings(bench), asked=[asked], surfaces=surfaces, **options
    ).excursions[0]


def test_an_interference_on_the_way_is_told_where_it_is_deepest():
    found = check(sphere_under_ridge(name="16"))
    (row,) = found.regions

    # Deepest is -32.68 + 32.4818 at 1.158 mm; the step at 1.2 mm has -32.68 + 32.4828.
    assert (row.state, row.role) == ("interference", "protrusive")
    assert row.vertical_mm == row.gap_mm == pytest.approx(-0.1972, abs=0.001)
    assert row.at_travel_mm == row.told_at_mm == pytest.approx(1.2)
    assert row.at_mm == pytest.approx((51.5, -25.0, -32.68), abs=1e-5)
    # Then the middle stands at 51.2: the place is 0.3 mm before the sphere's own.
    assert row.place == "lower 50.3 -25.0"
    assert row.contact_area_mm2 == 0.0
    assert found.travel_mm == pytest.approx(3.0)
    assert len(row.series) == 31
    assert row.series[12].vertical_mm == row.vertical_mm
    # 51.5 mm from the axis, the pin 80 mm from it.
    assert row.pin_lift_mm == found.pin_lift_mm == pytest.approx(0.1972 * 80 / 51.5, abs=0.002)
    assert found.pin_lift_at_mm == pytest.approx(1.2)


def test_a_pin_further_forward_is_lifted_further():
    far = dataclasses.replace(MATCHED, pin=(120.0, 0.0, -32.0))

    assert check(sphere_under_ridge(), bench=far).pin_lift_mm == pytest.approx(
        0.1972 * 120 / 51.5, abs=0.003
    )


def test_what_parts_is_told_at_its_end_and_where_it_stands_then():
    surfaces = dataclasses.replace(sphere_under_facet(slope(20), 0.0), place_at=where)
    (row,) = check(surfaces).regions

    # The facet rises 20 deg, the sphere falls 20 deg: 2 tan 20 for each millimetre.
    assert row.gap_mm == pytest.approx(6 * slope(20), abs=0.002)
    assert row.told_at_mm == pytest.approx(3.0)
    assert (row.vertical_mm, row.at_travel_mm) == (pytest.approx(0.0, abs=0.002), 0.0)
    assert row.at_mm[0] == pytest.approx(50.0 - 0.342, abs=0.05)
    # What is nearest on the sphere leans 20 deg back all the way.
    assert row.place == "lower 49.7 -25.0"
    assert row.contact_area_mm2 == 0.0
    assert row.pin_lift_mm == 0.0


def test_each_region_is_told_by_its_own_cells():
    """Two regions of one facet: the sphere leaves the one behind and goes under the other."""
    surfaces = sphere_under_facet(slope(20), 0.0)
    (facing,) = surfaces.facings
    behind = np.where(facing.samples.points_mm[:, 0] < 51.45, 1, 0).astype(np.int16)
    samples = dataclasses.replace(facing.samples, region=behind, names=("front", "back"))
    both = Opposed(
        (dataclasses.replace(facing, samples=samples),),
        {"front": "denture", "back": "denture"},
        where,
    )
    front, back = check(both).regions

    assert (front.name, back.name) == ("front", "back")
    assert back.at_mm[0] == pytest.approx(49.658, abs=0.05)
    assert back.vertical_mm == pytest.approx(0.0, abs=0.002)
    # In front of 51.45 all parts when the nearest comes there: from 1.84 mm on.
    assert front.at_mm[0] == pytest.approx(51.6, abs=0.15)
    assert front.gap_mm == pytest.approx(6 * slope(20), abs=0.002)
    assert front.place == "lower 49.7 -25.0"
    # The last cell behind, at 51.4, is over the sphere until its rim passes there at 2.4 mm.
    assert back.told_at_mm == pytest.approx(2.3)
    assert 1.9 < back.gap_mm < 5.0
    assert back.place == "lower 49.1 -25.0"


def needle():
    """A flat 0.1 mm over the sphere with one cell that hangs half a millimetre down."""

    def above(x, y):
        there = (np.abs(x - 51.5) < 0.05) & (np.abs(y + 25.0) < 0.05)
        return np.where(there, -32.4, -31.9)

    facing = facing_of(shapes.cap(tuple(MIDDLE), 1.0), above, [Region("16", (50.0, -25.0), 30.0)])
    return Opposed((facing,), {"16": "denture"}, where, robust=True)


def test_a_scan_is_judged_by_its_lowest_cells_and_tells_the_least_gap_beside():
    (row,) = check(needle()).regions

    # The needle comes within -32.4 + 32.4828 at 1.2 mm; its 24 neighbours are 0.5 mm higher.
    assert row.vertical_mm == pytest.approx(0.083, abs=0.002)
    assert row.at_travel_mm == pytest.approx(1.2)
    assert row.at_mm == pytest.approx((51.5, -25.0, -32.4), abs=1e-5)
    # 25 cells of 0.01 mm2 around the top are 0.1 + 0.25 / (4 pi) mm off, at the start.
    assert row.robust_mm == pytest.approx(0.12, abs=0.002)
    # 3 tan 20 more at the end.
    assert row.gap_mm == pytest.approx(0.12 + 3 * slope(20), abs=0.002)
    assert row.series[-1].vertical_mm == pytest.approx(0.1 + 3 * slope(20), abs=0.002)
    assert row.state == "none predicted"
    assert check(dataclasses.replace(needle(), robust=False)).regions[0].robust_mm is None


@pytest.mark.parametrize("exact", [False, True])
def test_no_cell_is_lost_that_is_least_between_the_positions_that_are_looked_at(exact):
    """A steep cone under a flat: its tip is 0.05 mm off and falls by tan 20 all the way."""
    cone = shapes.cone((50.0, -25.0, -32.0), 55.0)
    facing = facing_of(cone, lambda x, y: -31.95 + 0.0 * x + 0.0 * y, [])
    surfaces = Opposed((facing,), {"all": "denture"})
    far = AskedExcursion(kind="protrusive", travel_mm=6.0, steps=30)

    (row,) = check(surfaces, asked=far, exact_normals=exact).regions

    gaps = [step.vertical_mm for step in row.series]
    # The cells of the flat pass the tip by half a cell at most: 0.05 tan 55.
    ways = np.linspace(0.0, 6.0, 31)
    assert np.array(gaps) - 0.05 - ways * slope(20) == pytest.approx(np.full(31, 0.036), abs=0.037)


def test_guiding_front_teeth_lift_the_pin_and_say_where_most():
    front = FrontGuidance(guided_by="stone teeth", overjet_mm=2.0, overbite_mm=2.0)
    found = check(sphere_under_facet(slope(20), 0.0), front=front)

    # Edge to edge the incisal point is 2 mm forward and down. It stays as far from the axis,
    # (82 - s)^2 + (34 - s tan 20)^2 = 80^2 + 32^2, when that has gone s = 2.452 mm; on the table
    # it would be down by s tan 20.
    assert found.front_lift_mm == pytest.approx(2.0 - 2.452 * slope(20), abs=0.002)
    assert found.pin_lift_mm == found.front_lift_mm
    assert found.front_lift_at_mm == found.pin_lift_at_mm == pytest.approx(2.452, abs=0.002)
    assert found.regions[0].conditional


def test_the_doubt_is_that_of_the_gap_that_is_told():
    surfaces = dataclasses.replace(sphere_under_ridge(), vertical_sd_mm={"all": 0.1})
    drawn = draws_of(settings(MATCHED), half_widths={}, draws=2000)
    doubt = check(surfaces, draws=drawn).regions[0].doubt

    # Normal about -0.197 mm: 5 in a hundred 1.645 deviations off, below -0.1 mm with 0.834.
    assert doubt.sd_mm == pytest.approx(0.1, rel=0.05)
    assert doubt.p05_mm == pytest.approx(-0.197 - 0.1645, abs=0.015)
    assert doubt.p95_mm == pytest.approx(-0.197 + 0.1645, abs=0.015)
    assert doubt.p_interference == pytest.approx(0.834, abs=0.03)


def test_a_doubtful_form_is_asked_for_where_the_lower_member_stands():
    """A form that widens the gap by a millimetre for each unit and millimetre of the way."""
    surfaces = dataclasses.replace(
        sphere_under_ridge(),
        forms=(
            FormReading(
                "form",
                {"all": 0.2},
                lambda member, places, transforms: 0.0 * places[:, 0],
                lambda member, places, transforms: transforms[:, 0, 3],
            ),
        ),
    )
    drawn = draws_of(settings(MATCHED), half_widths={}, draws=2000)
    doubt = check(surfaces, draws=drawn).regions[0].doubt

    # Told at 1.2 mm: even over 1.2 times 0.2 mm either way of -0.197 mm.
    assert doubt.sd_mm == pytest.approx(1.2 * 0.2 / 3.0**0.5, rel=0.04)
    assert doubt.p05_mm == pytest.approx(-0.197 - 0.9 * 0.24, abs=0.01)


def test_the_same_way_asked_for_twice_has_the_same_doubt():
    """Protrusion, and a right excursion that is blended wholly into it."""

    def still(member, places, transforms):
        return 0.0 * places[:, 0]

    surfaces = dataclasses.replace(
        sphere_under_ridge(name="16"),
        vertical_sd_mm={"16": 0.1},
        forms=(FormReading("form", {"16": 0.2}, still, lambda *at: still(*at) + 1.0),),
    )
    drawn = draws_of(settings(MATCHED), half_widths={"incisal_table_deg": 3.0}, draws=50)
    blended = AskedExcursion(kind="right", blend=1.0, travel_mm=3.0, steps=30)
    found = surface_clearance(
        settings=settings(MATCHED), asked=[FORWARD, blended], surfaces=surfaces, draws=drawn
    )

    assert one(found, "right").doubt == one(found, "protrusive").doubt


@pytest.mark.parametrize(
    ("name", "role"),
    [("16", "working"), ("46", "working"), ("26", "balancing"), ("11", "working")]
    + [(name, None) for name in ("all", "1", "160", "19", "56", "x6", "1x", "¹6")],
)
def test_only_a_tooth_number_has_a_role(name, role):
    assert role_if_tooth(name, AskedExcursion(kind="right", travel_mm=1.0)) == role
