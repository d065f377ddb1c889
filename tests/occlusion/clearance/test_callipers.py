"""Which teeth are looked at, from which side, and of what they are."""

import pytest

from occlusion.clearance import surface_clearance, travels_of
from occlusion.clearance.callipers import oppose
from occlusion.front import FrontGuidance
from occlusion.surfaces.arches import set_up
from occlusion.surfaces.calliper import CalliperTooth
from tests.occlusion.bench import settings_of, symmetric

FRONT = FrontGuidance(guided_by="table", overjet_mm=2.0, overbite_mm=0.5)
BACK = ("4", "5", "6", "7")


def teeth(quadrant, material, numbers=BACK, **measures):
    return [
        CalliperTooth(tooth=f"{quadrant}{number}", material=material, **measures)
        for number in numbers
    ]


def arches(upper="denture", lower="natural", **measures):
    return set_up(
        upper=teeth("1", upper),
        lower=teeth("4", lower, **measures),
        incisal_point_mm=(80.0, 0.0, -32.0),
    )


def check(found, bench=None, **options):
    return surface_clearance(
        settings=settings_of(bench or symmetric(30, 10, bennett=10, wing=10)),
        asked=travels_of(FRONT, steps=12),
        surfaces=oppose(found, pitch_mm=0.2),
        front=FRONT,
        **options,
    )


def names(found):
    return [row.name for row in found.excursions[0].regions]


def test_an_upper_denture_is_looked_at_tooth_by_tooth():
    found = check(arches())

    assert names(found) == ["14", "15", "16", "17"]
    assert {row.place for row in found.excursions[0].regions} <= {"44", "45", "46", "47", None}


def test_a_lower_denture_against_natural_teeth_is_looked_at_from_its_own_side():
    found = check(arches(upper="natural", lower="denture"))

    assert names(found) == ["44", "45", "46", "47"]
    assert {row.object for row in found.reduction} <= {"44", "45", "46", "47"}


@pytest.mark.parametrize("upper", ["denture", "natural"])
@pytest.mark.parametrize("lower", ["denture", "natural"])
def test_only_a_denture_tooth_is_ever_the_object_of_a_depth(upper, lower):
    # Steep cusps over a flat table: much stands in the way.
    built = arches(upper, lower, cusp_angle_deg=35.0)
    found = check(built, bench=symmetric(15, 0, bennett=15, wing=0))

    assert found.reduction
    for row in found.reduction:
        if row.object is None:
            assert built.material(row.name) == "natural"
            assert row.place is None or built.material(row.place) == "natural"
        else:
            assert built.material(row.object) == "denture"


def test_between_natural_teeth_the_place_is_named_and_nothing_proposed():
    built = arches("natural", "natural", cusp_angle_deg=35.0)
    found = check(built, bench=symmetric(15, 0, bennett=15, wing=0))

    assert {row.object for row in found.reduction} == {None}
    assert "16" in {row.name for row in found.reduction}


def test_what_stands_in_the_way_is_as_deep_as_the_deepest_overlap_and_names_its_incline():
    found = check(arches(cusp_angle_deg=35.0), bench=symmetric(15, 0, bennett=15, wing=0))

    for row in found.reduction:
        overlaps = [
            -region.vertical_mm
            for excursion in found.excursions
            for region in excursion.regions
            if region.name == row.name
        ]
        assert row.vertical_mm == pytest.approx(max(overlaps), abs=0.02)
        assert row.incline.split()[0] in ("buccal", "lingual")
        assert row.normal_mm <= row.vertical_mm


def test_steep_cusps_stand_in_the_way_where_flat_ones_do_not():
    flat, steep = (check(set_up_with(deg), bench=symmetric(15, 0)) for deg in (5.0, 35.0))

    assert sum(row.vertical_mm for row in flat.reduction) < 1.0
    assert sum(row.vertical_mm for row in steep.reduction) > 3.0


def set_up_with(deg):
    return set_up(
        upper=teeth("1", "denture", cusp_angle_deg=deg),
        lower=teeth("4", "natural", cusp_angle_deg=deg),
        incisal_point_mm=(80.0, 0.0, -32.0),
    )


def test_what_it_rests_on_is_told():
    found = check(arches())

    assert found.assumptions[0].startswith("Surfaces are drawn from calliper measures")
    assert any("followed until the leading condyle" in sentence for sentence in found.assumptions)
    assert "Reading errors are not carried through." in found.assumptions
