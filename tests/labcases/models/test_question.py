"""What a question and its thread keep."""

import pytest

from labcases.domain import question as asking
from labcases.enums import Side, Stage
from labcases.models import AppendOnly, Question
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_a_question_says_what_it_is_about():
    question = Question(about="shade", text="Are the canines to be darker? " * 5)

    assert str(question) == "shade: Are the canines to be darker? Are the ca"


def test_what_was_said_is_neither_changed_nor_erased():
    here = world()
    question = asking.ask(
        case=here.case_at(Stage.DRAFT),
        about="the shade",
        text="B2?",
        waits_for=Side.OFFICE,
        by=here.farah,
    )
    asking.answer(question=question, text="B3", by=here.dora)
    entry = question.entries.get()
    entry.text = "B4"
    for act in (
        entry.save,
        entry.delete,
        question.entries.all().delete,
        lambda: question.entries.update(text="B4"),
    ):
        with pytest.raises(AppendOnly, match="What was said"):
            act()
    assert question.entries.get().text == "B3"
