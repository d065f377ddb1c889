"""What a plan starts from."""

import math

import pytest

from occlusion.errors import BadRequest, NotANumber, OutOfRange
from occlusion.reduction.denture import DentureTooth
from occlusion.reduction.places import Place, Wanted, checked, told_apart

INCLINE = "buccal inner distal"


def place(tooth="16", incline=INCLINE, **given):
    return Place(
        **{
            "tooth": tooth,
            "incline": incline,
            "chosen": DentureTooth(tooth, "denture"),
            "gap_mm": -0.3,
            **given,
        }
    )


@pytest.mark.parametrize(
    ("given", "error", "text"),
    [
        ({"tooth": "99"}, BadRequest, "not an ISO 3950 number"),
        ({"gap_mm": math.nan}, NotANumber, "not a finite number"),
        ({"held_mm": math.inf}, NotANumber, "not a finite number"),
        ({"budget_mm": -0.1}, OutOfRange, r"is -0\.1 mm"),
        ({"hollow_mm": 11.0}, OutOfRange, "is 11 mm"),
        ({"pin_ratio": 0.0}, OutOfRange, "is 0"),
        ({"weight": 0.0}, BadRequest, "grind for nothing"),
        ({"hollow_mm": 0.1, "room_mm": 0.1}, BadRequest, "A tooth with room is not: enter one"),
    ],
)
def test_a_place_that_cannot_be_is_refused(given, error, text):
    with pytest.raises(error, match=text):
        place(**{"tooth": "16", "chosen": None, **given})


@pytest.mark.parametrize(
    ("given", "error", "text"),
    [
        ({"clearance_mm": -0.1}, OutOfRange, "Wanted clearance is -0"),
        ({"approved_raise_mm": 11.0}, OutOfRange, "Approved raise at the pin is 11 mm"),
        ({"reset_max_mm": {"16": 6.0}}, OutOfRange, "Re-setting of 16 is 6 mm"),
        ({"reset_max_mm": {"1": 1.0}}, BadRequest, "not an ISO 3950 number"),
        ({"raise_weight": 0.0}, BadRequest, "The weight raise_weight is 0"),
        ({"reset_weight": -1.0}, BadRequest, "The weight reset_weight is -1"),
        ({"reset_weight": math.nan}, NotANumber, "not a finite number"),
        ({"hold_mm": 6.0}, OutOfRange, "Opening of a held contact is 6 mm"),
    ],
)
def test_an_aim_that_cannot_be_is_refused(given, error, text):
    with pytest.raises(error, match=text):
        checked(Wanted(**given))


def test_by_default_neither_pin_nor_re_setting_is_used():
    aim = checked(Wanted())

    assert (aim.approved_raise_mm, aim.reset_max_mm, aim.clearance_mm) == (0.0, {}, 0.0)


def test_an_incline_is_given_once():
    with pytest.raises(BadRequest, match="16, buccal inner distal is given twice"):
        told_apart([place(), place()], Wanted())
    assert len(told_apart([place(), place("17"), place(incline="buccal inner")], Wanted())) == 3


def test_an_approved_raise_needs_the_ratio_of_every_place():
    with pytest.raises(BadRequest, match="pin_ratio of 16, buccal inner distal is missing"):
        told_apart([place()], Wanted(approved_raise_mm=1.0))
    assert told_apart([place(pin_ratio=0.5)], Wanted(approved_raise_mm=1.0))


def test_a_natural_tooth_cannot_be_what_yields():
    with pytest.raises(BadRequest, match="No reduction is proposed for it"):
        place("37", chosen=DentureTooth("37", "natural"))
