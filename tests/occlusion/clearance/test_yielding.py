"""What stands in the way of several excursions, whose it is, and what the lower arch sweeps."""

import dataclasses

import pytest

from occlusion.clearance import AskedExcursion, surface_clearance
from tests.occlusion.bench import settings_of
from tests.occlusion.clearance.faces import (
    BENCH,
    MATCHED,
    THREE,
    facing_of,
    settings,
    slope,
    sphere_under_facet,
    sphere_under_ridge,
)

FORWARD = AskedExcursion(kind="protrusive", travel_mm=3.0)
BACK = AskedExcursion(kind="protrusive", travel_mm=0.4)


def depths(surfaces, asked=THREE, bench=BENCH, **options):
    told = settings_of(bench)
    return surface_clearance(settings=told, asked=asked, surfaces=surfaces, **options).reduction


@pytest.mark.parametrize("order", [(0, 1, 2), (1, 2, 0)])
def test_a_depth_is_that_of_the_excursion_that_asks_for_most_wherever_it_stands(order):
    asked = [THREE[number] for number in order]
    (row,) = depths(sphere_under_facet(-slope(20), 0.0), asked)

    # The closed form of the protrusive interference, 0.2311 and 0.2172 mm; the others part.
    assert row.excursion == "protrusive"
    assert row.vertical_mm == pytest.approx(0.2311, abs=0.005)
    assert row.normal_mm == pytest.approx(0.2172, abs=0.005)
    assert row.at_mm == pytest.approx((53.8, -25.0, -33.32), abs=0.15)
    assert row.incline is None


def test_the_place_is_read_in_the_position_that_asks():
    # The sphere reaches the ridge with the side of 20 deg of its top: 0.342 mm before its
    # middle, (50, -25), on the lower arch.
    (row,) = depths(sphere_under_ridge(), [BACK, FORWARD], MATCHED)

    assert row.vertical_mm == pytest.approx(0.198, abs=0.004)
    assert row.at_mm == pytest.approx((51.5, -25.0, -32.68), abs=1e-5)
    assert row.place == "lower 50.3 -25.0"


def owned(name, own, place, opposite):
    surfaces = dataclasses.replace(
        sphere_under_ridge(name=name), place_at=lambda member, x, y: place
    )
    incline = surfaces.facings[0].samples.incline.copy()
    incline[:] = 0
    samples = dataclasses.replace(surfaces.facings[0].samples, incline=incline)
    facing = dataclasses.replace(surfaces.facings[0], samples=samples)
    return dataclasses.replace(surfaces, facings=(facing,), material={name: own, place: opposite})


@pytest.mark.parametrize(
    ("own", "opposite", "object_", "incline"),
    [
        ("denture", "natural", "16", "buccal outer mesial"),
        ("denture", "denture", "16", "buccal outer mesial"),
        ("natural", "denture", "46", None),
        ("natural", "natural", None, None),
    ],
)
def test_the_denture_tooth_of_the_region_yields_else_the_opposite_else_none(
    own, opposite, object_, incline
):
    (row,) = depths(owned("16", own, "46", opposite), [FORWARD], MATCHED)

    assert (row.name, row.place) == ("16", "46")
    assert (row.object, row.incline) == (object_, incline)


def raised_flat(up):
    """The sphere under a plane that it reaches by so much when it goes down: never."""
    return facing_of(
        lambda x, y: -32.0 + 0.0 * x + 0.0 * y, lambda x, y: -32.0 + up + 0.0 * x + 0.0 * y, []
    )


@pytest.mark.parametrize(("overlap", "rows"), [(0.004, 0), (0.02, 1), (-0.02, 0)])
def test_a_depth_of_round_off_is_no_depth(overlap, rows):
    surfaces = dataclasses.replace(sphere_under_ridge(), facings=(raised_flat(-overlap),))

    found = depths(surfaces, [BACK], MATCHED)

    assert [row.vertical_mm for row in found] == pytest.approx([overlap] * rows, abs=1e-4)


def test_probes_are_swept_with_the_pin_closed_and_the_first_position_counts():
    probes = [(50.0, -25.0), (51.5, -25.0)]
    told = settings(dataclasses.replace(MATCHED, opening=2.0))
    found = surface_clearance(
        settings=told, asked=[FORWARD], surfaces=sphere_under_ridge(), probes_mm=probes
    )

    # Where it started the sphere is never higher again; over 51.5 the top is at -32.482.
    assert found.envelope_z_mm == pytest.approx((-32.0, -32.4818), abs=0.005)


def test_a_way_that_only_counts_for_depths_is_looked_at_with_the_pin_closed_too():
    opened = dataclasses.replace(MATCHED, opening=2.0)
    rows = [
        depths(sphere_under_ridge(), [BACK], bench, swept_too=[FORWARD])
        for bench in (MATCHED, opened)
    ]

    for (row,) in rows:
        assert row.vertical_mm == pytest.approx(0.198, abs=0.004)
    assert depths(sphere_under_ridge(), [BACK], MATCHED) == ()


def test_probes_without_a_lower_surface_are_not_answered():
    surfaces = sphere_under_ridge()
    facing = surfaces.facings[0]
    upside = dataclasses.replace(facing.field, member="upper")
    samples = dataclasses.replace(facing.samples, member="lower")
    alone = dataclasses.replace(
        surfaces, facings=(dataclasses.replace(facing, field=upside, samples=samples),)
    )
    found = surface_clearance(
        settings=settings(MATCHED), asked=[BACK], surfaces=alone, probes_mm=[(50.0, -25.0)]
    )

    assert found.envelope_z_mm == (None,)
