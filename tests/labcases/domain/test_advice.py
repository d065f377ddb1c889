"""What is to be weighed before signing: each sentence comes of one answer, and only of it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from labcases.domain.advice import Level, of_prescription
from labcases.management.sample import natural, order, teeth_of
from labcases.models import Case, Organisation, Prescription

D = Decimal
TODAY = date(2026, 3, 2)
SURGERY = date(2026, 5, 14)

# A prescription that leaves nothing to weigh and nothing open.
FULL: dict[str, Any] = {
    "first_extraction_on": date(2026, 3, 4),
    "smile_display_mm": D("9"),
    "vertical_rest_mm": D("68"),
    "vertical_occlusion_mm": D("65"),
    "vertical_read_at": "tip of the nose and chin",
    "interalar_mm": D("35"),
    "canine_lines_mm": D("42"),
    "shade_light": "daylight",
    "mould_form": "ovoid",
    "central_width_mm": D("8.5"),
    "central_length_mm": D("10.5"),
    "identification": "patient code",
    "template_wanted": False,
    "return_casts": False,
    "photographs": ["smile"],
    "probing_mm": dict.fromkeys(("13", "12", "11", "21", "22", "23"), "3"),
}
TEETH = teeth_of("upper", "conventional")
INTERIM: dict[str, Any] = {
    "route": "interim",
    "teeth": teeth_of("upper", "interim"),
    "probing_mm": dict.fromkeys(TEETH, "3"),
    "reline_plan": "new denture",
}
FRONT_LOST = {"teeth": TEETH | {"11": "lost", "21": "lost"}}


def row(*, stage: str = "draft", surgery_on: date | None = SURGERY, **said: Any) -> Prescription:
    case = Case(
        code="7Q2K9A3BC4DH",
        surgery_on=surgery_on,
        stage=stage,
        laboratory=Organisation(),
        office=Organisation(),
    )
    return Prescription(case=case, **(order() | FULL | said))


def told(level: Level, given: Prescription, today: date = TODAY) -> list[tuple[str, str]]:
    return [(one.field, one.text) for one in of_prescription(given, today) if one.level == level]


def test_a_full_prescription_has_nothing_to_weigh_and_nothing_open():
    assert of_prescription(row(), TODAY) == []


ONE_MISSING = "Nothing can be copied once the teeth are out."
HELD = "It can be read only while teeth still hold it."

# What is said instead -> the field that is pointed at, and the sentence.
WARNED: dict[str, tuple[dict[str, Any], str, str]] = {
    "healing": (
        # 15 working days before Thu 14-May-2026 is Thu 23-Apr-2026: 41 days after 13-Mar-2026.
        {"first_extraction_on": date(2026, 3, 13)},
        "first_extraction_on",
        "Between the first extraction and the latest day for the jaw records lie 41 days; 42 and "
        "more are usual for healing.",
    ),
    "a molar as a stop": (
        {"teeth": TEETH | {"16": "stop until surgery"}},
        "teeth",
        "Kept as a stop: 16. The ridge there is not healed when the denture is made; premolars "
        "are the usual stop.",
    ),
    "a stop against nothing": (
        {
            "teeth": TEETH | {"14": "stop until surgery"},
            "opposing": natural("lower") | {"44": "missing"},
        },
        "teeth",
        "Kept as a stop: 14, but no tooth stands opposite. Check both.",
    ),
    "too few pairs": (
        {"opposing": natural("lower") | dict.fromkeys(("43", "42", "41", "31"), "missing")},
        "jaw_record",
        "In maximum intercuspation the mounting is verified at 3 spread points, and 2 teeth of "
        "the arch still meet the other one at the records. Centric relation needs none.",
    ),
    "an allergy": (
        {"allergy": "listed", "allergy_text": "acrylate"},
        "base_material",
        "An allergy is listed (acrylate). Check the materials of base and teeth against it.",
    ),
    "rest": (
        {"vertical_rest_mm": None},
        "vertical_rest_mm",
        f"The vertical at rest is not read. {HELD}",
    ),
    "occlusion": (
        {"vertical_occlusion_mm": None},
        "vertical_occlusion_mm",
        f"The vertical in occlusion is not read. {HELD}",
    ),
    "marks": (
        {"vertical_read_at": ""},
        "vertical_read_at",
        "Say between which marks the vertical was read.",
    ),
    "no freeway space": (
        {"vertical_rest_mm": D("65")},
        "vertical_occlusion_mm",
        "The vertical in occlusion is not smaller than at rest. Read both again.",
    ),
    "little freeway space": (
        {"vertical_rest_mm": D("66.9")},
        "vertical_occlusion_mm",
        "Rest and occlusion lie 1.9 mm apart; 2 to 4 mm are usual, and people differ.",
    ),
    "much freeway space": (
        {"vertical_rest_mm": D("69.1")},
        "vertical_occlusion_mm",
        "Rest and occlusion lie 4.1 mm apart; 2 to 4 mm are usual, and people differ.",
    ),
    "teeth that do not meet": (
        {
            "jaw_record": "centric relation",
            "opposing": dict.fromkeys(natural("lower"), "missing"),
            "natural_changes": "none",
        },
        "vertical_wish",
        "No tooth of the arch meets the other one any more when the records are made, so teeth "
        "do not hold the vertical.",
    ),
    "display at rest": (
        {**FRONT_LOST, "incisal_display_mm": None},
        "incisal_display_mm",
        f"The incisal display at rest is not measured. {ONE_MISSING}",
    ),
    "display in a smile": (
        {"smile_display_mm": None},
        "smile_display_mm",
        f"The incisal display in a smile is not measured. {ONE_MISSING}",
    ),
    "midline": (
        {**FRONT_LOST, "midline_offset_mm": None},
        "midline_offset_mm",
        f"The midline is not measured. {ONE_MISSING}",
    ),
    "a smile that shows less": (
        {"smile_display_mm": D("2")},
        "smile_display_mm",
        "A smile shows less of the incisor (2 mm) than rest does (2.5 mm). Check both.",
    ),
    "no plan for afterwards": (
        {"reline_plan": ""},
        "reline_plan",
        "Nothing is said of what follows when the ridge has changed: a reline, or a new denture.",
    ),
    "a reline of an interim denture": (
        {**INTERIM, "reline_plan": "reline"},
        "reline_plan",
        "On the interim route a new denture usually takes the place of this one, and the plan says "
        "a reline. Check both.",
    ),
    "sockets not probed": (
        {"flange": "socketed", "probing_mm": {"13": "3", "12": "3", "11": "3", "21": "3"}},
        "probing_mm",
        "Not probed: 22, 23. Teeth that go into the sockets are set by the depth of the pockets.",
    ),
    "changes to natural teeth": (
        {"natural_changes": ""},
        "natural_changes",
        "Nothing is said of changes to natural teeth. Until it is, the laboratory takes none as "
        "allowed.",
    ),
}


@pytest.mark.parametrize("name", WARNED)
def test_one_answer_brings_one_warning_at_its_field(name):
    said, field, sentence = WARNED[name]

    assert told(Level.WARNING, row(**said)) == [(field, sentence)]


# On the edge nothing is said.
SILENT: dict[str, dict[str, Any]] = {
    "42 days of healing": {"first_extraction_on": date(2026, 3, 12)},
    "interim route": {**INTERIM, "first_extraction_on": date(2026, 4, 20)},
    "a premolar as a stop": {
        "teeth": TEETH | {"14": "stop until surgery"},
        "probing_mm": {**FULL["probing_mm"], "14": "3"},
    },
    "three pairs": {"opposing": natural("lower") | dict.fromkeys(("43", "42", "41"), "missing")},
    "centric relation with two pairs": {
        "jaw_record": "centric relation",
        "opposing": natural("lower") | dict.fromkeys(("43", "42", "41", "31"), "missing"),
    },
    "2 mm of freeway space": {"vertical_rest_mm": D("67")},
    "4 mm of freeway space": {"vertical_rest_mm": D("69")},
    "a smile that shows as much": {"smile_display_mm": D("2.5")},
    "no natural tooth opposite": {
        "natural_changes": "",
        "opposing": dict.fromkeys(natural("lower"), "denture"),
    },
}


@pytest.mark.parametrize("name", SILENT)
def test_on_the_edge_nothing_is_warned_of(name):
    assert told(Level.WARNING, row(**SILENT[name])) == []


# 23 working days before Thu 14-May-2026 is Mon 13-Apr-2026, 19 are Fri 17-Apr-2026.
@pytest.mark.parametrize(
    ("today", "sentence"),
    [
        (date(2026, 4, 13), ""),
        (
            date(2026, 4, 14),
            "This cannot meet the usual schedule: 22 working days are left until surgery, and 23 "
            "are usual from the first impression on. Shorten a step with the laboratory, or move "
            "the surgery.",
        ),
        (
            date(2026, 4, 20),
            "This cannot meet the usual schedule: 18 working days are left until surgery, and 23 "
            "are usual from the first impression on. The case should have been sent 1 working day "
            "ago. Shorten a step with the laboratory, or move the surgery.",
        ),
        (
            date(2026, 5, 20),
            "This cannot meet the usual schedule: 0 working days are left until surgery, and 23 "
            "are usual from the first impression on. The case should have been sent 23 working "
            "days ago. Shorten a step with the laboratory, or move the surgery.",
        ),
    ],
)
def test_less_time_than_the_usual_schedule_takes_is_said(today, sentence):
    found = [text for field, text in told(Level.WARNING, row(), today) if field == "surgery_on"]

    assert found == ([sentence] if sentence else [])


# 42 days of healing after Fri 6-Mar-2026 end on Fri 17-Apr-2026, the latest day for sending.
@pytest.mark.parametrize(("day", "said"), [(6, False), (7, True)])
def test_where_no_first_extraction_is_planned_its_healing_comes_on_top(day, said):
    given = row(first_extraction_on=None)
    found = [text for _field, text in told(Level.WARNING, given, date(2026, 3, day))]

    assert any("after 42 days of healing" in text for text in found) is said
    given = row(first_extraction_on=None, **INTERIM)
    assert told(Level.WARNING, given, date(2026, 3, day)) == []


@pytest.mark.parametrize("given", [{"stage": "sent"}, {"surgery_on": None}])
def test_nothing_is_said_of_time_once_it_is_sent_or_while_no_day_is_known(given):
    assert told(Level.WARNING, row(**given), date(2026, 5, 1)) == []


def test_what_helps_and_is_left_open_is_named_last_and_field_by_field():
    empty = dict.fromkeys(
        ("central_width_mm", "central_length_mm", "interalar_mm", "canine_lines_mm")
    )
    words = dict.fromkeys(("shade_light", "mould_form", "identification"), "")

    found = of_prescription(
        row(**empty, **words, template_wanted=None, return_casts=None, probing_mm={}), TODAY
    )

    assert [one.level for one in found] == ["optional"] * 10
    assert {one.field for one in found} == {
        *(*empty, *words, "template_wanted", "return_casts", "probing_mm")
    }
    assert found[-1].text == "Not probed: 13, 12, 11, 21, 22, 23."


def test_every_warning_says_where_it_comes_from():
    for said, _field, _sentence in WARNED.values():
        found = of_prescription(row(**said), TODAY)
        assert all(one.source for one in found if one.level == Level.WARNING)
