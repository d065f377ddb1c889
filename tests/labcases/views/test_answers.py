"""A prescription's answers in words: units, both notations, and what differs."""

from datetime import date
from decimal import Decimal

import pytest

from labcases.enums import Allergy, Route, Stage
from labcases.management.walk import order
from labcases.models import Case, Prescription
from labcases.views import _answers


def row(**more) -> Prescription:
    case = Case(code="7Q2K9A3BC4DH")
    return Prescription(case=case, **{"first_extraction_on": date(2026, 12, 7), **order(**more)})


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("overjet_mm", "2\xa0mm"),
        ("incisal_display_mm", "2.5\xa0mm"),
        ("first_extraction_on", "07-Dec-2026"),
        ("scheme", "Balanced"),
        ("shade", "B2"),
        ("instructions", ""),
    ],
)
def test_values_are_said_with_their_unit_in_the_words_of_the_screen(field, words):
    assert _answers.value_of(row(), field) == words


def pairs(found: list[_answers.Section], title: str) -> dict[str, str]:
    section = next(section for section in found if section.title == title)
    return {pair["label"]: pair["value"] for pair in section.pairs}


def test_what_does_not_concern_the_case_is_not_listed():
    interim = _answers.sections(
        row(route=Route.INTERIM, first_extraction_on=None), "ISO 3950", change=False
    )
    listed = _answers.sections(
        row(allergy=Allergy.LISTED, allergy_text="nickel"), "ISO 3950", change=False
    )

    assert "First extraction" not in pairs(interim, "Teeth")
    assert "What was named" not in pairs(interim, "Records")
    assert pairs(listed, "Records")["What was named"] == "nickel"


def test_an_answer_that_is_missing_although_it_is_asked_stays_in_the_list():
    found = _answers.sections(row(first_extraction_on=None, shade=""), "ISO 3950", change=False)

    assert pairs(found, "Teeth")["First extraction"] == ""
    assert pairs(found, "Materials")["Shade"] == ""


@pytest.mark.parametrize(
    ("notation", "words"),
    [
        ("ISO 3950", "13 (Universal 6), upper right canine"),
        ("Universal", "6 (ISO 13), upper right canine"),
    ],
)
def test_a_chart_names_each_tooth_in_both_notations(notation, words):
    chart = _answers.chart_of(row(), "teeth", notation)

    surgery = next(group for group in chart.groups if group.label == "To be extracted at surgery")
    assert surgery.teeth[0] == words
    assert len(surgery.teeth) == 6


def test_positions_that_nobody_marked_are_named_as_open():
    chart = _answers.chart_of(row(teeth={"16": "lost"}), "teeth", "ISO 3950")

    assert [(group.label, len(group.teeth)) for group in chart.groups] == [
        ("Already lost", 1),
        ("Not said yet", 15),
    ]


def test_the_picture_shows_what_the_chart_says():
    chart = _answers.chart_of(row(), "opposing", "ISO 3950")

    words = {shape.tooth: shape.words for shape in chart.drawing.shapes}
    assert words["36"] == "36, lower left first molar: natural tooth"
    assert words["48"] == "48, lower right third molar: missing"


def test_revisions_are_compared_tooth_by_tooth_with_the_stage_that_each_undoes():
    before = row()
    after = row(shade="A3", overjet_mm=Decimal("2.00"))
    after.teeth = {**after.teeth, "13": "stays"}

    found = _answers.changes(
        after, before, {"teeth": Stage.MASTER_CAST, "shade": Stage.SET_UP}, "ISO 3950"
    )

    assert [(c.label, c.before, c.after, c.undoes) for c in found] == [
        (
            "13 (Universal 6), upper right canine",
            "To be extracted at surgery",
            "Stays",
            "Master cast and rims",
        ),
        ("Shade", "B2", "A3", "Set-up"),
    ]
