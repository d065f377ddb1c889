"""What a question can be about, and what the form makes of it."""

from datetime import UTC, datetime

import pytest

from labcases.enums import Side, Stage
from labcases.forms.questions import QuestionForm
from tests.factories import world


def filled(about, *, boxes=(), **more):
    data = {"about": about, "text": "Is it?", "waits_for": "office", **more}
    return QuestionForm(data, boxes=boxes)


@pytest.mark.parametrize(
    ("about", "named"),
    [
        ("the shade", {"about": "the shade"}),
        ("the articulator record", {"about": "the articulator record"}),
        ("the case", {"about": "the case"}),
        ("tooth 26", {"about": "tooth 26 (Universal 14)", "tooth": "26"}),
    ],
)
def test_a_question_is_about_one_named_thing(about, named):
    form = filled(about)
    assert form.is_valid(), form.errors
    assert form.asked() == {
        **named,
        "text": "Is it?",
        "waits_for": Side.OFFICE,
        "clinical": False,
        "blocking": True,
    }


@pytest.mark.parametrize("about", ["tooth 99", "tooth 51", "box 7", "lunch"])
def test_nothing_else_can_be_asked_about(about):
    assert "about" in filled(about).errors


def test_the_case_goes_on_where_the_asker_says_so():
    form = filled("the case", aside="on")
    assert form.is_valid()
    assert form.asked()["blocking"] is False


def test_a_tooth_is_offered_in_the_notation_of_the_house():
    groups = dict(QuestionForm(notation="Universal").fields["about"].choices[1:])
    assert ("tooth 26", "14 (ISO 26), upper left first molar") in groups["One tooth"]
    assert len(groups["One tooth"]) == 32


@pytest.mark.django_db
def test_the_boxes_of_the_case_are_offered_by_day_and_way():
    here = world()
    box = here.case_at(Stage.SENT).boxes.get()
    form = filled(f"box {box.pk}", boxes=[box])
    assert form.is_valid(), form.errors
    asked = form.asked()
    assert asked["box"] == box
    assert asked["about"].startswith("the box of ")
    assert asked["about"].endswith(" to the laboratory")


@pytest.mark.django_db
def test_the_day_of_a_box_keeps_its_capital_letter_in_the_list():
    here = world()
    box = here.case_at(Stage.SENT).boxes.get()
    box.sent_at = datetime(2026, 11, 25, 12, tzinfo=UTC)
    groups = dict(QuestionForm(boxes=[box], notation="ISO 3950").fields["about"].choices[1:])
    assert (f"box {box.pk}", "Box of 25-Nov-2026 to the laboratory") in groups["Boxes"]
