"""The cost of readings by hand, and what a free number costs."""

import math

import numpy as np
import pytest

from occlusion.explaining import SeenPass
from occlusion.explaining.weighing import (
    Cost,
    cost_as_entered,
    cost_of,
    readings_of,
    weighed,
)
from tests.occlusion.explaining.passes import UPPER, bench


def reading(*marked):
    (one,) = readings_of(bench()[0], [SeenPass.of("centric", *marked)])
    return one


def gaps_of(*gaps):
    """One change, one position, eight teeth: the first ones as told, the others far off."""
    return np.array([[[*gaps, *[9.0] * (8 - len(gaps))]]])


def phi(z):
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def test_a_reading_costs_by_how_far_its_gap_lies_on_the_wrong_side():
    one = reading("14")
    sd = float(one.moved.sd[0])

    cost = cost_of([one], {"centric": gaps_of(0.04 + 2.0 * sd)})

    # Two deviations beyond the foil; the seven others are as far off as they should be.
    wrong = -2.0 * math.log(0.02 + 0.96 * phi(-2.0))
    assert cost.cost[0] == pytest.approx(wrong - 7 * 2.0 * math.log(0.98), rel=1e-6)
    assert cost.explained[0] == 7


def test_no_reading_costs_more_than_a_smear():
    far = cost_of([reading("14")], {"centric": gaps_of(5.0)})
    further = cost_of([reading("14")], {"centric": gaps_of(8.0)})

    assert far.cost[0] == pytest.approx(further.cost[0])
    assert far.cost[0] == pytest.approx(-2.0 * math.log(0.02) - 7 * 2.0 * math.log(0.98))


def test_what_overlaps_by_more_than_the_band_lifts_the_others_by_their_lever():
    one = reading("14")
    x, pin = one.x_mm, one.pin_mm

    carried = one.carried(gaps_of(-0.5, 0.0))[0]

    at_pin = (0.5 - 0.1) * pin / x[0]
    assert carried[0] == pytest.approx(-0.1)
    assert carried[1] == pytest.approx(at_pin * x[1] / pin)
    assert one.carried(gaps_of(-0.05, 0.0))[0][:2] == pytest.approx([-0.05, 0.0])


def test_what_reading_errors_leave_fits_and_what_they_do_not_leave_does_not():
    cost = Cost(np.array([3.0, 5.0]), np.array([4.0, 4.0]), np.array([8, 8]))

    assert (cost.fits(0), cost.fits(1)) == (True, False)


def test_readings_as_entered_cost_least_where_teeth_mark_as_they_should():
    gaps, _causes = bench()
    every = cost_as_entered(readings_of(gaps, [SeenPass.of("centric", *UPPER)]))
    none = cost_as_entered(readings_of(gaps, [SeenPass.of("centric")]))

    assert every.fits()
    assert not none.fits()
    assert every.explained[0] == 8


def test_a_number_that_is_not_needed_loses():
    gaps, causes = bench()
    seen = readings_of(gaps, [SeenPass.of("centric", *UPPER)])

    found = [weighed(gaps, seen, cause) for cause in causes]

    # All teeth mark as they are set: no change explains that better by more than a little.
    assert max(one.log_odds for one in found if one is not None) < 1.0
    assert min(one.log_odds for one in found if one is not None) < -0.5


def test_a_cause_that_moves_nothing_in_these_movements_is_none():
    gaps, causes = bench()
    seen = readings_of(gaps, [SeenPass.of("right", "16")])
    silent = {one.name for one in causes if weighed(gaps, seen, one) is None}

    # In the right excursion the right condyle and the other wing do not act.
    assert {
        "condylar_inclination_deg.right",
        "bennett_deg.right",
        "lateral_wing_deg.left",
    } <= silent
    assert "lateral_wing_deg.right" not in silent
