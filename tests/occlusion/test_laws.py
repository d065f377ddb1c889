"""Laws of protrusion and of direction, and the textbook formulas against the rigid body."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from occlusion import curves, motion
from tests import published
from tests.occlusion import strategies as some
from tests.occlusion.bench import INCISAL, M1, M2, along, at, moved, symmetric, tooth
from tests.occlusion.second_opinion import Move
from tests.published import number

EXACT = 1e-9


# Protrusion


@given(some.benches(opening=0.0), some.tables, some.travels, some.along, some.teeth)
def test_a_table_as_steep_as_the_condyles_gives_pure_translation(
    bench, angle, travel, travel_along, point
):
    equal = replace(bench, inclination_right=angle, inclination_left=angle, table=angle)
    found = at(equal, Move("protrusive", travel, travel_along))
    movement = moved(found, point)

    assert found.hinge_deg == pytest.approx(0.0, abs=EXACT)
    assert movement == pytest.approx(moved(found, INCISAL), abs=EXACT)
    assert motion.path_angle_deg(movement) == pytest.approx(angle, abs=1e-6)


@given(
    st.floats(5.0, 50.0),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
    some.travels,
    st.floats(30.0, 78.0),
)
def test_further_forward_the_gap_over_a_facet_no_steeper_than_the_table_only_grows(
    inclination, part, facet_part, travel, x
):
    # Condylar path at least as steep as the table: every tooth's path lies between the two.
    table = min(part * inclination, 40.0)
    bench = symmetric(inclination, table, table_on="upper")
    movement = moved(along(bench, Move("protrusive", travel), steps=25), (x, 0.0, -32.0))
    gap = motion.facet_gap_mm(movement, facet_part * table)

    assert (np.diff(gap) > -EXACT).all()


def test_a_table_on_the_lower_member_tips_and_next_to_the_pin_the_gap_may_shrink_again():
    # Own computation, by two methods: inclination 5, flat table, 9 mm behind the pin.
    bench = symmetric(5, 0, table_on="lower")
    gaps = [
        -float(moved(at(bench, Move("protrusive", travel)), (71.0, 0.0, -32.0))[2])
        for travel in (2.0, 4.2, 5.0)
    ]

    assert gaps == pytest.approx([0.01555, 0.02254, 0.02228], abs=1e-5)


@given(
    st.floats(5.0, 60.0),
    st.floats(0.0, 35.0),
    st.floats(70.0, 110.0),
    st.floats(5.0, 30.0),
    some.travels,
)
def test_the_christensen_formula_is_the_turn_of_the_rigid_body(
    inclination, table, height, balkwill, travel
):
    forward, above = curves.axis_position_mm(height_mm=height, balkwill_deg=balkwill)
    incisal = (forward, 0.0, -above)
    found = at(symmetric(inclination, table, pin=incisal), Move("protrusive", travel))
    advance = moved(found, incisal)[0]
    assume(advance > 0.0)
    angle = curves.christensen_angle_deg(
        condylar_inclination_deg=inclination,
        advance_mm=advance,
        height_mm=height,
        balkwill_deg=balkwill,
        incisal_table_deg=table,
    )

    assert angle == pytest.approx(-found.hinge_deg, abs=EXACT)
    behind = (forward - 40.0, 0.0, -above)
    drop = curves.christensen_distance_mm(
        angle_deg=angle, behind_mm=40.0, advance_mm=advance, incisal_table_deg=table
    )
    assert drop == pytest.approx(-moved(found, behind)[2], abs=EXACT)


@given(
    st.floats(5.0, 60.0),
    st.floats(0.0, 35.0),
    st.floats(70.0, 110.0),
    st.floats(5.0, 30.0),
    st.floats(0.0, 60.0),
)
def test_the_exact_path_angle_is_how_a_tooth_of_the_rigid_body_sets_off(
    inclination, table, height, balkwill, behind
):
    forward, above = curves.axis_position_mm(height_mm=height, balkwill_deg=balkwill)
    bench = symmetric(inclination, table, pin=(forward, 0.0, -above))
    setting_off = moved(at(bench, Move("protrusive", 1e-4)), (forward - behind, 0.0, -above))
    exact = curves.path_angle_exact_deg(
        condylar_inclination_deg=inclination,
        incisal_table_deg=table,
        behind_mm=behind,
        height_mm=height,
        balkwill_deg=balkwill,
    )

    # After 0.0001 mm the path has turned by about as many degrees.
    assert motion.path_angle_deg(setting_off) == pytest.approx(exact, abs=1e-3)


@given(
    st.floats(5.0, 60.0),
    st.floats(3.0, 6.0),
    st.floats(30.0, 50.0),
    st.floats(70.0, 110.0),
    st.floats(5.0, 30.0),
)
def test_the_inclination_comes_back_from_the_gap_that_it_opened(
    inclination, advance, behind, height, balkwill
):
    triangle = {"height_mm": height, "balkwill_deg": balkwill}
    angle = curves.christensen_angle_deg(
        condylar_inclination_deg=inclination, advance_mm=advance, **triangle
    )
    gap = curves.christensen_distance_mm(angle_deg=angle, behind_mm=behind)
    found = curves.inclination_from_rims_deg(
        separation_mm=gap, behind_mm=behind, advance_mm=advance, **triangle
    )

    assert found == pytest.approx(inclination, abs=EXACT)


# Laws of direction


@settings(max_examples=200)
@given(
    st.floats(20.0, 50.0),
    st.floats(12.0, 40.0),
    st.floats(5.0, 30.0),
    st.floats(0.0, 20.0),
    st.floats(0.0, 1.5),
    st.floats(1.0, 5.0),
)
def test_within_usual_settings_more_side_shift_or_bennett_never_steepens_a_molar_path(
    inclination, table, wing, bennett, shift, travel
):
    # Not true of every legal setting; see the next test. No exception is known in this box.
    def angles(**settings):
        found = at(symmetric(inclination, table, wing=wing, **settings), Move("right", travel))
        molars = [tooth(place, side) for place in (M1, M2) for side in ("right", "left")]
        return motion.path_angle_deg(moved(found, molars))

    as_set = angles(bennett=bennett, shift=shift)

    assert (angles(bennett=bennett + 2.0, shift=shift) <= as_set + EXACT).all()
    assert (angles(bennett=bennett, shift=shift + 0.3) <= as_set + EXACT).all()


@published.each("steepened_paths")
def test_outside_of_them_side_shift_and_bennett_can_steepen_a_molar_path(row):
    # Flat tables with low wings, and a flat condylar path.
    inclination, table, bennett, shift, wing = (
        number(row, name)
        for name in ("inclination_deg", "table_deg", "bennett_deg", "shift_mm", "wing_deg")
    )
    bench = symmetric(inclination, table, bennett=bennett, shift=shift, wing=wing)
    found = at(bench, Move("right", number(row, "travel_mm")))
    steepness = motion.path_angle_deg(moved(found, tooth(M1, row["side"])))

    assert steepness == pytest.approx(number(row, "path_deg"), abs=number(row, "tolerance"))


def test_a_steeper_condylar_path_steepens_the_balancing_path_and_flattens_the_working_one():
    # The golden cases with 20 and 30 deg: by 3.3 and 0.7 deg.
    def angle(inclination, side):
        bench = symmetric(inclination, 20, bennett=15, wing=20)
        return motion.path_angle_deg(moved(at(bench, Move("right", 3.0)), tooth(M1, side)))

    assert angle(30, "left") - angle(20, "left") == pytest.approx(3.255, abs=2e-3)
    assert angle(30, "right") - angle(20, "right") == pytest.approx(-0.718, abs=2e-3)
