"""What the forms of surgery and delivery take, and what they refuse in words."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from labcases.enums import Stage
from labcases.forms.delivery import ArrivalForm, DeliveryForm, SurgeryForm
from labcases.management import walk_delivery
from labcases.models import ArrivalCheck, Delivery, Surgery
from labcases.templatetags.units import long_date
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def case():
    return world().case_at(Stage.RECEIVED)


def planned(case):
    return SurgeryForm(instance=Surgery(case=case)).planned


class TestSurgery:
    def fill(self, case, **typed):
        teeth = {"teeth_out": " ".join(planned(case)), "held_on": "12-Mar-2024"}
        return SurgeryForm({**teeth, **typed}, instance=Surgery(case=case))

    def test_the_teeth_of_the_plan_stand_in_the_box(self, case):
        form = SurgeryForm(instance=Surgery(case=case))
        assert planned(case)
        assert form.initial["teeth_out"].split() == planned(case)

    def test_as_planned_it_asks_for_no_words(self, case):
        form = self.fill(case)
        assert form.is_valid(), form.errors
        assert form.values()["held_on"] == date(2024, 3, 12)
        assert sorted(form.values()["teeth_out"]) == planned(case)

    @pytest.mark.parametrize(
        ("typed", "field", "sentence"),
        [
            (
                {"teeth_out": ""},
                "why_otherwise",
                "These are not the teeth of the plan. Say why; the laboratory reads it.",
            ),
            (
                {"bone_changed": "yes"},
                "bone_words",
                "Say where bone was changed, and how much.",
            ),
            (
                {"held_on": "12-Mar-2099"},
                "held_on",
                "The day of the surgery lies ahead. Enter it when the denture is in the mouth.",
            ),
        ],
    )
    def test_what_lacks_words_is_refused(self, case, typed, field, sentence):
        assert self.fill(case, **typed).errors == {field: [sentence]}


class TestDelivery:
    def fill(self, case, **typed):
        return DeliveryForm({"delivered_on": "12-Mar-2024", **typed}, instance=Delivery(case=case))

    @pytest.fixture(autouse=True)
    def surgery_was_that_day(self, case):
        case.surgery_on = date(2024, 3, 12)

    def test_teeth_together_above_the_rest_are_asked_about_in_words(self, case):
        typed = {"vertical_rest_mm": "64", "vertical_mm": "70"}
        form = self.fill(case, **typed)
        assert list(form.errors) == ["vertical_mm"]
        (said,) = form.errors["vertical_mm"]
        assert said.replace("\N{NO-BREAK SPACE}", " ") == (
            "With the teeth together 70 mm is higher than 64 mm at rest, so no freeway space is "
            "left. Look whether the two readings stand in each other's box, and measure again. If "
            'the denture is too high, answer "The vertical was read" with no and say it in words.'
        )
        high = {"answer_dl_vertical": "no", "words_dl_vertical": "6 mm too high, remount"}
        assert self.fill(case, **typed, **high).is_valid()
        assert self.fill(case, vertical_rest_mm="67", vertical_mm="64").is_valid()

    def test_a_day_before_the_confirmed_surgery_is_asked_about_and_a_tick_lets_it_pass(self, case):
        case.surgery_on = date(2024, 3, 20)
        assert self.fill(case).is_valid()
        case.surgery_confirmed_at = timezone.now()
        form = self.fill(case)
        assert form.errors["delivered_on"] == [
            "Surgery is confirmed for 20-Mar-2024 and is not recorded yet; the delivery on "
            "12-Mar-2024 lies before it. If surgery was held sooner, record it on the page of the "
            "surgery first. Correct it, or tick below."
        ]
        assert [box.name for box in form.boxes_first] == ["delivered_on", "day_meant"]
        assert self.fill(case, day_meant="2024-03-12").is_valid()
        # A tick for one day says nothing of another.
        assert not self.fill(case, day_meant="2024-03-12", delivered_on="11-Mar-2024").is_valid()

    def test_a_liner_is_due_by_the_latest_usual_day_of_its_kind(self, case):
        form = self.fill(case, liner_kind="tissue conditioner", liner_lot="TC-7")
        assert form.is_valid(), form.errors
        told = form.values()
        assert told["liner_placed_on"] == date(2024, 3, 12)
        assert told["liner_until"] == date(2024, 3, 19)

    @pytest.mark.parametrize(
        ("typed", "field", "sentence"),
        [
            (
                {"liner_kind": "soft liner"},
                "liner_lot",
                "Enter the lot of what was placed, as its pack says it.",
            ),
            (
                {"liner_lot": "TC-7"},
                "liner_lot",
                "Say above what was placed, or empty this box.",
            ),
            (
                {"first_check_on": "11-Mar-2024"},
                "first_check_on",
                "The check lies before the delivery. Correct it.",
            ),
            (
                {"answer_dl_seats": "no"},
                "words_dl_seats",
                "Say what is wrong: The denture seats without force.",
            ),
        ],
    )
    def test_what_does_not_fit_is_refused(self, case, typed, field, sentence):
        assert self.fill(case, **typed).errors == {field: [sentence]}

    def test_a_natural_tooth_is_never_adjusted(self, case):
        (refusal,) = self.fill(case, adjusted="36").errors["adjusted"]
        assert refusal == (
            "36 is no denture tooth, and nothing else is ground. What was done to it stands in the "
            "records."
        )

    def test_it_does_not_lie_ahead_nor_before_the_surgery(self, case):
        ahead = long_date(timezone.localdate() + timedelta(days=1))
        assert self.fill(case, delivered_on=ahead).errors["delivered_on"] == [
            "The day of delivery lies ahead. Enter it when the denture is in the mouth."
        ]
        walk_delivery.operate(case, case.changed_by, timezone.localdate())
        case = type(case).objects.get(pk=case.pk)
        assert self.fill(case).errors["delivered_on"] == [
            "The delivery lies before the surgery. Correct it."
        ]


def test_nothing_is_entered_before_the_denture_left(case):
    type(case).objects.update(stage=Stage.RELEASED)
    case = type(case).objects.get()
    for form, row in (
        (ArrivalForm, ArrivalCheck),
        (SurgeryForm, Surgery),
        (DeliveryForm, Delivery),
    ):
        assert "The denture has not left the laboratory yet. Enter this when it is here." in (
            form({}, instance=row(case=case)).non_field_errors()
        )
