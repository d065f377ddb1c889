"""Three closings as boxes."""

from decimal import Decimal

import pytest
from django import forms

from labcases.forms.tryin_numbers import add_closings, closings


def form_of(data=None, stored=()):
    form = forms.Form(data)
    add_closings(form, stored)
    return form


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ({}, []),
        ({"closing_1": "same", "closing_2": "same"}, [["same", ""], ["same", ""]]),
        ({"closing_3": "back", "closing_3_mm": "0,5"}, [["back", "0.5"]]),
    ],
)
def test_closings_are_kept_as_they_were_made(typed, kept):
    form = form_of(typed)
    assert form.is_valid(), form.errors
    assert closings(form, form.cleaned_data) == kept


def test_what_is_stored_stands_in_the_boxes():
    form = form_of(stored=[["same", ""], ["left", "0.25"]])
    assert form["closing_1"].value() == "same"
    assert form.initial["closing_2_mm"] == Decimal("0.25")


def test_a_closing_that_is_further_off_than_a_jaw_closes_is_refused():
    form = form_of({"closing_1": "back", "closing_1_mm": "11"})
    assert form.errors["closing_1_mm"] == ["Closing 1 off by is 11 mm. Enter 0.05 to 10 mm."]
