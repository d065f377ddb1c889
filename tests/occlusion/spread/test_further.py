"""Errors beside those of the settings: registration, hinge axis, and what is said of a gap."""

import math

import numpy as np
import pytest

from occlusion import spread
from occlusion.errors import NotANumber, OutOfRange
from tests import published
from tests.occlusion.bench import settings_of, symmetric
from tests.published import number

DRAWS = spread.draws_of(settings_of(symmetric(30, 20)), half_widths={}, draws=4000, seed=2)


def test_a_registration_shifts_the_whole_arch_alike_in_every_excursion():
    shift = spread.rigid_shift_mm(DRAWS, sd_mm=(0.1, 0.2, 0.0))

    assert shift.shape == (4000, 3)
    assert shift.std(axis=0) == pytest.approx([0.1, 0.2, 0.0], rel=0.05)
    assert np.abs(np.corrcoef(shift[:, :2].T)[0, 1]) < 0.05
    assert (shift == spread.rigid_shift_mm(DRAWS, sd_mm=(0.1, 0.2, 0.0))).all()
    other = spread.rigid_shift_mm(DRAWS, sd_mm=(0.1, 0.2, 0.0), name="settling")
    assert not (shift[:, 0] == other[:, 0]).any()


@pytest.mark.parametrize(
    ("shift", "towards", "facet", "change"),
    [
        ((0.0, 0.0, 0.1), (1.0, 0.0), 20.0, -0.1),
        ((0.2, 0.0, 0.0), (1.0, 0.0), 45.0, -0.2),
        ((0.2, 0.0, 0.0), (-3.0, 0.0), 45.0, 0.2),
        ((0.2, 0.0, 0.0), (0.0, 5.0), 45.0, 0.0),
        ((0.0, -0.2, 0.0), (0.0, -2.0), 45.0, -0.2),
        ((0.2, 0.2, -0.1), (1.0, 1.0), 45.0, 0.1 - 0.2 * math.sqrt(2.0)),
        ((0.2, 0.2, -0.1), (0.0, 0.0), 45.0, 0.1),
    ],
)
def test_a_shift_up_or_along_the_movement_closes_the_gap(shift, towards, facet, change):
    found = spread.gap_of_shift_mm([shift], towards=towards, facet_deg=facet)

    assert found == pytest.approx([change], abs=1e-12)


def test_a_shift_acts_on_each_tooth_by_its_own_way_and_facet():
    shift = [[0.2, 0.0, 0.0], [0.0, 0.0, 0.1], [0.0, 0.2, 0.0]]
    found = spread.gap_of_shift_mm(shift, towards=[[1.0, 0.0], [0.0, -1.0]], facet_deg=[45.0, 0.0])

    assert found == pytest.approx(np.array([[-0.2, 0.0], [-0.1, -0.1], [0.0, 0.0]]), abs=1e-12)


def test_vertical_errors_of_several_causes_add_up_as_squares():
    found = spread.vertical_errors_mm(
        DRAWS, sd_mm={"registration": [0.3, 0.0], "hinge axis": [0.4, 0.1]}
    )

    assert found.shape == (4000, 2)
    assert found.std(axis=0) == pytest.approx([0.5, 0.1], rel=0.04)
    assert abs(np.corrcoef(found.T)[0, 1]) < 0.05
    assert spread.vertical_errors_mm(DRAWS, sd_mm={}).tolist() == [0.0] * 4000


def test_further_errors_widen_a_spread_and_its_chances():
    values = np.random.default_rng(5).normal(0.3, 0.3, (4000, 2))
    before = spread.DrawnSpread(np.array([0.3, 0.3]), values)
    after = before.plus(spread.vertical_errors_mm(DRAWS, sd_mm={"registration": [0.4, 0.0]}))

    assert after.sd == pytest.approx([0.5, 0.3], rel=0.03)
    assert after.probability_below(-0.1)[0] > before.probability_below(-0.1)[0] + 0.05
    assert after.value.tolist() == [0.3, 0.3]


def test_a_wrong_axis_moves_a_gap_by_its_shift_times_the_tangent_of_the_facet():
    # Printed: 5 mm of axis error and a 3 mm record shift the second molar by 0.24822 mm for an
    # error forward and by 0.29911 mm for one upward.
    rows = {row["id"]: row for row in published.table("wrong_axis")}
    forward = number(rows["3 mm at the molar, axis anterior"], "forward_shift_mm")
    upward = next(
        number(row, "forward_shift_mm")
        for row in rows.values()
        if (number(row, "error_x_mm"), number(row, "error_z_mm")) == (0.0, 5.0)
        and number(row, "record_x_mm") == 50.0
        and number(row, "record_mm") == 3.0
    )
    found = spread.axis_error_sd_mm(
        points_mm=(50.0, -25.0, -35.0),
        record_point_mm=(50.0, -35.0),
        record_mm=3.0,
        half_width_mm=5.0,
        facet_deg=20.0,
    )

    expected = math.hypot(forward, upward) / math.sqrt(3.0) * math.tan(math.radians(20.0))
    assert float(found) == pytest.approx(expected, abs=1e-4)


def test_the_error_of_the_axis_is_told_for_each_tooth_and_is_nothing_on_flat_teeth():
    found = spread.axis_error_sd_mm(
        points_mm=[(50.0, -25.0, -35.0), (50.0, 25.0, -35.0), (35.0, 28.0, -35.0)],
        record_point_mm=(50.0, -35.0),
        record_mm=3.0,
        half_width_mm=5.0,
        facet_deg=[20.0, 0.0, -20.0],
    )

    assert found.shape == (3,)
    assert found[0] > 0.03
    assert found[1] == 0.0
    assert found[2] > 0.0


@pytest.mark.parametrize(
    ("gap", "chance", "state"),
    [
        (-0.11, 0.0, "interference"),
        (-0.10, 0.05, "contact"),
        (-0.10, 0.051, "interference possible"),
        (0.10, 0.05, "contact"),
        (0.11, 0.05, "none predicted"),
        (0.50, 0.06, "interference possible"),
    ],
)
def test_more_than_five_percent_make_an_interference_possible(gap, chance, state):
    assert spread.state_of(gap_mm=gap, p_interference=chance, band_mm=0.10) == state


def test_errors_that_are_none_are_refused():
    for sds in ((0.1, 0.1), (0.1, 0.1, -0.1), (0.1, 0.1, math.nan)):
        with pytest.raises(NotANumber, match="x, y and z"):
            spread.rigid_shift_mm(DRAWS, sd_mm=sds)
    with pytest.raises(NotANumber, match="from 0 up"):
        spread.vertical_errors_mm(DRAWS, sd_mm={"registration": [0.1, -0.1]})
    with pytest.raises(OutOfRange):
        spread.axis_error_sd_mm(
            points_mm=(50.0, -25.0, -35.0),
            record_point_mm=(50.0, -35.0),
            record_mm=3.0,
            half_width_mm=-5.0,
            facet_deg=20.0,
        )
