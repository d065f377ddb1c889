"""Where teeth stand: sphere, arches, interdigitation, tilt, and places that were measured."""

import math

import numpy as np
import pytest

from occlusion.errors import ImpossibleGeometry
from occlusion.surfaces.calliper import CalliperTooth, CompensatingCurve
from occlusion.surfaces.layout import laid_out, sphere_of, spots
from occlusion.teeth import arch_landmarks
from tests.occlusion.surfaces.crowns import INCISAL, arch


def laid(teeth, *, curve=None, tilt=0.0, incisal=INCISAL):
    """Forms of some teeth by number, laid out and not settled."""
    sphere = sphere_of(curve or CompensatingCurve(), incisal_point_mm=incisal, tilt_deg=tilt)
    widths = {t.tooth: t.md_mm for t in teeth if t.md_mm is not None}
    forms = []
    for member in ("upper", "lower"):
        own = [t for t in teeth if t.member == member]
        places = spots(member, incisal_point_mm=incisal, widths_mm=widths, tilt_deg=tilt)
        forms += laid_out(own, places=places, sphere=sphere, tilt_deg=tilt)
    return {form.tooth: form for form in forms}


def one(number, **measures):
    return CalliperTooth(tooth=number, material="natural", **measures)


def tips(form, row=""):
    return np.array(
        [tip for cusp, tip in zip(form.cusps, form.tips_mm, strict=True) if row in cusp.side]
    )


@pytest.fixture(scope="module")
def both():
    return laid(arch("upper", "denture", last=8) + arch("lower", "natural", last=8))


# The sphere


def test_lower_tips_stand_on_the_sphere_and_those_of_upper_back_teeth_below_it(both):
    # Centre by hand: 29 mm behind the incisal point, sqrt(101.6^2 - 29^2) = 97.373 above it.
    centre = np.array([51.0, 0.0, 65.373])
    for tooth, form in both.items():
        if tooth[0] in "12" and tooth[1] in "123":
            continue
        for cusp, tip in zip(form.cusps, form.tips_mm, strict=True):
            on_sphere = tip + np.array([0.0, 0.0, 0.65 if form.member == "upper" else 0.0])
            if cusp.name == "D":
                on_sphere[2] += 0.5
            assert np.linalg.norm(on_sphere - centre) == pytest.approx(101.6, abs=1e-3)


def test_incisal_edges_and_second_molars_stand_at_one_height(both):
    distal = tips(both["37"], "buccal")[1]

    assert distal[2] == pytest.approx(-32.0, abs=0.1)
    assert tips(both["36"], "buccal")[:, 2].max() < -33.0


def test_a_curve_with_its_own_lowest_point_stands_there():
    curve = CompensatingCurve(radius_mm=80.0, lowest_mm=(60.0, -35.0))
    (form,) = laid([one("36")], curve=curve).values()

    x, y, z = form.tips_mm[0]

    assert math.dist((x, y, z), (60.0, 0.0, 45.0)) == pytest.approx(80.0)


def test_a_tooth_beside_the_sphere_is_refused():
    curve = CompensatingCurve(radius_mm=50.0, lowest_mm=(100.0, -32.0))

    with pytest.raises(ImpossibleGeometry, match="stands 70 mm beside the lowest point"):
        laid([one("38")], curve=curve)


def test_back_teeth_stand_along_the_radius_and_front_teeth_upright(both):
    centre = np.array([51.0, 0.0, 65.373])
    molar = both["37"]
    x, y = molar.centre_mm
    sphere_z = 65.373 - math.sqrt(101.6**2 - (x - 51.0) ** 2 - y**2)

    up = centre - np.array([x, y, sphere_z])

    assert molar.axis == pytest.approx(tuple(up / np.linalg.norm(up)), abs=1e-4)
    assert both["31"].axis == (0.0, 0.0, 1.0)


# The arches


def test_the_lower_line_is_the_textbook_arch():
    landmarks = arch_landmarks(arch="lower", incisal_point_mm=INCISAL)
    places = spots("lower", incisal_point_mm=INCISAL)

    assert len(places) == 16
    for tooth, spot in places.items():
        assert (spot.x_mm, spot.y_mm) == pytest.approx(landmarks[tooth][:2], abs=1e-4)


def test_back_teeth_point_forward_and_incisors_to_the_midline():
    places = spots("lower", incisal_point_mm=INCISAL)

    assert places["37"].mesial == pytest.approx((0.98, -0.18), abs=0.02)
    assert places["47"].mesial == pytest.approx((0.98, 0.18), abs=0.02)
    assert places["31"].mesial[1] < -0.9
    assert places["41"].mesial[1] > 0.9


def test_upper_teeth_stand_three_mm_outside_with_their_own_widths():
    lower = spots("lower", incisal_point_mm=INCISAL)
    upper = spots("upper", incisal_point_mm=INCISAL)
    # Half the upper central incisor is 4.25 mm along a line 1.4 mm in front; it then stands
    # 1.6 mm further out, a little more to the side.
    assert (upper["21"].x_mm, upper["21"].y_mm) == pytest.approx((82.45, 4.59), abs=0.01)
    # On the straight part 26 and 27 stand (10 + 9) / 2 mm apart.
    apart = math.hypot(upper["26"].x_mm - upper["27"].x_mm, upper["26"].y_mm - upper["27"].y_mm)
    assert apart == pytest.approx(9.5, abs=0.3)
    assert upper["27"].y_mm - lower["37"].y_mm == pytest.approx(3.0, abs=0.3)


def test_a_wider_upper_tooth_pushes_back_what_stands_behind_it():
    plain = spots("upper", incisal_point_mm=INCISAL)
    wide = spots("upper", incisal_point_mm=INCISAL, widths_mm={"21": 9.5})

    assert plain["26"].x_mm - wide["26"].x_mm == pytest.approx(1.0, abs=0.15)
    assert wide["16"] == plain["16"]


def test_upper_lingual_cusps_stand_over_lower_fossae_and_lower_buccal_under_upper_ones(both):
    # Distance to buccal of the fossa line of the tooth it bites on: under a quarter of the tips'.
    for upper, lower in (("25", "35"), ("26", "36"), ("27", "37"), ("16", "46"), ("17", "47")):
        for tip in tips(both[upper], "lingual"):
            _u, v = both[lower].local(tip[0], tip[1])
            assert abs(float(v)) < 1.1
        for tip in tips(both[lower], "buccal"):
            _u, v = both[upper].local(tip[0], tip[1])
            assert abs(float(v)) < 1.1


def test_upper_buccal_cusps_stand_outside_the_lower_ones(both):
    for upper, lower in (("24", "34"), ("25", "35"), ("26", "36"), ("27", "37"), ("28", "38")):
        outside = tips(both[upper], "buccal")[:, 1].min() - tips(both[lower], "buccal")[:, 1].max()
        assert outside > 1.0


def test_each_lower_tooth_stands_half_a_premolar_mesial_of_its_namesake(both):
    for upper, lower in (("14", "44"), ("15", "45"), ("24", "34"), ("25", "35")):
        ahead, _v = both[upper].local(*both[lower].centre_mm)
        assert float(ahead) == pytest.approx(3.5, abs=1.0)


def test_an_upper_edge_stands_under_the_curve_by_what_its_facet_falls_over_the_overjet(both):
    # By hand: tan 20 (sqrt(3^2 + 0.5^2) - 0.5) = 0.925, less the room of 0.5 for round edges;
    # 3 mm behind the edge the curve stands at the height of the lower edges.
    edge = tips(both["21"])[0]
    lower = tips(both["31"])[0]

    assert edge[2] == pytest.approx(lower[2] - 0.425, abs=0.1)
    assert edge[0] - lower[0] == pytest.approx(2.65, abs=0.1)


@pytest.mark.parametrize(
    ("upper", "row", "lower", "between"),
    [
        ("24", "lingual", "34", "35"),
        ("25", "lingual", "35", "36"),
        ("25", "buccal", "34", "36"),
        ("26", "buccal", "36", "37"),
    ],
)
def test_an_upper_tooth_bites_between_two_lower_ones(both, upper, row, lower, between):
    (x, *_rest) = tips(both[upper], row).mean(axis=0)

    assert both[between].centre_mm[0] < x < both[lower].centre_mm[0]


def test_lower_buccal_tips_stand_under_fossae_or_between_two_teeth(both):
    # Along the arch, from the middle of the upper tooth or of the space in front of it.
    expected = {"34": ("24", 3.5), "35": ("25", 3.5), "37": ("27", 4.5)}
    for lower, (upper, half) in expected.items():
        u, _v = both[upper].local(*tips(both[lower], "buccal")[0][:2])
        assert float(u) == pytest.approx(half, abs=1.1)
    for lower, upper in (("36", "26"), ("37", "27")):
        u, _v = both[upper].local(*tips(both[lower], "buccal")[1][:2])
        assert abs(float(u)) < 1.4


def test_the_mesiobuccal_cusp_of_the_upper_molar_stands_over_the_buccal_groove(both):
    mesial = tips(both["26"], "buccal")[0]
    first, second = tips(both["36"], "buccal")[:2]

    assert second[0] < mesial[0] < first[0]


def test_left_and_right_are_mirror_images(both):
    for left, right in (("21", "11"), ("24", "14"), ("26", "16"), ("33", "43"), ("36", "46")):
        assert both[left].tips_mm == pytest.approx(both[right].tips_mm * [1, -1, 1])
        assert both[left].axis == pytest.approx(np.array(both[right].axis) * [1, -1, 1])


def test_arches_move_with_the_incisal_point():
    there = laid([one("36"), one("26")], incisal=(85.0, 1.0, -30.0))
    here = laid([one("36"), one("26")])

    for tooth in ("36", "26"):
        # The sphere stays in the median plane, so heights change a little with y.
        moved = there[tooth].tips_mm - here[tooth].tips_mm
        assert moved[:, :2] == pytest.approx(np.tile([5.0, 1.0], (len(moved), 1)))
        assert moved[:, 2] == pytest.approx(2.0, abs=0.35)


# Measures that change a place


def test_an_over_erupted_tooth_stands_above_the_curve():
    plain, erupted = laid([one("37")])["37"], laid([one("37", tip_height_mm=1.6)])["37"]

    assert erupted.tips_mm - plain.tips_mm == pytest.approx(np.tile([0.0, 0.0, 1.6], (4, 1)))


@pytest.mark.parametrize("number", ["17", "27", "37", "47"])
def test_tilt_lifts_the_distal_end_and_leans_the_axis_to_mesial(number):
    plain, tilted = laid([one(number)])[number], laid([one(number, tilt_deg=6.0)])[number]

    lift = tilted.tips_mm[:, 2] - plain.tips_mm[:, 2]
    lean = np.array(tilted.axis) @ [*tilted.mesial, 0.0]
    before = np.array(plain.axis) @ [*plain.mesial, 0.0]

    u = np.array([cusp.u_mm for cusp in plain.cusps])
    assert lift == pytest.approx(-u * 0.105104, abs=1e-5)
    assert lift[1] > 0
    assert math.degrees(math.asin(lean) - math.asin(before)) == pytest.approx(6.0, abs=0.1)


def test_a_measured_centre_stands_instead_of_the_laid_out_place():
    form = laid([one("36", centre_mm=(55.0, 23.0))])["36"]

    assert form.centre_mm == (55.0, 23.0)
    assert form.tips_mm[:, 1].mean() == pytest.approx(23.6, abs=0.7)


def test_a_measured_height_stands_instead_of_the_curve():
    lower = laid([one("36", centre_mm=(55.0, 23.0, -30.0))])["36"]
    upper = laid([one("26", centre_mm=(55.0, 26.0, -30.0))])["26"]

    for form in (lower, upper):
        heights = form.tips_mm[:, 2]
        assert heights.min() < -30.0 < heights.max()
        assert np.delete(heights, 2 if len(heights) == 5 else []).mean() == pytest.approx(
            -30.0, abs=0.2
        )


# The plane of the settings


def test_a_plane_that_falls_forward_turns_the_arch_about_the_incisal_point():
    level, falling = laid(arch("lower", "natural")), laid(arch("lower", "natural"), tilt=10.0)
    cos, sin = math.cos(math.radians(10.0)), math.sin(math.radians(10.0))
    turn = np.array([[cos, 0.0, sin], [0.0, 1.0, 0.0], [-sin, 0.0, cos]])

    for tooth in ("37", "47"):
        back = level[tooth].tips_mm[1] - INCISAL
        assert falling[tooth].tips_mm[1] - INCISAL == pytest.approx(turn @ back, abs=0.35)
    assert falling["31"].axis == pytest.approx((sin, 0.0, cos))
