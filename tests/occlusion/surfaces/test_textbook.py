"""The textbook's teeth, and what overrides them."""

import pytest

from occlusion.surfaces.calliper import CalliperTooth
from occlusion.surfaces.textbook import cusp_angle_of, measures_of


def tooth(number, material="denture", **measures):
    return CalliperTooth(tooth=number, material=material, **measures)


def rows(number, **measures):
    """Names of the cusps, and their places to mesial and to buccal."""
    cusps = measures_of(tooth(number, **measures)).cusps
    return {c.name: (round(c.u_mm, 2), round(c.v_mm, 2)) for c in cusps}


@pytest.mark.parametrize(
    ("number", "cusps"),
    [
        ("14", {"B": (0.0, 2.61), "L": (0.0, -2.61)}),
        ("44", {"B": (0.0, 0.75)}),
        ("35", {"B": (0.0, 2.32), "L": (0.0, -2.32)}),
        (
            "26",
            {"MB": (2.44, 3.19), "DB": (-2.44, 3.19), "ML": (2.44, -3.19), "DL": (-2.44, -3.19)},
        ),
        (
            "46",
            {
                **{"MB": (2.64, 3.04), "DB": (-1.76, 3.04), "D": (-4.62, 3.04)},
                **{"ML": (2.68, -3.04), "DL": (-2.68, -3.04)},
            },
        ),
        ("37", {"MB": (2.56, 2.9), "DB": (-2.56, 2.9), "ML": (2.56, -2.9), "DL": (-2.56, -2.9)}),
        ("13", {"tip": (0.0, 0.0)}),
        ("41", {"edge": (0.0, 0.0)}),
    ],
)
def test_each_tooth_has_the_cusps_of_its_kind(number, cusps):
    assert rows(number) == cusps


def test_the_distal_cusp_of_a_lower_first_molar_is_the_lowest():
    heights = {c.name: c.tip_z_mm for c in measures_of(tooth("36")).cusps}

    assert heights == {"MB": 0.0, "DB": 0.0, "D": -0.5, "ML": 0.0, "DL": 0.0}


def test_a_lower_first_premolar_with_a_measured_separation_has_two_cusps():
    assert rows("34", tip_separation_mm=4.0) == {"B": (0.0, 2.0), "L": (0.0, -2.0)}


def test_widths_and_separation_that_were_measured_stand_instead():
    given = measures_of(tooth("26", md_mm=8.0, bl_mm=9.0, tip_separation_mm=5.0))

    assert (given.md_mm, given.bl_mm) == (8.0, 9.0)
    assert given.cusps[0].u_mm == pytest.approx(0.244 * 8.0)
    assert given.cusps[0].v_mm == 2.5


@pytest.mark.parametrize(
    ("number", "material", "angle"),
    [
        ("16", "denture", 20.0),
        ("46", "denture", 20.0),
        ("16", "natural", 19.25),
        ("36", "natural", 19.25),
        ("37", "natural", 20.0),
        ("11", "denture", 20.0),
        ("11", "natural", 40.0),
        ("41", "natural", 60.0),
    ],
)
def test_cusp_angles_of_the_textbook(number, material, angle):
    assert cusp_angle_of(tooth(number, material)) == angle


def test_a_measured_cusp_angle_is_that_of_inner_incline_and_slopes():
    (first, *_others) = measures_of(tooth("16", cusp_angle_deg=33.0)).cusps

    assert (first.inner_deg, first.outer_deg) == (33.0, 45.0)
    assert (first.mesial_deg, first.distal_deg) == (33.0, 33.0)


def test_every_other_measure_of_a_cusp_can_be_given():
    (first, *_others) = measures_of(
        tooth(
            "16",
            outer_incline_deg=50.0,
            mesial_slope_deg=15.0,
            distal_slope_deg=25.0,
            tip_roundness_mm=0.8,
        )
    ).cusps

    assert (first.outer_deg, first.mesial_deg, first.distal_deg) == (50.0, 15.0, 25.0)
    assert first.roundness_mm == 0.8


@pytest.mark.parametrize(
    ("number", "inner", "outer"), [("21", 30.0, 70.0), ("31", 60.0, 30.0)], ids=["upper", "lower"]
)
def test_the_facet_of_a_front_tooth_is_palatal_above_and_labial_below(number, inner, outer):
    (edge,) = measures_of(tooth(number, cusp_angle_deg=30.0)).cusps

    assert (edge.inner_deg, edge.outer_deg) == (inner, outer)


def test_an_incisor_has_an_edge_and_a_canine_a_tip():
    assert measures_of(tooth("11")).cusps[0].half_edge_mm == pytest.approx(3.4)
    assert measures_of(tooth("13")).cusps[0].half_edge_mm == 0.0


def test_an_upper_front_crown_lies_behind_its_edge():
    # 7 mm wide, 1.5 of them to labial: the middle is 2 mm behind the edge.
    assert measures_of(tooth("11")).rim_v_mm == -2.0
    assert measures_of(tooth("41")).rim_v_mm == 0.0
    assert measures_of(tooth("16")).rim_v_mm == 0.0
