"""A table is refused where it lies along the arc of the guided point, and only there."""

import pytest

from occlusion.errors import PinLeavesTable
from tests.occlusion.bench import at, symmetric
from tests.occlusion.second_opinion import Move, solve


@pytest.mark.parametrize("angle", [45, 50, 55, 60])
def test_a_steep_table_under_a_low_pin_is_followed(angle):
    bench = symmetric(30, angle, pin=(60.0, 0.0, -60.0))

    found = at(bench, Move("protrusive", 3.0))

    assert found.hinge_deg == pytest.approx(solve(bench, Move("protrusive", 3.0)).hinge, abs=1e-9)


def test_a_table_along_the_arc_of_a_pin_above_the_axis_is_refused():
    # tan(60) is 1.732, and a pin at (34.64, 20) would swing along 60 deg: here 63.4.
    with pytest.raises(PinLeavesTable):
        at(symmetric(30, 60, pin=(40.0, 0.0, 20.0)), Move("protrusive", 0.5))
