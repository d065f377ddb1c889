"""Table, tilts and curve worked out backwards from contacts."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion import motion
from occlusion.articulator import Excursion
from occlusion.errors import BadRequest, NoSolution, NotANumber, OutOfRange
from occlusion.records.balance import (
    BalanceTooth,
    compensating_curve,
    table_for_anterior_contact,
    tilt_for_balance,
)
from tests import published
from tests.occlusion.bench import INCISAL, M1, M2, PM1, at, moved, settings_of, symmetric, tooth
from tests.occlusion.second_opinion import Move, solve
from tests.published import number

FORWARD = Excursion(kind="protrusive", travel_mm=3, travel_along="horizontal")
PLACES = (("44", PM1), ("46", M1), ("47", M2))
ARTICULATOR = symmetric(30, 10)


def teeth(cusp):
    return [BalanceTooth(tooth=name, point_mm=tooth(at), cusp_deg=cusp) for name, at in PLACES]


def curve(cusp, bench=ARTICULATOR, **rest):
    return compensating_curve(
        settings=settings_of(bench), excursion=FORWARD, teeth=teeth(cusp), **rest
    )


def table(bench=ARTICULATOR, **values):
    asked = {"facet_deg": 40, "clearance_mm": 0.5, "advance_mm": 5, **values}
    return table_for_anterior_contact(settings=settings_of(bench), **asked)


# The table that keeps front teeth apart


@published.each("anterior_tables")
def test_the_flattest_table_that_keeps_front_teeth_apart(row):
    bench = replace(
        symmetric(number(row, "inclination_deg"), 0),
        pin=(number(row, "pin_x_mm"), 0.0, number(row, "pin_z_mm")),
    )
    found = table(
        bench,
        **{name: number(row, name) for name in ("facet_deg", "clearance_mm", "advance_mm")},
    )

    assert found.table_deg == pytest.approx(number(row, "table_deg"), abs=number(row, "tolerance"))
    # On that table the rigid body of the second opinion just meets the facet.
    body = solve(replace(bench, table=found.table_deg), Move("protrusive", found.travel_mm))
    x, _, z = body.moves(INCISAL)
    assert x == pytest.approx(5.0, abs=1e-9)
    assert -z == pytest.approx((x - 0.5) * math.tan(math.radians(40)), abs=1e-8)


@settings(max_examples=8)
@given(st.floats(20.0, 50.0), st.floats(0.0, 2.0), st.floats(3.0, 6.0), st.floats(10.0, 50.0))
def test_with_the_pin_at_the_incisal_point_the_condyles_have_no_say(
    facet, clearance, advance, inclination
):
    found = table(
        symmetric(inclination, 10), facet_deg=facet, clearance_mm=clearance, advance_mm=advance
    )

    slope = (1.0 - clearance / advance) * math.tan(math.radians(facet))
    assert found.table_deg == pytest.approx(math.degrees(math.atan(slope)), abs=1e-7)


def test_a_tilted_plane_turns_facet_and_table_alike():
    level = table(symmetric(30, 10, pin=(92.0, 0.0, -37.0)))
    tilted = table(symmetric(24, 10, pin=(92.0, 0.0, -37.0), tilt=6.0), facet_deg=34)

    # Clearance and advance are then along the plane, so that it is not the same by 6 deg flat.
    assert tilted.table_deg == pytest.approx(level.table_deg - 6.0, abs=0.5)
    assert tilted.table_deg != pytest.approx(level.table_deg, abs=4.0)


def test_a_flat_table_is_enough_where_the_facet_is_flat():
    assert table(facet_deg=0).table_deg == 0.0


def test_a_facet_too_steep_for_any_table_has_no_solution():
    with pytest.raises(NoSolution, match="No incisal table up to 60 deg"):
        table(facet_deg=75)


@pytest.mark.parametrize("values", [{"clearance_mm": 5}, {"clearance_mm": -1}])
def test_the_incisal_edge_must_come_under_the_facet(values):
    with pytest.raises(OutOfRange, match="an advance beyond it"):
        table(**values)


def test_what_the_table_means_is_said():
    (warning,) = table().warnings

    assert warning.code == "anterior_just_apart"
    assert warning.text.startswith("At 37.1 deg the front teeth just do not meet.")


# Tilts


@published.each("balance_tilts")
def test_how_far_a_tooth_must_be_tilted_to_run_along_its_path(row):
    point = (number(row, "x_mm"), number(row, "y_mm"), -32.0)
    one = BalanceTooth(tooth=row["tooth"], point_mm=point, cusp_deg=number(row, "cusp_deg"))
    (found,) = tilt_for_balance(settings=settings_of(ARTICULATOR), excursion=FORWARD, teeth=[one])

    near = number(row, "tolerance")
    assert found.path_deg == pytest.approx(number(row, "path_deg"), abs=near)
    assert found.tilt_deg == pytest.approx(number(row, "tilt_deg"), abs=near)
    assert not found.balanced


@published.each("matched_facets")
def test_what_a_matched_setting_leaves_over_facets(row):
    bench = symmetric(number(row, "inclination_deg"), number(row, "table_deg"))
    one = BalanceTooth(tooth="47", point_mm=tooth(M2), cusp_deg=number(row, "facet_deg"))
    (found,) = tilt_for_balance(settings=settings_of(bench), excursion=FORWARD, teeth=[one])

    assert found.gap_mm == pytest.approx(number(row, "gap_mm"), abs=number(row, "tolerance"))
    assert found.tilt_deg == pytest.approx(20 - number(row, "facet_deg"), abs=1e-9)
    assert found.balanced is (number(row, "facet_deg") == 20)


@given(
    st.floats(10.0, 50.0),
    st.floats(0.0, 30.0),
    st.sampled_from(["protrusive", "right", "left"]),
    st.floats(1.0, 5.0),
)
def test_a_tooth_tilted_as_told_has_neither_gap_nor_interference(inclination, tab, kind, travel):
    bench = symmetric(inclination, tab, bennett=10, wing=15)
    move = Excursion(kind=kind, travel_mm=travel, travel_along="path")
    asked = {"settings": settings_of(bench), "excursion": move}
    for one in tilt_for_balance(teeth=teeth(10.0), **asked):
        movement = moved(at(bench, Move(kind, travel, "path")), tooth(dict(PLACES)[one.tooth]))
        left_over = motion.facet_gap_mm(movement, 10.0 + one.tilt_deg)
        assert left_over == pytest.approx(0.0, abs=1e-9)


def test_two_degrees_count_as_balanced():
    found = tilt_for_balance(
        settings=settings_of(ARTICULATOR), excursion=FORWARD, teeth=teeth(14.7)
    )

    assert [one.balanced for one in found] == [True, True, False]  # -0.9, 1.9 and 5.1 deg


# The curve


@published.each("compensating_curves")
def test_the_sphere_that_tilts_three_teeth(row):
    found = curve(number(row, "cusp_deg"), lowest_x_mm=number(row, "fixed_lowest_x_mm"))

    near = number(row, "tolerance")
    assert found.radius_mm == pytest.approx(number(row, "radius_mm"), abs=near)
    assert found.lowest_x_mm == pytest.approx(number(row, "lowest_x_mm"), abs=near)
    if row["most_left_over_mm"]:
        assert np.abs(found.gaps_mm).max() < number(row, "most_left_over_mm")
    else:
        gaps = [
            number(row, f"gap_{name}_mm")
            for name in ("first_premolar", "first_molar", "second_molar")
        ]
        assert found.gaps_mm == pytest.approx(gaps, abs=5e-4)
    assert [warning.code for warning in found.warnings] == ["curve_unusual"]


def test_no_other_sphere_leaves_less():
    # By brute force over radii and places, with nothing of the engine but the movement.
    movements = moved(at(ARTICULATOR, Move("protrusive", 3.0)), [tooth(at) for _, at in PLACES])
    x = np.array([at[0] for _, at in PLACES])
    radius, lowest = np.meshgrid(np.linspace(240, 300, 121), np.linspace(70, 95, 101))
    left = 0.0
    for index in range(3):
        slope = np.arcsin((lowest - x[index]) / radius) + math.radians(10)
        forward = math.hypot(movements[index, 0], movements[index, 1])
        left = left + (-movements[index, 2] - forward * np.tan(slope)) ** 2
    best = np.unravel_index(np.argmin(left), left.shape)

    found = curve(10)
    assert found.radius_mm == pytest.approx(radius[best], abs=3.0)
    assert found.lowest_x_mm == pytest.approx(lowest[best], abs=0.5)
    assert np.square(found.gaps_mm).sum() <= left.min()


def test_a_usual_curve_passes_without_a_word():
    assert curve(10, lowest_x_mm=63).warnings[0].text == (
        "A radius of 154 mm would balance these teeth; usual curves have a radius of 60 to 150 "
        "mm. This is not a usual curve: change table or cusp."
    )
    usual = curve(10, symmetric(33, 10), lowest_x_mm=63)

    assert usual.radius_mm == pytest.approx(134.8, abs=0.1)
    assert usual.warnings == ()


def test_teeth_that_run_along_their_paths_ask_for_a_plane():
    found = curve(20, symmetric(20, 20))

    assert (found.radius_mm, found.lowest_x_mm) == (None, None)
    assert [warning.code for warning in found.warnings] == ["curve_flat"]
    assert found.gaps_mm == pytest.approx((0, 0, 0), abs=1e-9)


def test_a_table_steeper_than_the_condyles_asks_for_no_curve_of_the_usual_kind():
    found = curve(25, symmetric(20, 30))

    assert found.radius_mm is None
    assert found.warnings[0].text.startswith("Only a curve that bulges upward would balance")


def test_teeth_that_tell_no_curve_are_refused():
    one = teeth(10)[:1]
    asked = {"settings": settings_of(ARTICULATOR), "excursion": FORWARD}

    with pytest.raises(BadRequest, match="tell no curve"):
        compensating_curve(teeth=one, **asked)
    with pytest.raises(BadRequest, match="No tooth is given"):
        tilt_for_balance(teeth=[], **asked)
    found = compensating_curve(teeth=one, lowest_x_mm=80, **asked)
    # One tooth 17 mm behind: 17 / sin(3.794 deg).
    assert found.radius_mm == pytest.approx(256.9, abs=0.1)


def test_a_tooth_needs_numbers():
    with pytest.raises(NotANumber):
        BalanceTooth(tooth="47", point_mm=(35, -28, None), cusp_deg=10)
    with pytest.raises(OutOfRange):
        BalanceTooth(tooth="47", point_mm=(35, -28, -32), cusp_deg=61)
