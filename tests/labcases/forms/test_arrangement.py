"""What a line of a tooth that is set otherwise cleans to."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.enums import Stage
from labcases.forms.arrangement import ArrangementForm
from tests.factories import world

D = Decimal


@pytest.mark.django_db
def test_the_front_teeth_of_the_denture_are_offered_in_the_readers_numbers_and_nothing_else():
    case = world().case_at(Stage.DRAFT)
    form = ArrangementForm(
        {"tooth": "11", "deviation": "turned", "amount_deg": "10,5", "wanted_by": "prescription"},
        case=case,
        notation="Universal",
    )
    assert [key for key, _ in form.fields["tooth"].choices] == [
        *("", "13", "12", "11", "21", "22", "23")
    ]
    assert ("11", "8, upper right central incisor") in form.fields["tooth"].choices
    assert form.is_valid(), form.errors
    assert form.values() == {
        "tooth": "11",
        "deviation": "turned",
        "amount_mm": None,
        "amount_deg": D("10.5"),
        "words": "",
        "wanted_by": "prescription",
    }


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("box", "typed", "sentence"),
    [
        ("amount_mm", "10.1", "By how much, if moved, is 10.1 mm. Enter 0.1 to 10 mm."),
        ("amount_mm", "0.05", "By how much, if moved, is 0.05 mm. Enter 0.1 to 10 mm."),
        ("amount_mm", "10", ""),
        ("amount_mm", "0.1", ""),
    ],
)
def test_limits_are_told_with_what_was_given(box, typed, sentence):
    case = world().case_at(Stage.DRAFT)
    form = ArrangementForm(
        {"tooth": "11", "deviation": "longer", box: typed, "wanted_by": "technician"}, case=case
    )
    form.is_valid()
    assert form.errors.get(box, []) == ([sentence] if sentence else [])
