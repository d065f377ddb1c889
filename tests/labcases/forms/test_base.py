"""What forms over versioned rows share: the version, the units, and a choice after a conflict."""

from decimal import Decimal

import pytest
from django.http import QueryDict

from labcases.forms.base import PartForm
from labcases.forms.fields import MeasureField
from labcases.models import Mounting

# Checking a row asks the database about its limits.
pytestmark = pytest.mark.django_db


class PinForm(PartForm):
    bounds = {"pin_zero_mm": ("-10", "30")}

    class Meta:
        model = Mounting
        fields = ("pin_zero_mm", "cast_note")


def stored(**values) -> Mounting:
    return Mounting(pk=7, version=3, **values)


def test_a_new_row_starts_at_version_nought_and_a_stored_one_at_its_own():
    assert PinForm(instance=Mounting())["version"].value() == 0
    assert PinForm(instance=stored())["version"].value() == 3


def test_a_column_of_millimetres_becomes_a_measured_number_with_its_unit():
    field = PinForm().fields["pin_zero_mm"]

    assert isinstance(field, MeasureField)
    assert field.widget.attrs["data-unit"] == "mm"
    assert field.label == "Pin zero"


def test_values_are_the_rows_own_fields_and_the_version_stands_apart():
    form = PinForm(QueryDict("version=3&pin_zero_mm=0,5&cast_note=chip"), instance=stored())

    assert form.is_valid()
    assert form.values() == {"pin_zero_mm": Decimal("0.5"), "cast_note": "chip"}
    assert form.started_from == 3


def test_a_form_without_a_version_starts_from_nothing():
    form = PinForm(QueryDict("cast_note=chip"), instance=stored())

    assert form.is_valid()
    assert form.started_from == 0


def test_the_next_try_starts_from_the_stored_version_with_the_typed_values():
    form = PinForm(QueryDict("version=1&cast_note=chip"), instance=stored())

    form.show_stored(3)

    assert form["version"].value() == "3"
    assert form["cast_note"].value() == "chip"


def test_the_stored_value_is_taken_where_the_person_chose_it():
    form = PinForm(
        QueryDict("version=3&pin_zero_mm=99&cast_note=chip&keep-pin_zero_mm=stored"),
        instance=stored(pin_zero_mm=Decimal("1.5")),
    )

    assert form.is_valid()
    assert form.values() == {"pin_zero_mm": Decimal("1.5"), "cast_note": "chip"}
