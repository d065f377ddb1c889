"""What may be told of a tooth and of the curve, and what is refused in words."""

import pytest

from occlusion.errors import BadRequest, NotANumber, OutOfRange, SidesLookSwapped
from occlusion.surfaces.calliper import CalliperTooth, CompensatingCurve


def tooth(number="16", material="denture", **measures):
    return CalliperTooth(tooth=number, material=material, **measures)


def test_measures_are_kept_as_plain_numbers():
    given = tooth(md_mm=10, tilt_deg=-3, centre_mm=[50, -25])

    assert (given.md_mm, given.tilt_deg, given.centre_mm) == (10.0, -3.0, (50.0, -25.0))
    assert given.member == "upper"


def test_what_is_not_given_is_named_as_a_default():
    assert tooth(md_mm=10.0, tilt_deg=0.0).defaults == {
        *("bl_mm", "tip_separation_mm", "cusp_angle_deg", "tip_height_mm"),
        *("outer_incline_deg", "mesial_slope_deg", "distal_slope_deg", "tip_roundness_mm"),
    }


@pytest.mark.parametrize(
    ("measures", "error", "sentence"),
    [
        ({"number": "19"}, BadRequest, "not an ISO 3950 number"),
        ({"material": "porcelain"}, BadRequest, "Tooth 16 is the text 'porcelain'. Choose one of"),
        ({"md_mm": 2.0}, OutOfRange, "Mesiodistal width of tooth 16 is 2 mm. Enter 3 to 15 mm"),
        ({"bl_mm": float("nan")}, NotANumber, "Buccolingual width of tooth 16 is not a finite"),
        ({"md_mm": "10"}, NotANumber, "is the text '10', not a number"),
        ({"cusp_angle_deg": 61.0}, OutOfRange, "Cusp angle of tooth 16 is 61 deg. Enter 0 to 60"),
        ({"tilt_deg": 31.0}, OutOfRange, "Tilt of tooth 16 is 31 deg. Enter -30 to 30 deg"),
        ({"tip_height_mm": -9.0}, OutOfRange, "is -9 mm. Enter -8 to 8 mm"),
        ({"outer_incline_deg": 71.0}, OutOfRange, "Outer incline of tooth 16 is 71 deg"),
        ({"mesial_slope_deg": -1.0}, OutOfRange, "Mesial slope of tooth 16 is -1 deg"),
        ({"tip_roundness_mm": 0.0}, OutOfRange, "Roundness of the tip of tooth 16 is 0 mm"),
        ({"tip_separation_mm": 11.0}, OutOfRange, "stand 11 mm apart, but the crown is 11 mm wide"),
        ({"tip_separation_mm": 6.0, "bl_mm": 5.5}, OutOfRange, "but the crown is 5.5 mm wide"),
        ({"number": "11", "tip_separation_mm": 3.0}, BadRequest, "front tooth and has one edge"),
        ({"centre_mm": (50.0, 25.0)}, SidesLookSwapped, "Tooth 16 is on the right"),
        ({"centre_mm": (50.0,)}, NotANumber, "Centre of tooth 16 is not a list of three numbers"),
        ({"centre_mm": "xy"}, NotANumber, "Centre of tooth 16 is not a list of three numbers"),
        ({"centre_mm": (50.0, None)}, NotANumber, "Y of centre|y of centre"),
    ],
)
def test_what_no_tooth_can_be_is_refused(measures, error, sentence):
    with pytest.raises(error, match=sentence):
        tooth(**measures)


def test_a_front_tooth_may_have_a_facet_that_is_no_cusp():
    assert tooth("11", cusp_angle_deg=70.0).cusp_angle_deg == 70.0


def test_unusual_measures_warn_with_the_tooth():
    texts = [w.text for w in tooth(tip_height_mm=3.0, cusp_angle_deg=45.0, md_mm=10.0).warnings()]

    assert texts == [
        "Cusp angle, tooth 16, is 45 deg; usual is 0 to 40 deg. Confirm it with the record.",
        "Height of the tips over the curve, tooth 16, is 3 mm; usual is -2 to 2 mm. Confirm it "
        "with the record.",
    ]
    assert tooth("11", cusp_angle_deg=45.0).warnings() == []


@pytest.mark.parametrize("radius", [60.0, 101.6, 150.0])
def test_usual_curves_pass_without_a_word(radius):
    assert CompensatingCurve(radius_mm=radius).warnings() == []


@pytest.mark.parametrize("radius", [59.0, 151.0, 271.0])
def test_other_curves_are_called_unusual(radius):
    (warning,) = CompensatingCurve(radius_mm=radius).warnings()

    assert warning.code == "curve_radius_unusual"
    assert f"curve of {radius:g} mm is not a usual curve; usual is 60 to 150 mm" in warning.text


@pytest.mark.parametrize(
    ("measures", "error", "sentence"),
    [
        ({"radius_mm": 44.0}, OutOfRange, "Radius of the compensating curve is 44 mm"),
        ({"lowest_mm": (50.0,)}, NotANumber, "not a list of two numbers. Enter x and z"),
        ({"lowest_mm": 50.0}, NotANumber, "not a list of two numbers"),
        ({"lowest_mm": (50.0, "low")}, NotANumber, "lowest point of the curve is the text"),
    ],
)
def test_what_no_curve_can_be_is_refused(measures, error, sentence):
    with pytest.raises(error, match=sentence):
        CompensatingCurve(**measures)
