"""The final wax and the handoff, as typed."""

from decimal import Decimal

import pytest

from labcases.enums import Stage
from labcases.forms.processing import ApproveForm, FinalWaxForm, HandoffForm
from labcases.models import FinalWax
from tests.factories import world


@pytest.fixture
def wax(db):
    return FinalWax(case=world().case_at(Stage.DRAFT))


def test_a_wax_may_be_saved_while_decisions_are_open(wax):
    form = FinalWaxForm({"overjet_mm": "2,25"}, instance=wax)
    assert form.is_valid(), form.errors
    values = form.values()
    assert values["overjet_mm"] == Decimal("2.25")
    assert values["template_wanted"] is None
    assert values["bone_change_planned"] is None
    assert values["duplicate_made"] is False


def test_nobody_approves_by_saving(wax):
    assert not {name for name in FinalWaxForm(instance=wax).fields if "approved" in name}


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("trim_labial_mm", "11", "Deepest labial trim is 11 mm. Enter 0 to 10 mm."),
        ("overjet_mm", "-11", "Overjet in wax is -11 mm. Enter -10 to 15 mm."),
        ("midline_offset_mm", "12", "Midline offset in wax is 12 mm. Enter -10 to 10 mm."),
    ],
)
def test_a_measurement_that_cannot_be_is_refused(wax, name, typed, sentence):
    form = FinalWaxForm({name: typed}, instance=wax)
    form.is_valid()
    assert form.errors == {name: [sentence]}


def test_an_approval_carries_the_version_that_was_looked_at():
    assert not ApproveForm({}).is_valid()
    assert ApproveForm({"version": "3"}).is_valid()


def test_a_handoff_needs_material_and_product():
    form = HandoffForm({})
    form.is_valid()
    assert form.errors == {
        "base_material": ["Choose the base material."],
        "base_product": ["Enter the product of the base."],
    }


def test_only_who_may_pass_is_asked_for_a_reason():
    filled = {
        "base_material": "heat-cured resin",
        "base_product": "resin",
        "reason": "seen at the chair",
    }
    without, with_it = HandoffForm(filled), HandoffForm(filled, may_pass=True)
    assert without.is_valid()
    assert with_it.is_valid()
    assert (without.passing_reason, with_it.passing_reason) == ("", "seen at the chair")
    assert "reason" not in with_it.values()
