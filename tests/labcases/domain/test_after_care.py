"""After-care: the office's own text or the built-in one, and a number that can be dialled."""

from __future__ import annotations

import pytest

from labcases.domain import after_care
from labcases.models import Organisation

OWN = "The first night\nLeave it in.\nSleep propped up.\n\nCall us\nAt any hour."


def test_an_office_without_a_text_has_the_one_that_is_built_in():
    parts = after_care.parts_of(Organisation(name="Ferry"))

    assert [one.title for one in parts][-1] == "Call at once"
    assert all(one.sources for one in parts)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_an_office_says_it_in_its_own_words(end):
    told = after_care.parts_of(Organisation(name="Ferry", after_care=OWN.replace("\n", end)))

    assert told == [
        after_care.Part("The first night", ("Leave it in.", "Sleep propped up.")),
        after_care.Part("Call us", ("At any hour.",)),
    ]


def test_a_heading_with_nothing_below_it_is_refused():
    with pytest.raises(after_care.NotRead, match="Nothing stands below the heading “Call us”"):
        after_care.read("The first night\nLeave it in.\n\nCall us\n\n")


def test_blank_lines_around_a_text_make_no_part():
    assert after_care.read("\n \n\nA\nb\n\n\n") == [after_care.Part("A", ("b",))]
    assert after_care.read("") == []


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("", ""),
        ("  01632   960 100 ", "01632 960 100"),
        ("+44 (0)1632 960-100", "+44 (0)1632 960-100"),
        ("116 117", "116 117"),
    ],
)
def test_a_number_is_printed_as_it_is_dialled(typed, printed):
    assert after_care.telephone(typed) == printed


@pytest.mark.parametrize("typed", ["call us", "12", "01632 960 100 (ask for Dora)"])
def test_what_cannot_be_dialled_is_refused_with_an_example(typed):
    with pytest.raises(after_care.NotRead, match=r"for example \+44 1632 960 123"):
        after_care.telephone(typed)
