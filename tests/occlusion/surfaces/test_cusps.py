"""The surface of one tooth: closed forms, a second opinion, inclines, and what is refused."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion.errors import ImpossibleGeometry
from occlusion.surfaces.cusps import heights, neighbours
from tests.occlusion.surfaces import cusps_by_search
from tests.occlusion.surfaces.crowns import cusp, form, two_cusps


def at(tooth, u, v):
    return float(tooth.height(np.array([float(u)]), np.array([float(v)]))[0])


def leaning(mesial_deg=0.0, buccal_deg=0.0):
    """Axis of a left tooth along x that leans that far to mesial and to buccal."""
    x, y = math.tan(math.radians(mesial_deg)), math.tan(math.radians(buccal_deg))
    return tuple(np.array([x, y, 1.0]) / math.sqrt(x * x + y * y + 1.0))


def plain(tooth):
    """The tooth as the second opinion wants it."""
    bx, by = tooth.buccal
    sides = {"buccal": (bx, by), "lingual": (-bx, -by)}
    return [
        {
            "tip": tip,
            "outward": sides[c.side],
            **{name: getattr(c, f"{name}_deg") for name in ("inner", "outer", "mesial", "distal")},
            "rho": c.roundness_mm,
            "edge": c.half_edge_mm,
        }
        for c, tip in zip(tooth.cusps, tooth.tips_mm, strict=True)
    ]


# The second opinion itself


def test_the_second_opinion_knows_a_cone_and_a_leaning_plane():
    cone = {
        **{"tip": (0.0, 0.0, -32.0), "outward": (0.0, 1.0), "rho": 1e-9, "edge": 0.0},
        **dict.fromkeys(("inner", "outer", "mesial", "distal"), 45.0),
    }
    flat = {**cone, **dict.fromkeys(("inner", "outer", "mesial", "distal"), 0.0)}
    lean = (math.sin(0.1), 0.0, math.cos(0.1))

    assert cusps_by_search.height([cone], (1, 0), (0, 0, 1), "lower", 3.0, 4.0) == pytest.approx(
        -37.0
    )
    assert cusps_by_search.height([cone], (1, 0), (0, 0, 1), "upper", 3.0, 4.0) == pytest.approx(
        -27.0
    )
    assert cusps_by_search.height([flat], (1, 0), lean, "lower", 2.0, 5.0) == pytest.approx(
        -32.0 - 2.0 * math.tan(0.1)
    )


# Closed forms


def test_far_from_the_tip_the_cusp_is_a_cone():
    sharp = form(cusp(roundness_mm=1e-6, deg=45.0))

    assert at(sharp, 3.0, 4.0) == pytest.approx(-37.0, abs=1e-5)


def test_four_cusps_are_lowest_in_the_middle_and_crease_where_they_meet():
    # By hand: the pit lies sqrt(2^2 + 2.6^2) = 3.280 from each tip, a groove 2.6 from two.
    four = form(
        *(cusp(side="buccal", u=u, v=2.6) for u in (2.0, -2.0)),
        *(cusp(side="lingual", u=u, v=-2.6) for u in (2.0, -2.0)),
    )

    assert at(four, 0.0, 0.0) == pytest.approx(-33.0257, abs=1e-4)
    assert at(four, 2.0, 0.0) == pytest.approx(-32.7817, abs=1e-4)
    assert at(four, 0.0, 2.6) == pytest.approx(-32.5683, abs=1e-4)
    # A groove is a crease: it rises on both sides with the whole slope.
    assert at(four, 2.0, 0.1) - at(four, 2.0, 0.0) == pytest.approx(0.0357, abs=0.0005)
    assert at(four, 2.0, -0.1) - at(four, 2.0, 0.0) == pytest.approx(0.0357, abs=0.0005)


@pytest.mark.parametrize(
    ("u", "v", "fall"),
    [(0.0, -4.0, 10.0), (0.0, 4.0, 45.0), (4.0, 0.0, 25.0), (-4.0, 0.0, 35.0)],
    ids=["inner", "outer", "mesial", "distal"],
)
def test_each_side_of_a_cusp_falls_with_its_own_incline(u, v, fall):
    one = form(cusp(inner_deg=10.0, outer_deg=45.0, mesial_deg=25.0, distal_deg=35.0))
    step = 0.01

    slope = (at(one, u, v) - at(one, u * (1 + step), v * (1 + step))) / (4.0 * step)

    assert math.degrees(math.atan(slope)) == pytest.approx(fall, abs=0.6)


def test_the_outer_side_of_a_lingual_cusp_looks_to_lingual():
    one = form(cusp(side="lingual", inner_deg=10.0, outer_deg=45.0))

    assert at(one, 0.0, -3.0) < -34.0
    assert at(one, 0.0, 3.0) > -33.0


def test_half_way_between_two_sides_a_tip_has_the_mean_of_both():
    # b / sqrt(b^2 + 0.25) at b = 0.5 is 0.7071: 15 + 0.8536 * 30 = 40.607 deg.
    one = form(cusp(inner_deg=15.0, outer_deg=45.0))

    fall = math.tan(math.radians(40.6066)) * (math.hypot(0.5, 0.5) - 0.5)

    assert at(one, 0.0, 0.5) == pytest.approx(-32.0 - fall, abs=1e-5)


@pytest.mark.parametrize(("u", "effective"), [(4.0, 26.0), (-4.0, 14.0)])
def test_lean_to_mesial_steepens_mesial_and_flattens_distal_inclines_below(u, effective):
    one = form(cusp(roundness_mm=0.05), axis=leaning(mesial_deg=6.0))

    slope = (at(one, u, 0.0) - at(one, 1.01 * u, 0.0)) / 0.04

    assert math.degrees(math.atan(slope)) == pytest.approx(effective, abs=0.05)


def test_lean_to_mesial_steepens_distal_inclines_above():
    one = form(cusp(roundness_mm=0.05), tooth="26", axis=leaning(mesial_deg=6.0))

    distal = (at(one, -4.04, 0.0) - at(one, -4.0, 0.0)) / 0.04

    assert math.degrees(math.atan(distal)) == pytest.approx(26.0, abs=0.05)


def test_flat_cusps_on_a_leaning_tooth_are_one_plane():
    flat = two_cusps(deg=0.0, axis=leaning(mesial_deg=8.0, buccal_deg=-5.0))
    u, v = np.array([-3.0, 0.0, 4.0]), np.array([-4.0, 1.0, 3.0])
    buccal = flat.cusps[0]

    expected = (
        buccal.tip_z_mm - u * math.tan(math.radians(8.0)) + (v - 2.6) * math.tan(math.radians(5.0))
    )
    lower_of_two = flat.height(u, v)

    # Both tips stand at one height, so the higher of two parallel planes shows.
    assert lower_of_two == pytest.approx(np.maximum(expected, expected + 5.2 * math.tan(0.0872665)))


def test_an_edge_is_as_long_as_told_and_round_at_its_ends():
    incisor = form(cusp(half_edge_mm=3.0))

    assert at(incisor, 3.0, 0.0) == pytest.approx(-32.0)
    assert at(incisor, -3.0, 1.0) == pytest.approx(at(incisor, 0.0, 1.0))
    assert at(incisor, 5.0, 0.0) == pytest.approx(at(form(cusp()), 2.0, 0.0))


# Against the second opinion

angles = st.floats(0.0, 60.0)


@st.composite
def teeth(draw):
    tooth = draw(st.sampled_from(["16", "26", "36", "46"]))
    cusps = [
        cusp(
            side=side,
            u=draw(st.floats(-3.0, 3.0)),
            v=(1.0 if side == "buccal" else -1.0) * draw(st.floats(0.5, 3.0)),
            z=draw(st.floats(-33.0, -31.0)),
            inner_deg=draw(angles),
            outer_deg=draw(angles),
            mesial_deg=draw(angles),
            distal_deg=draw(angles),
            roundness_mm=draw(st.floats(0.05, 2.0)),
            half_edge_mm=draw(st.sampled_from([0.0, 0.0, 2.0])),
        )
        for side in ("buccal", "lingual")
    ]
    turned = draw(st.floats(-math.pi, math.pi))
    return form(
        *cusps,
        tooth=tooth,
        mesial=(math.cos(turned), math.sin(turned)),
        axis=leaning(draw(st.floats(-14.0, 14.0)), draw(st.floats(-14.0, 14.0))),
    )


@settings(max_examples=60, deadline=None)
@given(teeth(), st.floats(-5.0, 5.0), st.floats(-5.0, 5.0))
def test_heights_agree_with_a_search_along_the_vertical(tooth, u, v):
    (mx, my), (bx, by), (x0, y0) = tooth.mesial, tooth.buccal, tooth.centre_mm
    x, y = x0 + u * mx + v * bx, y0 + u * my + v * by

    searched = cusps_by_search.height(plain(tooth), tooth.mesial, tooth.axis, tooth.member, x, y)

    assert at(tooth, u, v) == pytest.approx(searched, abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(teeth())
def test_float32_heights_agree_with_float64_ones(tooth):
    u, v = np.meshgrid(np.linspace(-5, 5, 11), np.linspace(-5, 5, 11))
    u, v = u.ravel(), v.ravel()

    coarse, _owner = tooth.surface(u.astype(np.float32), v.astype(np.float32))

    assert coarse.dtype == np.float32
    assert coarse == pytest.approx(tooth.height(u, v), abs=2e-4)


# Frames, owners and the crown from above


@pytest.mark.parametrize(
    ("tooth", "mesial", "buccal"),
    [
        ("36", (1, 0), (0, 1)),
        ("46", (1, 0), (0, -1)),
        ("11", (0, 1), (1, 0)),
        ("21", (0, -1), (1, 0)),
    ],
)
def test_buccal_is_away_from_the_tongue_on_both_sides(tooth, mesial, buccal):
    assert form(cusp(), tooth=tooth, mesial=mesial).buccal == buccal


@pytest.mark.parametrize("tooth", ["36", "46"])
def test_tips_and_local_places_are_one_another_s_inverse(tooth):
    one = two_cusps(tooth=tooth, mesial=(0.8, 0.6))

    u, v = one.local(one.tips_mm[:, 0], one.tips_mm[:, 1])

    assert u == pytest.approx([0.0, 0.0], abs=1e-12)
    assert v == pytest.approx([2.6, -2.6])


def test_a_place_belongs_to_the_cusp_and_incline_that_makes_it():
    tooth = two_cusps()
    u, v = np.array([1.0, -1.0, 1.0, -1.0]), np.array([3.0, 2.0, -2.0, -3.0])

    _z, owner = tooth.surface(u, v)
    lingual, inner, distal = tooth.inclines(u, v, owner)

    assert owner.tolist() == [0, 0, 1, 1]
    assert lingual.tolist() == [False, False, True, True]
    assert inner.tolist() == [False, True, True, False]
    assert distal.tolist() == [False, True, False, True]


def test_heights_of_several_teeth_end_with_their_crowns():
    left = two_cusps()
    right = two_cusps(tooth="46")
    x, y = np.array([50.0, 50.0, 50.0, 56.0]), np.array([27.6, -27.6, 0.0, 25.0])

    z = heights([left, right], x, y)

    assert z[:2] == pytest.approx([-32.0, -32.0])
    assert np.isnan(z[2:]).all()


def test_where_crowns_overlap_the_one_met_first_shows():
    x, y = np.array([50.0]), np.array([25.0])
    low, high = form(cusp(z=-32.0)), form(cusp(z=-31.0))
    below, above = form(cusp(z=-32.0), tooth="26"), form(cusp(z=-31.0), tooth="26")

    assert heights([low, high], x, y) == pytest.approx([-31.0])
    assert heights([above, below], x, y) == pytest.approx([-32.0])


def test_the_crown_is_a_rounded_box_about_its_own_middle():
    crown = form(cusp(), md_mm=8.0, bl_mm=6.0, rim_v_mm=-1.5)
    u = np.array([3.99, 4.01, 0.0, 0.0, 3.9])
    v = np.array([-1.5, -1.5, 1.49, 1.51, 1.4])

    assert crown.covers(u, v).tolist() == [True, False, True, False, False]


def test_a_turned_crown_lies_within_its_box():
    crown = form(cusp(), md_mm=8.0, bl_mm=6.0, rim_v_mm=-1.5, mesial=(0.6, 0.8))
    turn = np.linspace(0.0, 2.0 * math.pi, 73)
    u = 4.0 * np.sign(np.cos(turn)) * np.sqrt(np.abs(np.cos(turn)))
    v = -1.5 + 3.0 * np.sign(np.sin(turn)) * np.sqrt(np.abs(np.sin(turn)))
    (mx, my), (bx, by) = crown.mesial, crown.buccal
    x, y = 50.0 + u * mx + v * bx, 25.0 + u * my + v * by
    low_x, high_x, low_y, high_y = crown.box_mm

    assert low_x <= x.min()
    assert x.max() <= high_x
    assert low_y <= y.min()
    assert y.max() <= high_y


def test_neighbours_are_found_by_their_boxes():
    here, near, far = (form(cusp(), centre_mm=(x, 25.0)) for x in (50.0, 60.5, 75.0))

    assert neighbours(here, [near, far], reach_mm=1.0) == [near]
    assert neighbours(here, [near, far], reach_mm=0.1) == []


def test_a_moved_tooth_is_the_same_tooth_higher():
    assert at(two_cusps().moved(0.25), 1.0, 2.0) == pytest.approx(at(two_cusps(), 1.0, 2.0) + 0.25)


def test_an_incline_that_overhangs_is_refused():
    with pytest.raises(
        ImpossibleGeometry, match=r"Tooth 36 leans by 30.0 deg .* incline of 60 deg"
    ):
        form(cusp(outer_deg=60.0), axis=leaning(mesial_deg=30.0))
