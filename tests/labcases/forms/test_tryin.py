"""An approval needs every line; a new record may be asked for at any of them."""

from decimal import Decimal

import pytest

from labcases.enums import Stage
from labcases.forms.tryin import TryInForm
from labcases.models import TryIn
from labcases.reference import try_in_checklist
from tests.factories import world

pytestmark = pytest.mark.django_db

UPPER_LINES = [line for pause in try_in_checklist("upper") for line in pause.lines]


@pytest.fixture
def row():
    return TryIn(case=world().case_at(Stage.DRAFT), revision=1)


def all_ok(**but):
    return {f"answer_{line.key}": "ok" for line in UPPER_LINES} | {
        f"answer_{key}": answer for key, answer in but.items()
    }


def asked(row, **typed):
    return TryInForm(typed, instance=row)


def test_an_approval_is_taken_with_every_line_ok_and_the_vertical(row):
    form = asked(row, outcome="approved", vertical_mm="68,5", **all_ok())
    assert form.is_valid(), form.errors
    values = form.values()
    assert values["vertical_mm"] == Decimal("68.5")
    assert values["answers"] == {line.key: "ok" for line in UPPER_LINES}
    assert set(values) == {"vertical_mm", "outcome", "changes", "answers"}


def test_the_outcome_is_asked_for(row):
    form = asked(row, **all_ok())
    form.is_valid()
    assert form.errors == {"outcome": ["Choose the outcome of the try-in."]}


def test_an_approval_names_every_line_that_is_not_answered(row):
    form = asked(row, outcome="approved", vertical_mm="68", **all_ok(pin="", plane=""))
    form.is_valid()
    assert form.errors == {
        "answer_pin": ["Answer: The pin is flush and touches the table."],
        "answer_plane": ["Answer: The plane is parallel to the ala-tragus line."],
    }


def test_of_many_open_lines_the_first_is_named_with_their_number(row):
    form = asked(row, outcome="approved", vertical_mm="68", answer_pin="ok")
    form.is_valid()
    assert form.errors == {
        "answer_rings": [
            "23 lines are not answered, this one first: The mounting rings are tight. An approval "
            "needs every line; a new record does not."
        ]
    }


def test_an_approval_needs_the_measured_vertical(row):
    form = asked(row, outcome="approved", **all_ok())
    form.is_valid()
    assert form.errors == {"vertical_mm": ["Enter the vertical that you measured."]}


@pytest.mark.parametrize("outcome", ["approved", "approved with changes"])
def test_what_is_to_be_done_again_is_no_approval(row, outcome):
    form = asked(row, outcome=outcome, vertical_mm="68", changes="x", **all_ok(seat="redo"))
    form.is_valid()
    assert form.errors["answer_seat"] == [
        "To be done again: The bases seat fully on the casts. That is no approval; choose a new "
        "record, or change the answer."
    ]


def test_a_change_makes_it_approved_with_changes(row):
    form = asked(row, outcome="approved", vertical_mm="68", **all_ok(width="change"))
    form.is_valid()
    assert form.errors["outcome"] == [
        "A line is answered with change. Choose approved with changes, and write them."
    ]


def test_changes_are_written_down(row):
    typed = {"outcome": "approved with changes", "vertical_mm": "68", **all_ok(width="change")}
    form = asked(row, **typed)
    form.is_valid()
    assert form.errors == {"changes": ["Write what changes."]}
    assert asked(row, **typed, changes="26 in by 1 mm").is_valid()


def test_a_new_record_may_be_asked_for_at_any_line(row):
    form = asked(row, outcome="new record", answer_centric_mouth="redo")
    assert form.is_valid(), form.errors
    assert form.values()["answers"] == {"centric_mouth": "redo"}


@pytest.mark.parametrize("typed", ["19", "121"])
def test_a_vertical_that_no_face_has_is_refused(row, typed):
    form = asked(row, outcome="approved", vertical_mm=typed, **all_ok())
    form.is_valid()
    assert form.errors["vertical_mm"] == [
        f"Vertical between the two marks is {typed} mm. Enter 20 to 120 mm."
    ]


def test_stored_answers_are_filled_in_and_kept_when_chosen_after_a_conflict(row):
    row.answers = {"pin": "redo"}
    assert TryInForm(instance=row).initial["answer_pin"] == "redo"
    form = asked(row, outcome="new record", answer_pin="ok", **{"keep-answers": "stored"})
    assert form.is_valid()
    assert form.values()["answers"] == {"pin": "redo"}


def test_the_pauses_hold_one_box_a_line(row):
    pauses = TryInForm(instance=row).pauses
    assert [len(pause.fields) for pause in pauses] == [7, 6, 6, 5]
    assert pauses[0].title == "On the bench, before the mouth"
