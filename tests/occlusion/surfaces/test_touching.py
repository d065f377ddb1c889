"""Least gaps between a tooth and the other arch, and the height at which it touches."""

import math

import numpy as np
import pytest

from occlusion.surfaces.touching import height_to_touch, least_gap
from tests.occlusion.surfaces import cusps_by_search
from tests.occlusion.surfaces.crowns import cusp, form, two_cusps


def shifted(x=0.0, y=0.0, z=0.0, opening_deg=0.0):
    """A position of the lower member: turned about the y axis, then shifted."""
    cos, sin = math.cos(math.radians(opening_deg)), math.sin(math.radians(opening_deg))
    return np.array([[cos, 0, sin, x], [0, 1, 0, y], [-sin, 0, cos, z], [0, 0, 0, 1.0]])


def tip_over_fossa(gap=0.5):
    """A lone upper tip that much above the fossa of a lower tooth."""
    return form(cusp(z=-32.7817 + gap), tooth="26"), two_cusps()


def brute(upper, lower, step=0.04, moved=(0.0, 0.0, 0.0)):
    """The same gap by the second opinion's rule, over a fine grid; the lower tooth moved."""
    side = np.arange(-4.0, 4.0, step)
    x, y = np.meshgrid(50.0 + side, 25.0 + side)

    def heights_of(tooth):
        def height(x, y):
            u, v = tooth.local(x, y)
            return np.where(tooth.covers(u, v), tooth.height(u, v), np.nan)

        return height

    places = np.column_stack([x.ravel(), y.ravel()])
    dx, dy, dz = moved
    below = heights_of(lower)
    return cusps_by_search.least_gap(
        heights_of(upper), lambda x, y: below(x - dx, y - dy) + dz, places
    )


def test_the_rule_of_the_second_opinion_finds_a_known_gap():
    places = np.array([[0.0, 0.0], [1.0, 0.0], [9.0, 9.0]])

    gap = cusps_by_search.least_gap(
        lambda x, y: 3.0 + x, lambda x, y: np.where(x > 5.0, np.nan, 2.0 * x), places
    )

    assert gap == 2.0


def test_the_gap_of_a_tip_over_a_fossa_is_least_on_the_inclines():
    # The tip is rounder than the groove: it would touch both inclines first.
    upper, lower = tip_over_fossa()
    found = least_gap(upper, [lower])

    assert found.gap_mm < 0.5
    assert found.gap_mm == pytest.approx(brute(upper, lower), abs=1e-3)
    assert found.gap_mm <= brute(upper, lower) + 1e-9
    assert abs(found.at_mm[1] - 25.0) > 0.5


def test_two_tips_are_nearest_tip_to_tip():
    upper, lower = form(cusp(z=-31.0), tooth="26"), form(cusp(z=-32.0))

    found = least_gap(upper, [lower])

    assert found.gap_mm == pytest.approx(1.0, abs=1e-6)
    assert found.at_mm == pytest.approx((50.0, 25.0), abs=1e-2)
    assert found.opposed_mm2 == pytest.approx(93.0, abs=4.0)


def test_the_gap_is_the_same_from_either_tooth():
    upper, lower = tip_over_fossa()

    assert least_gap(lower, [upper]).gap_mm == pytest.approx(
        least_gap(upper, [lower]).gap_mm, abs=1e-5
    )


def test_an_interference_is_a_negative_gap():
    upper, lower = form(cusp(z=-32.3), tooth="26"), form(cusp(z=-32.0))

    assert least_gap(upper, [lower]).gap_mm == pytest.approx(-0.3, abs=1e-6)


def test_of_several_teeth_the_nearest_counts():
    upper = form(cusp(z=-31.0), tooth="26")
    near = form(cusp(z=-32.0), centre_mm=(50.0, 25.0))
    high = form(cusp(z=-31.2, u=-3.0), centre_mm=(53.0, 25.0), tooth="37")

    assert least_gap(upper, [near, high]).gap_mm == pytest.approx(0.2, abs=1e-6)


def test_nothing_opposite_is_an_infinite_gap():
    upper, lower = form(cusp(), tooth="26"), form(cusp(), centre_mm=(70.0, 25.0))

    assert least_gap(upper, [lower]).gap_mm == math.inf
    assert least_gap(upper, []).opposed_mm2 == 0.0
    assert height_to_touch(upper, [lower]) == math.inf


def test_a_moved_lower_tooth_is_met_where_it_stands_then():
    upper, lower = form(cusp(z=-31.0), tooth="26"), form(cusp(z=-32.0))

    ahead = least_gap(upper, [lower], shifted(x=2.0, z=-0.4)).gap_mm

    # Half way between tips 2 mm apart both have fallen by tan 20 (sqrt(1.25) - 0.5) = 0.2250.
    assert ahead == pytest.approx(1.0 + 0.4 + 2 * 0.2250, abs=1e-3)


@pytest.mark.parametrize("number", ["26", "36"])
def test_a_shifted_gap_is_that_of_shifted_functions(number):
    upper, lower = tip_over_fossa(gap=0.1)
    carrier, other = (upper, lower) if number == "26" else (lower, upper)

    found = least_gap(carrier, [other], shifted(x=1.5, y=-0.5, z=-0.7)).gap_mm

    assert found == pytest.approx(brute(upper, lower, moved=(1.5, -0.5, -0.7)), abs=1e-3)
    assert found > 0.5


@pytest.mark.parametrize("number", ["26", "36"])
def test_a_turned_gap_is_measured_along_the_vertical_of_the_other_member(number):
    # The points of one tooth carried over by the whole matrix: the lower turned by 2 deg.
    upper, lower = form(cusp(z=-31.0), tooth="26"), form(cusp(z=-32.0))
    turned = shifted(opening_deg=2.0)
    carrier, other = (upper, lower) if number == "26" else (lower, upper)
    carry = np.linalg.inv(turned) if number == "26" else turned
    u, v = (side.ravel() for side in np.meshgrid(*[np.arange(-1.5, 1.5, 0.05)] * 2))
    points = np.stack([50.0 + u, 25.0 + v, carrier.height(u, v), np.ones_like(u)])
    x, y, z, _one = carry @ points
    opposite = other.height(x - 50.0, y - 25.0)
    gaps = z - opposite if number == "26" else opposite - z

    found = least_gap(carrier, [other], turned).gap_mm

    assert found == pytest.approx(gaps.min(), abs=2e-3)
    assert found <= gaps.min() + 1e-9


def test_a_tooth_is_brought_down_or_up_by_its_gap():
    upper, lower = tip_over_fossa()
    gap = least_gap(upper, [lower]).gap_mm

    assert height_to_touch(upper, [lower]) == pytest.approx(-gap)
    assert height_to_touch(lower, [upper]) == pytest.approx(gap)


@pytest.mark.parametrize("number", ["26", "36"])
def test_in_a_turned_position_it_touches_after_the_move_as_well(number):
    upper, lower = tip_over_fossa()
    position = shifted(x=2.0, y=1.0, z=-1.0, opening_deg=2.0)
    carrier, other = (upper, lower) if number == "26" else (lower, upper)

    up = height_to_touch(carrier, [other], position)

    assert abs(up) > 0.1
    assert least_gap(carrier.moved(up), [other], position).gap_mm == pytest.approx(0.0, abs=1e-5)
