"""The handoff, as typed."""

from labcases.forms.processing import HandoffForm


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
