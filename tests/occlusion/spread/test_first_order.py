"""First-order spread of a result, against printed sensitivities."""

import numpy as np
import pytest

from occlusion import spread
from occlusion.articulator import Excursion
from occlusion.errors import BadRequest, OutOfRange
from occlusion.motion import landmark_movement, lower_position
from tests import published
from tests.occlusion.bench import CANINE, M1, M2, PM1, settings_of, symmetric, tooth
from tests.published import number

NOMINAL = symmetric(30, 20, bennett=10, wing=20)


def drop(kind, side):
    """Drop of canine, PM1, M1 and M2 of one side, 3 mm horizontal travel."""
    points = [tooth(place, side) for place in (CANINE, PM1, M1, M2)]
    excursion = Excursion(kind=kind, travel_mm=3, travel_along="horizontal")

    def of(settings):
        position = lower_position(settings=settings, excursion=excursion)
        return -landmark_movement(position, points)[:, 2]

    return of


@published.each("drawn_spreads", errors="angles and pin", statistic="sd")
def test_the_spread_of_a_second_molar_is_near_that_of_many_draws(row):
    kind = "protrusive" if row["side"] == "protrusive" else "right"
    side = "left" if row["side"] == "balancing" else "right"
    half_widths = dict.fromkeys(
        ("condylar_inclination_deg", "bennett_deg", "incisal_table_deg", "lateral_wing_deg"), 5.0
    )
    found = spread.first_order_spread(
        drop(kind, side),
        settings=settings_of(symmetric(30, 20, bennett=15, wing=20, opening=1.0)),
        half_widths={**half_widths, "pin_opening_mm": 0.5},
    )

    sampled = number(row, "second_molar_mm")
    assert found.sd[3] == pytest.approx(sampled, rel=number(row, "tolerance"))


def test_one_reading_alone_gives_its_slope_times_its_deviation():
    found = spread.first_order_spread(
        lambda settings: 3.0 * settings.pin_opening_mm,
        settings=settings_of(NOMINAL),
        half_widths={"pin_opening_mm": 0.5},
    )

    assert float(found.sd) == pytest.approx(3.0 * 0.5 / np.sqrt(3.0))


def test_sides_are_read_independently():
    found = spread.first_order_spread(
        lambda settings: settings.right.bennett_deg + settings.left.bennett_deg,
        settings=settings_of(NOMINAL),
        half_widths={"bennett_deg": 5.0},
    )

    assert set(found.parts) == {"bennett_deg.right", "bennett_deg.left"}
    assert float(found.sd) == pytest.approx(np.sqrt(2.0) * 5.0 / np.sqrt(3.0))


def test_a_value_at_its_hard_limit_is_varied_downward():
    settings = settings_of(symmetric(75, 20))
    found = spread.first_order_spread(
        lambda one: one.right.inclination_deg,
        settings=settings,
        half_widths={"condylar_inclination_deg": 5.0},
    )

    assert float(found.sd) == pytest.approx(5.0 / np.sqrt(3.0))


def test_without_reading_errors_nothing_spreads():
    found = spread.first_order_spread(
        drop("right", "left"), settings=settings_of(NOMINAL), half_widths={}
    )

    assert found.sd.tolist() == [0.0] * 4


def test_an_unknown_or_impossible_reading_error_is_refused():
    with pytest.raises(BadRequest, match="Choose one of"):
        spread.check_half_widths({"patience": 1.0})
    with pytest.raises(OutOfRange):
        spread.check_half_widths({"bennett_deg": -1.0})
    with pytest.raises(BadRequest, match="no setting that can be varied"):
        spread.changed(settings=settings_of(NOMINAL), quantity="facet_deg", by=1.0)


@pytest.mark.parametrize(
    ("value", "sd", "expected"),
    [(-0.1, 0.1, 0.5), (0.0645, 0.1, 0.05), (-0.2, 0.0, 1.0), (0.0, 0.0, 0.0)],
)
def test_the_chance_of_an_overlap_follows_the_normal_curve(value, sd, expected):
    # 1.645 standard deviations leave 5 % (printed in every table of the normal curve).
    found = spread.probability_below(value=value, sd=sd, limit=-0.1)

    assert found == pytest.approx(expected, abs=1e-4)


def test_a_reading_of_one_side_has_its_own_value_and_error():
    found = spread.first_order_spread(
        lambda one: [one.right.bennett_deg, one.left.bennett_deg],
        settings=settings_of(NOMINAL),
        half_widths={"bennett_deg": 3.0},
        readings={"bennett_deg.left": spread.Measured(14.0, 2.0, "normal")},
    )

    assert found.value.tolist() == [10.0, 14.0]
    assert found.sd == pytest.approx([3.0 / np.sqrt(3.0), 2.0 / 1.959964], abs=1e-9)


def test_readings_alone_leave_everything_else_exact():
    found = spread.first_order_spread(
        drop("right", "left"),
        settings=settings_of(NOMINAL),
        readings={"pin_opening_mm": spread.Measured(0.0, 0.5)},
    )

    assert set(found.parts) == {"pin_opening_mm"}
    assert (found.sd > 0.05).all()


def test_a_facet_is_no_setting_and_takes_no_part():
    found = spread.first_order_spread(
        drop("right", "left"),
        settings=settings_of(NOMINAL),
        half_widths={"facet_deg": 5.0},
        readings={"facet_deg": spread.Measured(20.0, 5.0)},
    )

    assert found.sd.tolist() == [0.0] * 4
