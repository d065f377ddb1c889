"""The bench check as typed."""

import pytest

from labcases.enums import Stage
from labcases.forms.bench_check import BenchCheckForm
from labcases.models import BenchCheck
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def row():
    return BenchCheck(case=world().case_at(Stage.DRAFT))


def test_it_may_be_saved_while_lines_are_open(row):
    form = BenchCheckForm({"answer_pin": "yes"}, instance=row)
    assert form.is_valid(), form.errors
    assert form.values() == {"answers": {"pin": "yes"}, "words": {}}


def test_a_no_needs_words(row):
    form = BenchCheckForm({"answer_pin": "no"}, instance=row)
    form.is_valid()
    assert form.errors == {
        "words_pin": ["Say what is wrong: The pin is flush and touches the table."]
    }


def test_stored_answers_are_kept_when_chosen_after_a_conflict(row):
    row.answers, row.words = {"pin": "no"}, {"pin": "off"}
    form = BenchCheckForm(
        {"answer_pin": "yes", "keep-answers": "stored", "keep-words": "stored"}, instance=row
    )
    assert form.is_valid(), form.errors
    assert form.values() == {"answers": {"pin": "no"}, "words": {"pin": "off"}}


def test_only_the_pause_of_the_bench_is_asked(row):
    (pause,) = BenchCheckForm(instance=row).pauses
    assert pause.title == "On the bench, before the base leaves"
    assert [line.answer.name for line in pause.lines][:2] == ["answer_pin", "answer_rings"]
