"""Textbook formulas where they end; their published values stand in the fixtures."""

import pytest

from occlusion import curves
from occlusion.errors import ImpossibleGeometry, NoSolution, NotANumber

TRIANGLE = {"height_mm": 86.6025, "balkwill_deg": 20.0}


def test_the_lateral_estimate_is_plain_arithmetic():
    assert curves.lateral_inclination_estimate_deg(condylar_inclination_deg=20) == 14.5
    assert curves.lateral_inclination_estimate_deg(condylar_inclination_deg=33) == 16.125


def test_equal_slopes_open_no_angle_and_a_steeper_table_closes_one():
    def angle(inclination, table):
        return curves.christensen_angle_deg(
            condylar_inclination_deg=inclination, incisal_table_deg=table, advance_mm=3, **TRIANGLE
        )

    assert angle(25, 25) == pytest.approx(0.0, abs=1e-12)
    assert angle(20, 30) < 0 < angle(30, 20)


def test_the_linear_estimate_overstates_by_less_than_two_degrees():
    values = {"condylar_inclination_deg": 33, "incisal_table_deg": 0, "behind_mm": 40, **TRIANGLE}
    exact = curves.path_angle_exact_deg(**values)

    assert 0 < curves.path_angle_linear_deg(**values) - exact < 1.75


def test_a_record_of_some_advance_and_drop_gives_its_inclination():
    found = curves.inclination_from_record_deg(drop_mm=2.1838, advance_mm=6)

    assert found == pytest.approx(20.0, abs=0.001)


def test_the_slope_of_the_sphere_grows_with_the_distance_from_its_lowest_point():
    assert curves.curve_slope_deg(distance_mm=0) == 0
    assert curves.curve_slope_deg(distance_mm=25) == pytest.approx(14.24, abs=0.005)


def test_a_gap_larger_than_its_distance_has_no_solution():
    with pytest.raises(NoSolution, match="no solution"):
        curves.inclination_from_rims_deg(separation_mm=41, behind_mm=40, advance_mm=5, **TRIANGLE)


def test_an_advance_that_no_jaw_can_make_has_no_solution():
    with pytest.raises(NoSolution):
        curves.christensen_angle_deg(condylar_inclination_deg=60, advance_mm=80, **TRIANGLE)


def test_a_path_along_the_height_of_the_triangle_has_no_solution():
    values = {"condylar_inclination_deg": 60, "incisal_table_deg": 10, "behind_mm": 30}
    with pytest.raises(NoSolution, match="along the triangle's height"):
        curves.path_angle_exact_deg(**values, height_mm=86.6, balkwill_deg=-30)


def test_a_chord_longer_than_the_sphere_is_wide_is_impossible():
    with pytest.raises(ImpossibleGeometry, match="does not fit a radius"):
        curves.sagitta_mm(chord_mm=204, radius_mm=101.6)


def test_sizes_must_be_positive_numbers():
    with pytest.raises(ImpossibleGeometry, match="Enter a value above 0"):
        curves.bonwill_height_mm(side_mm=0)
    with pytest.raises(NotANumber):
        curves.bonwill_height_mm(side_mm=float("nan"))
