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


#: Every line of arrival and delivery: its key, its words, how its source was read.
LINES = (
    ("ar_codes", "Case code and patient code are those of this patient", "CP"),
    ("ar_counted", "What is in the box agrees with its list", "CP"),
    ("ar_whole", "Base and teeth are whole: no crack, no chip", "CP"),
    ("ar_smooth", "The fitting surface has no sharp edge and no bead", "CP"),
    ("ar_template", "A template, if one is wanted, fits over the same cast", "CP"),
    ("ar_moist", "It came moist, and its disinfection is declared", "R"),
    ("ar_again", "It was disinfected and rinsed again at the office", "R"),
    ("dl_haemostasis", "Bleeding was under control before it was seated", "CP"),
    ("dl_seats", "The denture seats without force", "CP"),
    ("dl_pressure", "Where it pressed, the fitting surface was relieved", "CP"),
    ("dl_borders", "The borders stay short of frena and folds", "CP"),
    ("dl_holds", "It does not rock, and holds when the mouth opens", "CP"),
    ("dl_centric", "It closes where the articulator closes", "CP"),
    ("dl_sides", "Both sides meet at once", "CP"),
    ("dl_gross", "Only gross interference was taken off denture teeth", "CP"),
    ("dl_front", "No front tooth meets heavily", "CP"),
    ("dl_vertical", "The vertical was read, or put off in words", "CP"),
    ("dl_gauze", "The patient bites on gauze, and bleeding is slowing", "CP"),
    ("dl_stays", "Told: it stays in until the first check, in 24 hours", "R"),
    ("dl_loose", "Told: it will loosen, and be lined or made again", "R"),
    ("dl_flags", "Told: when to call, with the number for emergencies", "CP"),
    ("dl_written", "The after-care sheet was given", "CP"),
    ("dl_booked", "The check after 24 hours is booked", "R"),
)

#: Every sentence for the patient: its key, how it begins or what it is, how its source was read.
TOLD = (
    ("ac_stays", "Leave the denture in until your dentist has seen you, in", "R"),
    ("ac_presses", "It also presses on the wounds and helps against bleeding", "R"),
    ("ac_no_spitting", "Do not spit, rinse, use a straw, smoke, or drink anything", "R"),
    ("ac_soft", "Eat soft, cool food.", "R"),
    ("ac_salt", "Rinse with warm salt water as your dentist tells you.", "R"),
    ("ac_night", "Wear the denture at night for as long as your dentist says;", "R"),
    ("ac_clean", "Clean it over a towel or a bowl of water with a soft brush.", "R"),
    ("ac_no_adhesive", "No adhesive over fresh wounds. Do not take out a lining", "R"),
    ("ac_medicines", "Take your medicines as they were prescribed. Ask before you", "CP"),
    ("ac_visits", "Keep every visit. Sore places are relieved at the office:", "CP"),
    ("ac_heals", "The wounds close in 2 to 6 weeks. The bone below them takes", "R"),
    ("ac_loose", "The ridge changes while it heals, so the denture will", "R"),
    ("ac_cost", "Ask at the office what the lining or the next denture", "CP"),
    ("ac_call", "Bleeding that does not stop under firm pressure; fever;", "CP"),
)


@pytest.mark.parametrize(("key", "words", "mark"), LINES, ids=[key for key, *_ in LINES])
def test_arrival_and_delivery_ask_each_line_with_its_mark(key, words, mark):
    (line,) = [one for one in lines_of(PAUSES) if one.key == key]

    assert (line.text, line.mark) == (words, mark)


@pytest.mark.parametrize(("key", "words", "mark"), TOLD, ids=[key for key, *_ in TOLD])
def test_the_patient_is_told_each_point_with_its_mark(key, words, mark):
    (line,) = [one for part in after_care() for one in part.lines if one.key == key]

    assert line.text.startswith(words)
    assert line.mark == mark


def test_nothing_else_is_asked_or_told():
    assert [line.key for line in lines_of(PAUSES)] == [key for key, *_ in LINES]
    assert [line.key for part in after_care() for line in part.lines] == [key for key, *_ in TOLD]
