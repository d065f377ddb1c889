"""A pass as it is tapped: only teeth that are there, strength and cusps by choice."""

from decimal import Decimal

import pytest
from django.http import QueryDict

from labcases.domain.passes import Marked
from labcases.enums import Stage
from labcases.forms.passes import DoneForm, JudgeForm, PassForm, PinForm
from labcases.management.walk import natural
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def case():
    return world().case_at(Stage.DRAFT, opposing={**natural("lower"), "48": "natural"})


def tapped(case, query):
    return PassForm(QueryDict(query), case=case)


def test_teeth_stand_in_columns_from_the_viewers_left(case):
    form = PassForm(case=case)
    right, left = form.sides
    (_, upper), (_, lower) = right.rows
    assert form.columns == 8  # 48 is there
    assert [(tap.tooth, tap.place) for tap in lower][:2] == [("48", 1), ("47", 2)]
    assert [(tap.tooth, tap.place) for tap in upper][:2] == [("17", 2), ("16", 3)]
    assert [(tap.tooth, tap.place) for tap in left.rows[0][1]][-1] == ("27", 7)


def test_cusps_are_asked_of_posterior_teeth_only(case):
    right, _ = PassForm(case=case).sides
    asked = {tap.tooth: bool(tap.cusps) for tap in right.rows[0][1]}
    assert asked == {
        **dict.fromkeys(("17", "16", "15", "14"), True),
        **dict.fromkeys(("13", "12", "11"), False),
    }


def test_marks_are_what_was_tapped_with_what_was_said(case):
    form = tapped(
        case,
        "movement=centric&teeth=16&teeth=13&strength_16=firm&cusps_16=buccal"
        # 26 is not tapped, and a canine has no cusps to tell apart.
        "&strength_26=heavy&cusps_13=buccal",
    )
    assert form.is_valid(), form.errors
    assert form.marks() == [Marked("16", "firm", "buccal"), Marked("13")]


def test_an_empty_pass_asks_for_movement_and_teeth(case):
    form = tapped(case, "")
    assert not form.is_valid()
    assert {name: list(errors) for name, errors in form.errors.items()} == {
        "movement": ["Choose the movement of the pass."],
        "teeth": ['Tap the teeth that marked, or tick "No tooth marked".'],
    }


@pytest.mark.parametrize(("typed", "as_wanted"), [("yes", True), ("no", False)])
def test_a_verdict_is_one_of_two_words(typed, as_wanted):
    form = JudgeForm({"verdict": typed})
    assert form.is_valid()
    assert form.cleaned_data["verdict"] is as_wanted


@pytest.mark.parametrize(
    ("typed", "depth_mm"),
    [
        ({"depth_mm": "0,25"}, "0.25"),
        ({"depth_mm": "0.3", "quick": "0.1"}, "0.1"),
        ({"depth_mm": "much", "quick": "0.05"}, "0.05"),
    ],
)
def test_a_short_button_goes_before_what_stands_in_the_box(typed, depth_mm):
    form = DoneForm({"tooth": "16", **typed})
    assert form.is_valid(), form.errors
    assert form.cleaned_data["depth_mm"] == Decimal(depth_mm)


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        ({}, "depth_mm", "Enter how much was taken off, in mm."),
        ({"depth_mm": "0.01"}, "depth_mm", "Taken off is 0.01 mm. Enter 0.05 to 5 mm."),
        ({"depth_mm": "1", "tooth": "99"}, "tooth", "99 is no tooth. Open the pass again."),
    ],
)
def test_what_was_taken_off_is_a_number_and_a_tooth(typed, field, sentence):
    form = DoneForm({"tooth": "16", **typed})
    assert not form.is_valid()
    assert form.errors[field] == [sentence]


def test_a_pin_touches_or_is_lifted_by_a_number():
    touching, lifted = PinForm({"touches": "yes"}), PinForm({"lifted_mm": "0.3"})
    assert touching.is_valid()
    assert touching.cleaned_data["lifted_mm"] == Decimal("0")
    assert lifted.is_valid()
    assert lifted.cleaned_data["lifted_mm"] == Decimal("0.3")
    assert not PinForm({}).is_valid()
