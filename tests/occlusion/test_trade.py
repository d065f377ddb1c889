"""Facts of the bench that the engine must not contradict: common practice, no source."""

import numpy as np
import pytest

from occlusion import pin
from occlusion.ranges import usual, warnings_for
from tests.occlusion.bench import INCISAL, M1, M2, at, moved, settings_of, symmetric, tooth
from tests.occlusion.second_opinion import Move

#: Condylar paths and incisal table at 20 deg, Bennett angle 15: set so every day.
EVERYDAY = {"bennett": 15.0, "wing": 20.0}


@pytest.mark.parametrize("table_on", ["upper", "lower"])
@pytest.mark.parametrize("opening", [0.0, 0.5])
def test_the_everyday_settings_pass_without_a_warning(table_on, opening):
    bench = symmetric(20, 20, table_on=table_on, opening=opening, **EVERYDAY)

    assert warnings_for(settings_of(bench)) == ()


def test_each_of_the_everyday_settings_is_usual_by_itself():
    assert usual("condylar_inclination_deg", 20.0, side="right") is None
    assert usual("incisal_table_deg", 20.0) is None
    assert usual("bennett_deg", 15.0, side="left") is None
    assert usual("pin_opening_mm", 0.5) is None


def test_settings_that_nobody_uses_every_day_do_warn():
    bench = symmetric(65, 50, bennett=30, wing=20, opening=7)
    codes = [warning.code for warning in warnings_for(settings_of(bench))]

    assert codes == [
        "condylar_inclination_right_unusual",
        "bennett_right_unusual",
        "condylar_inclination_left_unusual",
        "bennett_left_unusual",
        "incisal_table_unusual",
        "pin_opening_unusual",
    ]


def test_everyday_settings_move_every_tooth_forward_and_down_along_the_same_slope():
    found = at(symmetric(20, 20, **EVERYDAY), Move("protrusive", 3.0))

    for point in (INCISAL, tooth(M1), tooth(M2, "left")):
        assert moved(found, point) == pytest.approx((3.0, 0.0, -1.0919), abs=5e-5)


def test_half_a_millimetre_at_the_pin_is_less_at_the_teeth_and_least_at_the_last_molar():
    opened = pin.open_pin(
        settings=settings_of(symmetric(20, 20)),
        opening_mm=0.5,
        points_mm={"incisal": INCISAL, "16": tooth(M1), "17": tooth(M2)},
    )

    assert opened.drop_mm["incisal"] == pytest.approx(0.5, abs=1e-9)
    # Distance from the axis over that of the pin: 50 and 35 of 80 mm.
    assert opened.drop_mm["16"] == pytest.approx(0.31, abs=0.005)
    assert opened.drop_mm["17"] == pytest.approx(0.22, abs=0.005)


@pytest.mark.parametrize("opening", [0.5, 1.0, 2.0])
def test_a_raised_pin_comes_back_to_the_table(opening):
    raised = at(symmetric(20, 20, opening=opening), Move("protrusive", 0.0))
    lowered_onto = tuple(np.array(INCISAL) + moved(raised, INCISAL))
    back = at(symmetric(20, 20, pin=lowered_onto, opening=-opening), Move("protrusive", 0.0))

    assert lowered_onto[2] == pytest.approx(INCISAL[2] - opening, abs=1e-9)
    assert back.pin_point_mm == pytest.approx(INCISAL, abs=1e-9)
    assert np.abs(back.transform @ raised.transform - np.eye(4)).max() < 1e-9


@pytest.mark.parametrize("table_on", ["upper", "lower"])
@pytest.mark.parametrize("opening", [0.0, 0.5])
@pytest.mark.parametrize("kind", ["protrusive", "right", "left"])
def test_the_pin_touches_the_table_in_every_excursion(kind, opening, table_on):
    bench = symmetric(20, 20, table_on=table_on, opening=opening, **EVERYDAY)

    assert at(bench, Move(kind, 4.0)).pin_residual_mm < 1e-9


def test_a_tooth_ground_by_what_the_check_asks_lets_the_pin_touch_again():
    high = (35.0, -28.0, -32.5)
    found = pin.pin_rise(pin_point_mm=INCISAL, lower_rim_z_mm=-32.0, upper_tips_mm=[high])
    ground = (high[0], high[1], high[2] + found.grind_to_close_mm[0])
    after = pin.pin_rise(pin_point_mm=INCISAL, lower_rim_z_mm=-32.0, upper_tips_mm=[ground])

    assert found.pin_rise_mm > 1.0
    assert after.pin_rise_mm == 0.0
