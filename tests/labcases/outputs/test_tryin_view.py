"""A recorded try-in, line by line."""

import pytest

from labcases.enums import Stage, TryInOutcome
from labcases.models import TryIn
from labcases.outputs import tryin_view
from tests.factories import world


@pytest.mark.django_db
def test_lines_that_are_not_ok_are_pulled_out_and_silent_ones_are_not():
    case = world().case_at(Stage.DRAFT)
    row = TryIn(case=case, revision=1, answers={"pin": "ok", "plane": "change", "seat": "redo"})
    found = tryin_view.recorded(row)
    assert found.open_lines == [
        "Redo: The bases seat fully on the casts",
        "Change: The plane is parallel to the ala-tragus line",
    ]
    words = {answer.text: answer.word for pause in found.pauses for answer in pause.answers}
    assert words["The pin is flush and touches the table"] == "OK"
    assert words["The casts are undamaged"] == "Not answered"


def test_two_sets_of_answers_are_told_apart_by_the_lines_that_differ():
    assert tryin_view.differing({"pin": "ok", "seat": "ok"}, {"pin": "ok", "seat": "redo"}) == (
        "The bases seat fully on the casts: OK"
    )
    assert tryin_view.differing({}, {"pin": "ok"}) == (
        "The pin is flush and touches the table: Not answered"
    )


@pytest.mark.django_db
def test_a_waived_try_in_shows_no_lines_because_nobody_looked():
    case = world().case_at(Stage.DRAFT)
    row = TryIn(case=case, revision=1, outcome=TryInOutcome.WAIVED, changes="seen at the chair")
    found = tryin_view.recorded(row)
    assert found.waived
    assert found.pauses == []
