"""Remount, release and delivery, as typed."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from labcases.enums import Stage
from labcases.forms.release import DeliveryForm, LookForm, ReleaseForm
from labcases.models import DeliveryReport, Release
from labcases.templatetags.units import long_date
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def case():
    return world().case_at(Stage.DRAFT)


def test_a_remount_is_read_with_comma_and_minutes(case):
    form = ReleaseForm(
        {"pin_rise_mm": "0,4", "label_minutes": "10", "actual_minutes": "12"},
        instance=Release(case=case),
    )
    assert form.is_valid(), form.errors
    assert form.values()["pin_rise_mm"] == Decimal("0.4")
    assert form.values()["actual_minutes"] == 12


def test_the_accepted_rise_is_not_for_the_bench_to_change(case):
    assert "rise_limit_mm" not in ReleaseForm(instance=Release(case=case)).fields


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("pin_rise_mm", "11", "Pin rise at the remount is 11 mm. Enter -2 to 10 mm."),
        ("label_minutes", "ten", "Minutes on the label: enter whole minutes, for example 10."),
    ],
)
def test_what_cannot_be_is_refused_in_words(case, name, typed, sentence):
    form = ReleaseForm({name: typed}, instance=Release(case=case))
    form.is_valid()
    assert form.errors == {name: [sentence]}


def test_a_second_look_carries_the_version():
    assert not LookForm({"version": ""}).is_valid()
    assert LookForm({"version": "2"}).is_valid()


def test_a_delivery_is_dated_in_words(case):
    form = DeliveryForm(
        {"delivered_on": "12-Mar-2024", "seats_without_force": "no"},
        instance=DeliveryReport(case=case),
    )
    assert form.is_valid(), form.errors
    assert form.values()["delivered_on"] == date(2024, 3, 12)
    assert form.values()["seats_without_force"] is False


def test_a_delivery_that_lies_ahead_is_refused(case):
    tomorrow = timezone.localdate() + timedelta(days=1)
    form = DeliveryForm({"delivered_on": long_date(tomorrow)}, instance=DeliveryReport(case=case))
    form.is_valid()
    assert form.errors["delivered_on"] == [
        "The day of delivery lies ahead. Enter it when the denture is in the mouth."
    ]
