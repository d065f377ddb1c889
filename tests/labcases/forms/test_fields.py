"""Measured numbers: typed with comma or point, shown short, refused with their limits."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from labcases.forms.fields import MeasureField, unit_of


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("30,5", "30.5"),
        ("30.5", "30.5"),
        (" 1.5 mm ", "1.5"),
        ("1,5mm", "1.5"),
        ("-2", "-2"),
        ("0", "0"),
    ],
)
def test_a_number_is_read_as_people_write_it(typed, value):
    assert MeasureField(unit="mm").clean(typed) == Decimal(value)


@pytest.mark.parametrize("typed", ["30°", "30 deg", "30"])
def test_degrees_may_be_pasted_with_their_sign_or_word(typed):
    assert MeasureField(unit="°").clean(typed) == 30


@pytest.mark.parametrize("typed", ["two", "1.2.3", "nan", "sNaN", "inf", "1 2"])
def test_what_is_no_number_is_refused_with_an_example(typed):
    with pytest.raises(ValidationError, match=r"Enter a number, for example 1\.5 or 1,5\."):
        MeasureField(unit="mm").clean(typed)


@pytest.mark.parametrize("typed", ["sNaN", "nan", "two"])
def test_what_is_no_number_is_still_told_from_what_stood_before(typed):
    assert MeasureField(unit="mm").has_changed(Decimal("1.5"), typed)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("two", "Overjet: enter a number, for example 1.5 or 1,5."),
        ("1.234", "Overjet: enter at most 2 decimals."),
        ("123.4", "Overjet: enter at most 2 digits before the point."),
        ("12345", "Overjet: enter at most 4 digits."),
    ],
)
def test_a_refusal_names_its_field(typed, words):
    with pytest.raises(ValidationError) as refusal:
        MeasureField(unit="mm", label="Overjet", max_digits=4, decimal_places=2).clean(typed)

    assert words in refusal.value.messages


def test_an_empty_box_that_is_needed_is_named():
    with pytest.raises(ValidationError, match="Pin opening now: enter a number"):
        MeasureField(unit="mm", label="Pin opening now").clean("")


def test_the_limits_of_the_engine_are_refused_with_label_limits_and_advice():
    field = MeasureField(
        unit="°", limit="condylar_inclination_deg", label="Condylar inclination, right condyle"
    )

    with pytest.raises(ValidationError) as refusal:
        field.clean("94")

    assert refusal.value.messages == [
        "Condylar inclination, right condyle, is 94 deg. Enter 0 to 75 deg, read against the "
        "plane named in the record."
    ]
    assert field.clean("75") == 75


def test_bounds_of_a_number_that_the_engine_does_not_know_are_refused_alike():
    field = MeasureField(unit="mm", bounds=("-10", "30"), label="Pin zero")

    with pytest.raises(ValidationError) as refusal:
        field.clean("30,5")

    assert refusal.value.messages == ["Pin zero is 30.5 mm. Enter -10 to 30 mm."]
    assert field.clean("-10") == -10


@pytest.mark.parametrize(
    ("value", "shown"),
    [("0.50", "0.5"), ("5.00", "5"), ("100", "100"), ("0.00", "0"), ("-3.20", "-3.2")],
)
def test_a_stored_number_is_shown_without_trailing_zeros(value, shown):
    assert MeasureField(unit="mm").prepare_value(Decimal(value)) == shown


def test_what_was_typed_stays_as_it_was_typed():
    assert MeasureField(unit="mm").prepare_value("1,50 mm") == "1,50 mm"


@pytest.mark.parametrize(
    ("name", "unit"),
    [("overjet_mm", "mm"), ("wing_right_deg", "°"), ("label_minutes", "min"), ("shade", "")],
)
def test_the_unit_is_the_end_of_the_name(name, unit):
    assert unit_of(name) == unit
