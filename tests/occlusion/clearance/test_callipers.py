"""Which teeth are looked at, from which side, and of what they are."""

import numpy as np
import pytest

from occlusion.clearance import AskedExcursion, surface_clearance, travels_of
from occlusion.clearance.callipers import form_gaps, only, oppose
from occlusion.front import FrontGuidance
from occlusion.motion import lower_position
from occlusion.spread import draws_of
from occlusion.surfaces.arches import set_up
from occlusion.surfaces.calliper import CalliperTooth
from occlusion.surfaces.gaps import sample_gaps
from tests.occlusion.bench import settings_of, symmetric

FRONT = FrontGuidance(guided_by="table", overjet_mm=2.0, overbite_mm=0.5)
BACK = ("4", "5", "6", "7")


def teeth(quadrants, material, numbers=BACK, **measures):
    return [
        CalliperTooth(tooth=f"{quadrant}{number}", material=material, **measures)
        for quadrant in quadrants
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


def test_depths_do_not_depend_on_which_excursion_is_asked_for_first():
    surfaces = oppose(arches(cusp_angle_deg=35.0), pitch_mm=0.2)
    asked = travels_of(FRONT, steps=12)
    depths = []
    for order in ((0, 1, 2), (2, 1, 0), (1, 2, 0)):
        found = surface_clearance(
            settings=settings_of(symmetric(15, 0, bennett=15)),
            asked=[asked[number] for number in order],
            surfaces=surfaces,
        )
        depths.append({row.name: row.vertical_mm for row in found.reduction})

    assert depths[0].keys() == {"14", "15", "16", "17"}
    assert depths[1] == pytest.approx(depths[0], abs=1e-5)
    assert depths[2] == pytest.approx(depths[0], abs=1e-5)


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


def test_where_both_are_denture_teeth_the_upper_ones_are_looked_at():
    both = check(arches(upper="denture", lower="denture"))

    # The lower first premolar has nothing over its centre, and is no row of its own for that.
    assert names(both) == ["14", "15", "16", "17"]
    assert {row.name for row in both.reduction} <= {"14", "15", "16", "17"}


def test_what_is_unusual_about_the_teeth_is_said_with_the_answer():
    found = check(arches(tilt_deg=25.0))

    codes = [one.code for one in found.warnings]
    assert [f"tooth_tilt_tooth_{tooth}_unusual" in codes for tooth in ("14", "44")] == [False, True]


def test_samples_of_some_regions_are_numbered_anew_in_the_order_asked_for():
    whole = arches().samples("upper", pitch_mm=0.5)
    found = only(whole, ["17", "15"])

    assert found.names == ("17", "15")
    assert len(found) == len(whole.of("17")) + len(whole.of("15"))
    for number, name in enumerate(found.names):
        assert (found.points_mm[found.region == number] == whole.points_mm[whole.of(name)]).all()


@pytest.mark.parametrize("member", ["upper", "lower"])
def test_gaps_of_forms_are_those_of_the_grid_at_its_places(member):
    built = arches()
    position = lower_position(
        settings=settings_of(symmetric(30, 10, bennett=10, wing=10)),
        excursion=AskedExcursion(kind="right", travel_mm=2.0).excursion,
    ).transform
    samples = built.samples(member, pitch_mm=0.2)
    field = built.field("lower" if member == "upper" else "upper", pitch_mm=0.05)
    grid = sample_gaps(field, samples.points_mm, position, member=member)

    found = form_gaps(built, member, samples.points_mm[:, :2].astype(float), position)

    near = (grid < 3.0) & np.isfinite(found)
    assert near.sum() > 1000
    # At creases a grid of 0.05 mm is rounded; nowhere else.
    assert np.quantile(np.abs(found[near] - grid[near]), 0.95) < 0.003
    # Beside the teeth of either arch there is nothing.
    assert np.isposinf(form_gaps(built, member, np.array([[50.0, 40.0]]), position)).all()
    assert np.isinf(found).any()


def test_each_form_reading_makes_the_cusps_of_its_own_arch_a_degree_steeper():
    built = arches()
    upper, lower = oppose(
        built, pitch_mm=0.5, cusp_half_width_deg={"denture": 2.0, "natural": 5.0}
    ).forms
    places = built.samples("upper", pitch_mm=0.5).points_mm[:, :2].astype(float)
    shut = np.eye(4)

    assert upper.half_width == dict.fromkeys(["14", "15", "16", "17"], 2.0)
    assert lower.half_width["16"] == 5.0
    for form, steeper in ((upper, {"upper_cusp_deg": 1.0}), (lower, {"lower_cusp_deg": 1.0})):
        assert form.name == f"cusp angle of the {next(iter(steeper))[:5]} teeth"
        before = form.as_read("upper", places, shut)
        after = form.larger("upper", places, shut)
        changed = built.changed(**steeper)
        x, y = places.T
        gaps = changed.heights("upper", x, y) - changed.heights("lower", x, y)
        both = np.isfinite(after) & np.isfinite(gaps)
        assert after[both] == pytest.approx(gaps[both])
        # A degree is up to 0.06 mm at 3.5 mm from a tip.
        assert 0.01 < np.abs(after[both] - before[both]).max() < 0.2


def test_errors_of_upper_and_lower_cusps_are_drawn_apart_and_so_is_each_tooth():
    def sds(**widths):
        surfaces = oppose(
            mirrored(), pitch_mm=0.2, cusp_half_width_deg={"denture": 0.0, "natural": 0.0, **widths}
        )
        settings = settings_of(symmetric(30, 10))
        found = surface_clearance(
            settings=settings,
            asked=[AskedExcursion(kind="protrusive", travel_mm=3.0, steps=6)],
            surfaces=surfaces,
            draws=draws_of(settings, half_widths={}, draws=1500),
        )
        return [row.doubt.sd_mm for row in found.excursions[0].regions]

    upper, lower, both = sds(denture=3.0), sds(natural=3.0), sds(denture=3.0, natural=3.0)

    # Right and left are mirror images with draws of their own: alike, and not the same.
    assert upper[0] == pytest.approx(upper[1], rel=0.1)
    assert upper[0] != pytest.approx(upper[1], rel=1e-6)
    for one, other, together in zip(upper, lower, both, strict=True):
        assert together == pytest.approx(np.hypot(one, other), rel=0.15)
        assert together < 0.9 * (one + other)


def mirrored():
    return set_up(
        upper=teeth("12", "denture", ("6",)),
        lower=teeth("34", "natural", ("5", "6", "7")),
        incisal_point_mm=(80.0, 0.0, -32.0),
    )
