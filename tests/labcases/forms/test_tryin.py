"""An approval needs every line and its numbers; what is made again needs a line that says so."""

from decimal import Decimal

import pytest

from labcases.enums import Stage
from labcases.forms.tryin import TryInForm
from labcases.models import TryIn
from labcases.reference.checklists import lines_of, mouth_pauses
from tests.factories import world

pytestmark = pytest.mark.django_db

UPPER_LINES = lines_of(mouth_pauses("upper"))
NUMBERS = {
    "vertical_rest_mm": "71",
    "vertical_mm": "68",
    "speaking_mm": "1,5",
    **{f"closing_{number}": "same" for number in (1, 2, 3)},
    "display_rest_mm": "2.5",
    "display_smile_mm": "8",
    "midline_mm": "-0.5",
    "length_change_mm": "0",
    "lip_contact": "meets",
    "patient_saw": "photographs",
    "patient_word": "as shown",
    "patient_asked_by": "the dentist",
}


@pytest.fixture
def row():
    return TryIn(case=world().case_at(Stage.DRAFT), revision=1)


def all_ok(**but):
    return {f"answer_{line.key}": "ok" for line in UPPER_LINES} | {
        f"answer_{key}": answer for key, answer in but.items()
    }


def asked(row, **typed):
    return TryInForm({**NUMBERS, **typed}, instance=row)


def errors(row, **typed):
    form = asked(row, **typed)
    form.is_valid()
    return dict(form.errors)


def test_an_approval_is_taken_with_every_line_ok_and_its_numbers(row):
    form = asked(row, outcome="approved", vertical_mm="68,5", **all_ok())
    assert form.is_valid(), form.errors
    values = form.values()
    assert values["vertical_mm"] == Decimal("68.5")
    assert values["answers"] == {line.key: "ok" for line in UPPER_LINES}
    assert values["centric"] == [["same", ""]] * 3
    assert (values["patient_word"], values["midline_mm"]) == ("as shown", Decimal("-0.5"))


def test_the_outcome_is_asked_for(row):
    assert errors(row, **all_ok()) == {"outcome": ["Choose the outcome of the try-in."]}


def test_an_approval_names_every_line_that_is_not_answered(row):
    assert errors(row, outcome="approved", **all_ok(stable="", plane="")) == {
        "answer_stable": ["Answer: The base is stable and does not rock."],
        "answer_plane": ["Answer: The plane is parallel to the ala-tragus line."],
    }


def test_of_many_open_lines_the_first_is_named_with_their_number(row):
    assert errors(row, outcome="approved", answer_stable="ok") == {
        "answer_borders": [
            "17 lines are not answered, this one first: The borders reach as far as planned and no "
            "further. An approval needs every line; a new record does not."
        ]
    }


def test_an_approval_needs_the_measured_vertical(row):
    assert errors(row, outcome="approved", vertical_mm="", **all_ok()) == {
        "vertical_mm": ["Enter the vertical that you measured."]
    }


@pytest.mark.parametrize(
    ("box", "typed", "sentence"),
    [
        (
            "vertical_rest_mm",
            "",
            "Vertical at rest is empty, and the line is answered OK. Enter it, or answer "
            "otherwise.",
        ),
        (
            "midline_mm",
            "",
            "Midline offset is empty, and the line is answered OK. Enter it, or answer otherwise.",
        ),
        (
            "patient_word",
            "",
            "The patient's word is empty, and the line is answered OK. Enter it, or answer "
            "otherwise.",
        ),
        ("closing_3", "", "Close three times and note each; 2 of 3 are noted."),
    ],
)
def test_a_line_that_rests_on_a_number_is_not_ok_without_it(row, box, typed, sentence):
    found = errors(row, outcome="approved", **all_ok(), **{box: typed})
    assert (found.get(box) or found.get("closing_1")) == [sentence]


@pytest.mark.parametrize(
    ("typed", "box", "said"),
    [
        ({"vertical_rest_mm": "69"}, "words_vertical", "Freeway space 1 mm. Less than 2 mm"),
        ({"vertical_rest_mm": "72.5"}, "words_vertical", "Freeway space 4.5 mm. More than 4 mm"),
        ({"vertical_rest_mm": "75"}, "words_vertical", "Freeway space 7 mm. 7 mm or more"),
        ({"speaking_mm": "3.6"}, "words_speaking", "Closest speaking space 3.6 mm, more than"),
        (
            {"closing_2": "forward", "closing_2_mm": "0.4"},
            "words_centric_mouth",
            "same, 0.4\N{NO-BREAK SPACE}mm forward of it, same: off by more than",
        ),
    ],
)
def test_a_number_outside_of_what_is_accepted_asks_for_words_before_an_approval(
    row, typed, box, said
):
    found = errors(row, outcome="approved", **all_ok(), **typed)
    assert list(found) == [box]
    assert found[box][0].startswith(said)
    assert found[box][0].endswith("Say in words why it is approved, or answer redo.")
    assert errors(row, outcome="approved", **all_ok(), **typed, **{box: "read twice"}) == {}


@pytest.mark.parametrize(
    "typed",
    [
        {"vertical_rest_mm": "70"},
        {"vertical_rest_mm": "72"},
        {"speaking_mm": "0.2"},
        {"speaking_mm": "3.5"},
        {"closing_1": "left", "closing_1_mm": "0.3"},
    ],
)
def test_what_lies_at_the_edge_is_accepted_without_words(row, typed):
    assert errors(row, outcome="approved", **all_ok(), **typed) == {}


def test_a_closing_is_noted_whole_or_not_at_all(row):
    found = errors(row, outcome="new record", closing_1="right", closing_2="", closing_2_mm="0.5")
    assert found == {
        "closing_1_mm": ["Closing 1: enter how far it is off, in mm."],
        "closing_2_mm": ["Closing 2: say where it is off, or empty the mm."],
    }


@pytest.mark.parametrize("outcome", ["approved", "approved with changes"])
def test_what_is_to_be_done_again_is_no_approval(row, outcome):
    found = errors(row, outcome=outcome, changes="x", **all_ok(stable="redo"))
    assert found["answer_stable"] == [
        "To be done again: The base is stable and does not rock. That is no approval; choose not "
        "approved or a new record, or change the answer."
    ]


def test_a_change_makes_it_approved_with_changes(row):
    found = errors(row, outcome="approved", words_width="26 in", **all_ok(width="change"))
    assert found == {"outcome": ["A line is answered with change. Choose approved with changes."]}


def test_changes_are_said_in_words_at_their_line(row):
    typed = {"outcome": "approved with changes", **all_ok(width="change")}
    assert errors(row, **typed) == {
        "words_width": ["Say what changes: Arch width leaves room for cheeks and tongue."]
    }
    form = asked(row, **typed, words_width="26 in by 1 mm")
    assert form.is_valid(), form.errors
    assert form.values()["words"] == {"width": "26 in by 1 mm"}


def test_an_approval_with_changes_says_some(row):
    assert errors(row, outcome="approved with changes", **all_ok()) == {
        "changes": ["Write what changes."]
    }
    assert errors(row, outcome="approved with changes", changes="24 longer", **all_ok()) == {}


def test_what_the_patient_wants_changed_is_listed(row):
    assert errors(row, outcome="approved", patient_word="as listed", **all_ok()) == {
        "patient_list": ["List what the patient wants changed."]
    }


def test_a_new_record_may_be_asked_for_at_any_line(row):
    form = asked(row, outcome="new record", answer_centric_mouth="redo")
    assert form.is_valid(), form.errors
    assert form.values()["answers"] == {"centric_mouth": "redo"}


def test_what_is_made_again_is_marked_at_a_line(row):
    assert errors(row, outcome="redo", answer_plane="redo") == {}
    assert errors(row, outcome="redo", answer_display="redo") == {
        "outcome": [
            "No line says what is made again. Answer a line with redo, choose a new record, or "
            "approve."
        ]
    }


def test_a_line_that_needs_a_new_record_makes_it_one(row):
    assert errors(row, outcome="redo", answer_plane="redo", answer_vertical="redo") == {
        "outcome": ["A line marked redo needs a new jaw record. Choose new record, mount again."]
    }


@pytest.mark.parametrize("typed", ["19", "121"])
def test_a_vertical_that_no_face_has_is_refused(row, typed):
    assert errors(row, outcome="approved", vertical_mm=typed, **all_ok())["vertical_mm"] == [
        f"Vertical between the two marks is {typed} mm. Enter 20 to 120 mm."
    ]


def test_stored_answers_are_filled_in_and_kept_when_chosen_after_a_conflict(row):
    row.answers, row.centric = {"stable": "redo"}, [["right", "0.5"]]
    form = TryInForm(instance=row)
    assert form.initial["answer_stable"] == "redo"
    assert (form.initial["closing_1"], form.initial["closing_1_mm"]) == ("right", Decimal("0.5"))
    form = asked(
        row,
        outcome="new record",
        answer_stable="ok",
        **{"keep-answers": "stored", "keep-centric": "stored"},
    )
    assert form.is_valid(), form.errors
    assert form.values()["answers"] == {"stable": "redo"}
    assert form.values()["centric"] == [["right", "0.5"]]


def test_numbers_of_the_own_teeth_are_not_asked_twice(row):
    row.case.prescriptions.update(incisal_display_mm="2.5", midline_offset_mm="-1")
    row.case = type(row.case).objects.get(pk=row.case.pk)
    form = TryInForm(instance=row)
    assert form.initial["display_rest_mm"] == Decimal("2.5")
    assert form.initial["midline_mm"] == Decimal("-1")


def test_each_line_has_its_box_and_its_numbers(row):
    pauses = TryInForm(instance=row).pauses
    assert [len(pause.lines) for pause in pauses] == [6, 6, 6]
    assert pauses[0].title == "In the mouth: base, jaw relation and height"
    vertical = pauses[0].lines[5]
    assert [box.name for box in vertical.numbers] == ["vertical_rest_mm", "vertical_mm"]
    assert vertical.redo == "A new jaw record is taken, and the casts are mounted by it"
