"""Values that may come in, and the sentences for those that may not."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from labcases import validators
from occlusion.ranges import LIMITS


def refusal(check, value) -> str:
    with pytest.raises(ValidationError) as found:
        check(value)
    return str(found.value.messages[0])


@pytest.mark.parametrize("code", ["7Q2K9A3BC4DH", "023456789AB7"])
def test_a_case_code_with_its_right_check_character_is_taken(code):
    assert validators.validate_case_code(code) is None


@pytest.mark.parametrize("code", ["7Q2K9A3BC4DJ", "7Q2K9A3BC4D", "", "OIL000000000"])
def test_any_other_case_code_is_refused(code):
    assert "is not a case code. Enter the 12 characters" in refusal(
        validators.validate_case_code, code
    )


@pytest.mark.parametrize("code", ["H-114", "2026/17", "P.100"])
def test_a_patient_code_is_letters_digits_and_strokes(code):
    assert validators.validate_patient_code(code) is None


@pytest.mark.parametrize("code", ["Anna Berg", "x", "-12", "a" * 31, "Ann\nBerg"])
def test_a_patient_code_that_could_be_a_name_is_refused(code):
    assert "Enter the code that your office uses, not a name." in refusal(
        validators.validate_patient_code, code
    )


@pytest.mark.parametrize("tooth", ["11", "18", "28", "31", "48"])
def test_permanent_teeth_are_taken_by_their_number(tooth):
    assert validators.validate_tooth(tooth) is None


@pytest.mark.parametrize("tooth", ["1", "19", "55", "8", "A", ""])
def test_other_numbers_are_refused_with_those_that_exist(tooth):
    assert "Enter 11 to 18, 21 to 28, 31 to 38 or 41 to 48." in refusal(
        validators.validate_tooth, tooth
    )


def test_a_list_of_teeth_is_a_list():
    assert validators.validate_tooth_list(["11", "48"]) is None
    assert "as a list" in refusal(validators.validate_tooth_list, "11")


def test_a_chart_holds_known_marks_of_one_arch():
    assert validators.validate_teeth({"16": "lost", "21": "stays"}) is None
    assert validators.validate_opposing_teeth({"46": "natural"}) is None
    assert "Tooth 16 is marked natural." in refusal(validators.validate_teeth, {"16": "natural"})
    assert "one arch" in refusal(validators.validate_teeth, {"16": "lost", "46": "lost"})
    assert "one entry for each" in refusal(validators.validate_teeth, ["16"])


def test_a_point_has_a_name_and_three_coordinates():
    assert validators.validate_points({"A": [80.0, 0, -32.5]}) is None
    assert "under its name" in refusal(validators.validate_points, [[80, 0, -32]])


@pytest.mark.parametrize("point", [[80.0, 0.0], [80.0, 0.0, 300.0], ["80", 0.0, 0.0], 80.0])
def test_a_point_that_is_none_is_refused_with_what_is_wanted(point):
    assert refusal(validators.validate_points, {"A": point}) == (
        "Point A has no three coordinates. Enter three numbers from -250 to 250 mm."
    )


@pytest.mark.parametrize("name", sorted(LIMITS))
def test_every_limit_of_the_engine_refuses_just_outside_and_takes_its_ends(name):
    limit = LIMITS[name]
    low, high = (Decimal(str(end)) for end in limit.hard)
    lowest, highest = validators.within(name)

    for end in (low, high):
        lowest(end)
        highest(end)
    assert "Enter " in refusal(lowest, low - 1)
    assert refusal(highest, high + 1).endswith(f"{limit.advice}.")


def test_a_label_with_a_comma_is_closed_before_the_verb():
    lowest, _highest = validators.from_to(
        Decimal("0"), Decimal("75.0"), label="inclination, right condyle", unit="deg"
    )

    assert refusal(lowest, Decimal("-1")) == (
        "Inclination, right condyle, is -1 deg. Enter 0 to 75 deg."
    )
