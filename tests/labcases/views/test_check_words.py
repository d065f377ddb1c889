"""Answers of checklists in the history."""

import pytest

from labcases.views import _check_words


@pytest.mark.parametrize(
    ("before", "after", "text"),
    [
        (None, {"pin": "yes", "seat": "yes"}, "2 lines yes"),
        (
            {"pin": "yes"},
            {"pin": "yes", "seat": "no", "rings": "yes"},
            "1 line yes; no to The bases seat fully on the casts",
        ),
        ({"pin": "no"}, {}, "no answer any more to The pin is flush and touches the table"),
        ({"pin": "yes"}, {"pin": "yes"}, ""),
    ],
)
def test_what_is_well_is_counted_and_the_rest_named(before, after, text):
    assert _check_words.is_of_lines("answers", after)
    assert _check_words.of_lines("answers", before, after) == text


def test_words_stand_beside_their_line():
    after = {"plane": "lower at 26"}
    assert _check_words.of_lines("words", {}, after) == (
        'The plane is parallel to the ala-tragus line: "lower at 26"'
    )


def test_other_tables_are_none_of_these():
    assert not _check_words.is_of_lines("teeth", {"pin": "yes"})
    assert not _check_words.is_of_lines("answers", {"16": "lost"})


def test_closings_are_told_in_words():
    assert _check_words.is_centric("centric", [["same", ""]])
    told = _check_words.of_centric([["same", ""], ["back", "0.5"]])
    assert told.replace("\N{NO-BREAK SPACE}", " ") == "centric same, 0.5 mm behind it"
    assert _check_words.of_centric([]) == ""
