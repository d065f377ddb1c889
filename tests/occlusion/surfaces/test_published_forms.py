"""Tooth forms and the curve that they stand on, against their tables."""

import math

import numpy as np
import pytest

from occlusion.surfaces.arches import WORTH
from occlusion.surfaces.calliper import CalliperTooth, CompensatingCurve
from occlusion.surfaces.layout import laid_out, sphere_of, spots
from occlusion.surfaces.textbook import cusp_angle_of, measures_of
from tests import published
from tests.occlusion.surfaces.crowns import INCISAL, arch, cusp, form, two_cusps
from tests.published import number


def near(row, column):
    return pytest.approx(number(row, column), abs=number(row, "tolerance"), rel=0.0)


def height(tooth, u=0.0, v=0.0):
    return float(tooth.height(np.array([u]), np.array([v]))[0])


# The curve


@published.each("curve_radii")
def test_every_measured_curve_passes_as_a_usual_one(row):
    assert CompensatingCurve(radius_mm=number(row, "radius_mm")).warnings() == []


def test_the_curve_that_is_taken_when_nothing_is_told_is_the_classic_one():
    (row,) = [row for row in published.table("curve_radii") if row["key"] == "sphere"]

    assert CompensatingCurve().radius_mm == number(row, "radius_mm")


def fitted(points):
    """Radius of the sphere through points by least squares: x^2 + y^2 + z^2 is linear in it."""
    unknown = np.column_stack([2.0 * points, np.ones(len(points))])
    *centre, rest = np.linalg.lstsq(unknown, (points**2).sum(axis=1), rcond=None)[0]
    return math.sqrt(rest + sum(part**2 for part in centre))


def test_the_fit_finds_a_sphere_through_points_told_by_hand():
    corners = [(5, 0, 1), (-5, 0, 1), (0, 5, 1), (0, 0, 6), (0, 3, -3)]

    assert fitted(np.array(corners, dtype=float)) == pytest.approx(5.0, abs=1e-12)


@published.each("sphere_fits")
def test_the_lower_tips_of_a_set_up_lie_on_the_sphere_that_was_asked_for(row):
    sphere = sphere_of(
        CompensatingCurve(radius_mm=number(row, "radius_mm")),
        incisal_point_mm=INCISAL,
        tilt_deg=5.0,
    )
    places = spots("lower", incisal_point_mm=INCISAL, tilt_deg=5.0)
    teeth = laid_out(arch("lower", "natural"), places=places, sphere=sphere, tilt_deg=5.0)
    tips = np.array(
        [
            tip
            for tooth in teeth
            for one, tip in zip(tooth.cusps, tooth.tips_mm, strict=True)
            if one.name != "D"  # the distal cusp of a first molar stands lower
        ]
    )

    assert len(tips) >= number(row, "fewest_tips")
    assert fitted(tips) == near(row, "radius_mm")


# Teeth


@published.each("calliper_fossae")
def test_a_fossa_is_as_deep_as_angle_and_distance_of_the_tips_make_it(row):
    angle, apart = number(row, "cusp_deg"), number(row, "tip_separation_mm")
    told = {"cusp_angle_deg": angle, "tip_separation_mm": apart}
    tooth = CalliperTooth(
        tooth="16", material="denture", tip_roundness_mm=number(row, "roundness_mm"), **told
    )
    lower, upper = (two_cusps(apart, angle, tooth=number) for number in ("36", "26"))

    assert measures_of(tooth).cusp_height_mm == near(row, "fossa_mm")
    assert -32.0 - height(lower) == near(row, "fossa_mm")
    assert height(upper) + 32.0 == near(row, "fossa_mm")


@published.each("round_tips")
def test_a_tip_is_round_with_the_radius_that_its_angle_gives(row):
    # A sphere of radius r falls by d^2 / 2r near its top.
    lone = form(cusp(deg=number(row, "cusp_deg"), roundness_mm=number(row, "roundness_mm")))
    fall = -32.0 - height(lone, u=0.01)

    assert 0.01**2 / (2.0 * fall) == near(row, "radius_mm")


def between_cusps(tooth):
    return 180.0 - 2.0 * cusp_angle_of(tooth)


def buccal_tips(tooth):
    first, second = (one.u_mm for one in measures_of(tooth).cusps if one.side == "buccal")
    return first - second


FOUND = {
    "cusp_deg": cusp_angle_of,
    "between_cusps_deg": between_cusps,
    "buccal_tips_mm": buccal_tips,
}


@published.each("tooth_form_defaults")
def test_what_stands_for_a_measure_not_taken_is_what_was_measured_elsewhere(row):
    tooth = CalliperTooth(tooth=row["tooth"], material=row["material"])

    assert FOUND[row["quantity"]](tooth) == near(row, "expected")


def test_what_a_wrong_cusp_angle_costs_is_told_as_the_table_has_it():
    rows = {row["id"]: row for row in published.table("twin_stage_slopes")}
    five_deg = -5.0 * number(rows["second molar, path, cusp"], "mm_per_deg")

    assert f"5 deg wrong is about {five_deg:.2f} mm at 3 mm of travel" in WORTH
