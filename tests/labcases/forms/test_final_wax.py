"""The final wax and its checklists, as typed."""

from decimal import Decimal

import pytest

from labcases.enums import Stage
from labcases.enums.wax import WaxList
from labcases.forms.final_wax import LIST_FORMS, ApproveForm, FinalWaxForm
from labcases.models import FinalWax
from tests.factories import world


@pytest.fixture
def wax(db):
    return FinalWax(case=world().case_at(Stage.DRAFT))


def errors(wax, **typed):
    form = FinalWaxForm(typed, instance=wax)
    form.is_valid()
    return dict(form.errors)


def test_a_wax_may_be_saved_while_decisions_are_open(wax):
    form = FinalWaxForm({"overjet_mm": "2,25"}, instance=wax)
    assert form.is_valid(), form.errors
    values = form.values()
    assert values["overjet_mm"] == Decimal("2.25")
    assert values["template_wanted"] is None
    assert values["bone_change_planned"] is None
    assert values["duplicate_made"] is False
    assert (values["flange_kind"], values["as_prescribed"]) == ("", {})


def test_nobody_approves_by_saving(wax):
    assert not {name for name in FinalWaxForm(instance=wax).fields if "approved" in name}


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("overjet_mm", "-11", "Overjet in wax is -11 mm. Enter -10 to 15 mm."),
        ("midline_offset_mm", "12", "Midline offset in wax is 12 mm. Enter -10 to 10 mm."),
        ("flange_front_mm", "11", "Thick at the midline is 11 mm. Enter 0 to 10 mm."),
        (
            "central_length_mm",
            "4",
            "Length of the central incisor in wax is 4 mm. Enter 5 to 20 mm.",
        ),
    ],
)
def test_a_measurement_that_cannot_be_is_refused(wax, name, typed, sentence):
    assert errors(wax, **{name: typed}) == {name: [sentence]}


def test_undercuts_that_something_is_done_about_are_named(wax):
    assert errors(wax, undercut_kind="relieved") == {
        "undercut_decision": ["Say where the undercuts are, and how much is done."]
    }
    assert errors(wax, undercut_kind="none") == {}
    assert errors(wax, undercut_kind="passed", undercut_decision="13, 1 mm") == {}


def test_words_are_kept_by_the_measurement_that_they_explain(wax):
    form = FinalWaxForm({"words_overjet_mm": "3 mm wanted"}, instance=wax)
    assert form.is_valid(), form.errors
    assert form.values()["as_prescribed"] == {"overjet_mm": "3 mm wanted"}


def test_stored_words_are_shown_and_kept_when_chosen_after_a_conflict(wax):
    wax.as_prescribed = {"overjet_mm": "theirs"}
    assert FinalWaxForm(instance=wax).initial["words_overjet_mm"] == "theirs"
    form = FinalWaxForm({"words_overjet_mm": "mine", "keep-as_prescribed": "stored"}, instance=wax)
    assert form.is_valid(), form.errors
    assert form.values()["as_prescribed"] == {"overjet_mm": "theirs"}


def test_an_approval_carries_the_version_that_was_looked_at():
    assert not ApproveForm({}).is_valid()
    assert ApproveForm({"version": "3"}).is_valid()


class TestLists:
    def form(self, wax, which, **typed):
        form = LIST_FORMS[which](typed, instance=wax)
        form.is_valid()
        return form

    def test_a_list_may_be_saved_while_lines_are_open(self, wax):
        form = self.form(wax, WaxList.TEETH, answer_sealed="yes")
        assert form.errors == {}
        assert form.values() == {"answers": {"sealed": "yes"}, "words": {}}

    @pytest.mark.parametrize(
        ("answer", "sentence"),
        [
            ("no", "Say what is wrong: All teeth are sealed in wax."),
            ("not asked", "Say why it is not asked for here: All teeth are sealed in wax."),
        ],
    )
    def test_what_is_not_yes_is_said_in_words(self, wax, answer, sentence):
        form = self.form(wax, WaxList.TEETH, answer_sealed=answer)
        assert form.errors == {"words_sealed": [sentence]}
        form = self.form(wax, WaxList.TEETH, answer_sealed=answer, words_sealed="one side only")
        assert form.errors == {}

    def test_yes_needs_what_it_rests_on(self, wax):
        wax.case.prescriptions.update(midline_offset_mm="0")
        form = self.form(wax, WaxList.TEETH, answer_front_midline="yes")
        assert form.errors == {
            "answer_front_midline": [
                "Answered yes, and the midline offset in wax is not measured. Enter it, or answer "
                "no."
            ]
        }

    def test_each_list_asks_its_own_pauses_of_the_arch(self, wax):
        titles = {
            which: [pause.title for pause in form(instance=wax).pauses]
            for which, form in LIST_FORMS.items()
        }
        assert titles == {
            WaxList.TEETH: [
                "Front teeth against the record",
                "Contacts on the articulator",
                "Wax around the teeth",
            ],
            WaxList.BASE: ["Cast and path of insertion", "Shape of the base", "Before flasking"],
        }

    def test_stored_answers_of_this_list_are_kept_when_chosen_after_a_conflict(self, wax):
        wax.answers = {"sealed": "no", "palate": "yes"}
        form = self.form(wax, WaxList.TEETH, answer_sealed="yes", **{"keep-answers": "stored"})
        assert form.values()["answers"] == {"sealed": "no"}
