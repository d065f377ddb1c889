"""The pin where it is not opened, or cannot be; published ratios stand in the fixtures."""

import pytest

from occlusion import pin
from occlusion.errors import ImpossibleGeometry, NotANumber, OutOfRange, PinUnreachable
from tests.occlusion.bench import INCISAL, M1, M2, settings_of, symmetric, tooth


def rise(*tips, pin_point=INCISAL, rim=-32.0):
    return pin.pin_rise(pin_point_mm=pin_point, lower_rim_z_mm=rim, upper_tips_mm=tips)


def test_tips_above_the_rim_lift_nothing():
    found = rise((50, -25, -32), (35, -28, -31.5))

    assert (found.pin_rise_mm, found.first_contact_index) == (0.0, None)
    assert found.pin_rise_if_only_this_tip_mm == (0.0, 0.0)
    assert found.grind_to_close_mm == (0.0, 0.0)


def test_no_tips_lift_nothing():
    assert rise().pin_rise_mm == 0.0


def test_the_same_depth_lifts_the_pin_more_from_further_back():
    # Flat rim at -32, single tips 0.3 mm too low at x = 50 and 35; worked by two methods.
    found = rise((50, -25, -32.3), (35, -28, -32.3))

    assert found.pin_rise_if_only_this_tip_mm == pytest.approx((0.4785, 0.6819), abs=5e-5)
    assert (found.pin_rise_mm, found.first_contact_index) == (pytest.approx(0.6819, abs=5e-5), 1)
    assert found.grind_to_close_mm == (0.3, 0.3)


def test_of_equal_tips_the_first_is_named():
    assert rise((50, -25, -32.3), (50, 25, -32.3)).first_contact_index == 0


def test_pins_and_tips_behind_the_axis_are_impossible():
    with pytest.raises(ImpossibleGeometry, match="pin point lies behind"):
        rise(pin_point=(-1, 0, -32))
    with pytest.raises(ImpossibleGeometry, match="Upper tip 0 lies behind"):
        rise((-1, 0, -33))


def test_a_tip_that_no_opening_frees_is_refused():
    with pytest.raises(PinUnreachable):
        rise((5, 0, -40), rim=10.0)


def test_an_opening_is_counted_from_closed_whatever_the_record_says():
    bench = symmetric(20, 20)
    opened = settings_of(symmetric(20, 20, opening=2.0))
    points = {"16": tooth(M1), "17": tooth(M2)}

    one = pin.open_pin(settings=settings_of(bench), opening_mm=1.0, points_mm=points)
    other = pin.open_pin(settings=opened, opening_mm=1.0, points_mm=points)

    assert one == other
    assert one.drop_mm["17"] == pytest.approx(0.4361, abs=5e-5)
    assert one.back_mm["17"] == pytest.approx(0.4038, abs=5e-5)


def test_an_opening_beyond_the_instrument_is_refused():
    with pytest.raises(OutOfRange, match="Enter -2 to 10 mm"):
        pin.open_pin(settings=settings_of(symmetric(20, 20)), opening_mm=11, points_mm={})


def test_the_rule_of_three_goes_by_distance_from_the_axis():
    assert pin.straight_line_mm(opening_mm=0.5, distance_mm=2, pin_distance_mm=6) == pytest.approx(
        1 / 6
    )
    with pytest.raises(ImpossibleGeometry):
        pin.straight_line_mm(opening_mm=0.5, distance_mm=2, pin_distance_mm=0)
    with pytest.raises(NotANumber):
        pin.straight_line_mm(opening_mm="0.5", distance_mm=2, pin_distance_mm=6)


def test_the_true_axis_leaves_nothing():
    found = pin.wrong_axis(
        record_point_mm=(90, -40), record_mm=3, axis_error_mm=(0, 0), watched_point_mm=(50, -35)
    )

    assert found.residual_mm == (0.0, 0.0)
    assert found.forward_shift_mm == pytest.approx(0.0, abs=1e-12)  # round-off


def test_drop_and_gap_are_told_apart_with_a_sentence_which_is_which():
    (found,) = pin.opening_at_teeth(
        settings=settings_of(symmetric(20, 20)),
        opening_mm=1.0,
        points_mm={"47": tooth(M2)},
        incline_deg=20.0,
    )

    assert found.text == (
        "47 goes down 0.44 mm and goes back 0.40 mm: that is the drop. The gap over a lower "
        "incline of 20 deg that falls forward is 0.58 mm (0.55 square to it), over one that rises "
        "forward 0.29 mm (0.27 square to it)."
    )
    assert found.straight_line_mm == pytest.approx(35 / 80)


def test_on_flat_surfaces_the_gap_is_the_drop_and_closing_comes_forward():
    (found,) = pin.opening_at_teeth(
        settings=settings_of(symmetric(20, 20)), opening_mm=-1.0, points_mm={"47": tooth(M2)}
    )

    assert found.gap_mm == found.normal_gap_mm == found.other_gap_mm == found.drop_mm < 0
    assert "comes forward 0.40 mm: that is the drop. On flat surfaces" in found.text


def test_each_tooth_has_its_own_incline_and_those_left_out_are_flat():
    molar, second_molar = pin.opening_at_teeth(
        settings=settings_of(symmetric(20, 20)),
        opening_mm=1.0,
        points_mm={"46": tooth(M1), "47": tooth(M2)},
        incline_deg={"47": 33.0},
    )

    assert (molar.incline_deg, second_molar.incline_deg) == (0.0, 33.0)
    assert molar.gap_mm == molar.drop_mm
    assert second_molar.gap_mm == pytest.approx(0.4361 + 0.4038 * 0.6494, abs=1e-4)


def test_a_steep_incline_that_rises_forward_is_driven_into_the_one_above():
    # tan(50 deg) x 0.4038 back is more than the 0.4361 down.
    (found,) = pin.opening_at_teeth(
        settings=settings_of(symmetric(20, 20)),
        opening_mm=1.0,
        points_mm={"47": tooth(M2)},
        incline_deg=50.0,
    )

    assert found.other_gap_mm == pytest.approx(-0.0451, abs=2e-4)
    assert found.other_normal_gap_mm == pytest.approx(-0.0290, abs=2e-4)


def test_an_incline_no_tooth_has_is_refused():
    with pytest.raises(OutOfRange, match="Enter 0 to 60 deg"):
        pin.opening_at_teeth(
            settings=settings_of(symmetric(20, 20)),
            opening_mm=1.0,
            points_mm={"47": tooth(M2)},
            incline_deg=61.0,
        )
