"""The mounting form names every reading and shows its fields under three heads."""

import pytest
from django.http import QueryDict

from labcases.forms.mounting import MountingForm
from labcases.models import Mounting

# Checking a row asks the database about its limits.
pytestmark = pytest.mark.django_db


def form(query: str) -> MountingForm:
    return MountingForm(QueryDict(query), instance=Mounting())


def test_every_field_stands_under_one_head():
    grouped = [field.name for _title, fields in MountingForm().grouped() for field in fields]

    assert sorted(grouped) == sorted(MountingForm.Meta.fields)
    assert len(set(grouped)) == len(grouped)


def test_an_empty_mounting_is_no_error():
    assert form("version=0").is_valid()


@pytest.mark.parametrize(
    ("query", "field", "sentence"),
    [
        ("foil_points=40", "foil_points", "Points that hold foil: enter 0 to 32."),
        ("foil_points=2.5", "foil_points", "enter a whole number, for example 3."),
        ("agreement_mm=6", "agreement_mm", "is 6 mm. Enter 0 to 5 mm."),
        ("pin_zero_mm=-11", "pin_zero_mm", "is -11 mm. Enter -10 to 30 mm."),
        ("transfer=guess", "transfer", "guess"),
    ],
)
def test_impossible_readings_are_refused_in_words(query, field, sentence):
    assert sentence in form(query).errors[field][0]
