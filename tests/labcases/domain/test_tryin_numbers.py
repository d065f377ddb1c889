"""Freeway space, speaking space and centric, judged with their sources."""

from decimal import Decimal

import pytest

from labcases.domain import tryin_numbers
from labcases.models import TryIn

D = Decimal
SAME = [["same", ""]] * 3


def said(line, **values):
    rows = tryin_numbers.said(TryIn(**values), D("0.3"))
    return next((one for one in rows if one.line == line), None)


@pytest.mark.parametrize(
    ("rest", "closed", "word", "text"),
    [
        ("69.5", "68", "Look again", "Freeway space 1.5 mm. Less than 2 mm is too little."),
        ("70", "68", "Accepted", "Freeway space 2 mm. 2 to 4 mm is usual."),
        ("72", "68", "Accepted", "Freeway space 4 mm. 2 to 4 mm is usual."),
        ("72.1", "68", "Look again", "Freeway space 4.1 mm. More than 4 mm: confirm both"),
        ("75", "68", "Look again", "Freeway space 7 mm. 7 mm or more was not seen"),
        ("68", "68", "Look again", "Freeway space 0 mm. There is no freeway space"),
    ],
)
def test_freeway_space_is_computed_and_judged(rest, closed, word, text):
    one = said("vertical", vertical_rest_mm=D(rest), vertical_mm=D(closed))
    assert one.word == word
    assert one.text.startswith(text)
    assert one.text.endswith("The dentist decides on the vertical.")
    assert one.source


def test_without_both_readings_there_is_no_freeway_space():
    assert said("vertical", vertical_mm=D("68")) is None


@pytest.mark.parametrize(
    ("read", "word"),
    [("0.4", "To mind"), ("0.5", "Accepted"), ("3.5", "Accepted"), ("3.6", "Look again")],
)
def test_the_speaking_space_is_judged_as_it_was_read(read, word):
    one = said("speaking", speaking_mm=D(read))
    assert one.word == word
    assert "Burnett and Clifford" in one.source


def test_the_speaking_space_is_never_worked_out_from_the_freeway_space():
    assert said("speaking", vertical_rest_mm=D("71"), vertical_mm=D("68")) is None


@pytest.mark.parametrize(
    ("centric", "word", "text"),
    [
        (SAME, "Accepted", "same, same, same: all within 0.3 mm."),
        (SAME[:2], "To mind", "same, same: 2 of 3 closings are noted."),
        (
            [["forward", "0.3"], *SAME[:2]],
            "Accepted",
            "0.3 mm forward of it, same, same: all within 0.3 mm.",
        ),
        (
            [["right", "0.4"], *SAME[:2]],
            "Look again",
            "0.4 mm to the patient's right, same, same: off by more than 0.3 mm: a new jaw record "
            "is usual.",
        ),
    ],
)
def test_centric_is_held_to_what_the_laboratory_takes_as_one_record(centric, word, text):
    one = said("centric_mouth", centric=centric)
    assert (one.word, one.text.replace("\N{NO-BREAK SPACE}", " ")) == (word, text)
    assert "common practice, no source" in one.source


def test_another_laboratory_has_its_own_tolerance():
    row = TryIn(centric=[["right", "0.4"], *SAME[:2]])
    (one,) = tryin_numbers.said(row, D("0.5"))
    assert one.word == "Accepted"
