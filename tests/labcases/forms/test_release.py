"""Release and delivery, as typed."""

import pytest

from labcases.enums import Stage
from labcases.forms.release import LookForm, ReleaseForm
from labcases.models import Release
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def case():
    return world().case_at(Stage.DRAFT)


def test_minutes_are_read_as_whole_numbers(case):
    form = ReleaseForm({"label_minutes": "10", "actual_minutes": "12"}, instance=Release(case=case))
    assert form.is_valid(), form.errors
    assert form.values()["actual_minutes"] == 12


def test_readings_of_the_pin_belong_to_the_remount(case):
    assert not {"rise_limit_mm", "pin_rise_mm"} & set(
        ReleaseForm(instance=Release(case=case)).fields
    )


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("label_minutes", "ten", "Minutes on the label: enter whole minutes, for example 10."),
        ("actual_minutes", "1441", "Minutes given: enter 0 to 1440 minutes."),
    ],
)
def test_what_cannot_be_is_refused_in_words(case, name, typed, sentence):
    form = ReleaseForm({name: typed}, instance=Release(case=case))
    form.is_valid()
    assert form.errors == {name: [sentence]}


def test_a_second_look_carries_the_version():
    assert not LookForm({"version": ""}).is_valid()
    assert LookForm({"version": "2"}).is_valid()
