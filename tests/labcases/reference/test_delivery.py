"""Arrival, delivery and after-care as data: lines that can be read aloud, each with a source."""

import pytest

from labcases.reference.checklists import LINE_LENGTH, PAUSE_LINES, line_texts, lines_of
from labcases.reference.delivery import (
    after_care,
    arrival_checklist,
    cautions,
    delivery_checklist,
)

PAUSES = (*arrival_checklist(), *delivery_checklist())


def test_the_delivery_has_its_pauses_in_their_order():
    assert [(one.title, len(one.lines)) for one in PAUSES] == [
        ("As it arrived at the office", 7),
        ("Seating", 5),
        ("Closing: only what is gross today", 5),
        ("Before the patient leaves", 6),
    ]


@pytest.mark.parametrize("pause", PAUSES, ids=lambda pause: pause.key)
def test_a_pause_can_be_read_aloud_and_every_line_has_a_source(pause):
    assert len(pause.lines) in PAUSE_LINES
    for line in pause.lines:
        assert len(line.text) <= LINE_LENGTH
        assert line.source
        assert line.mark in ("R", "R2", "CP")


def test_the_history_can_say_every_line():
    for line in lines_of(PAUSES):
        assert line_texts()[line.key] == line.text


def test_the_cautions_name_what_can_hurt():
    assert "thin the blood" in cautions("surgery")[0].text
    said = " ".join(one.text for one in cautions("delivery"))
    assert "stays in for 24 hours" in said
    assert "Bleeding that does not slow" in said
    assert all(one.source for one in (*cautions("surgery"), *cautions("delivery")))


def test_the_sheet_for_the_patient_says_when_to_call_last():
    assert [part.title for part in after_care()] == [
        *("The first day", "After the first check", "The next weeks", "Call at once")
    ]
    lines = [line for part in after_care() for line in part.lines]
    assert all(line.source for line in lines)
    assert not any("grind" in line.text for line in lines)
