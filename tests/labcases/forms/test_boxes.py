"""Rows of a box, and counts, as they are typed."""

import pytest

from labcases.enums import BoxDirection
from labcases.forms.boxes import BoxForm, CountForm, ItemFormSet
from labcases.models import BoxItem


def rows(*typed):
    data = {"items-TOTAL_FORMS": str(len(typed)), "items-INITIAL_FORMS": "0"}
    for number, row in enumerate(typed):
        for name, value in row.items():
            data[f"items-{number}-{name}"] = value
    return ItemFormSet(data)


def test_empty_rows_between_filled_ones_are_left_out():
    contents = rows(
        {"content": "impression", "count": "1"}, {"content": ""}, {"content": "cast", "count": "2"}
    )
    assert contents.is_valid()
    assert [(row["content"], row["count"]) for row in contents.rows()] == [
        ("impression", 1),
        ("cast", 2),
    ]


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ({"content": "cast", "count": "0"}, "Enter 1 to 200 pieces."),
        ({"content": "cast", "count": "201"}, "Enter 1 to 200 pieces."),
        ({"content": "cast", "count": "two"}, "Pieces: enter a whole number."),
        ({"content": "cast", "count": ""}, "Enter how many pieces."),
        (
            {"content": "cast", "count": "1", "label_minutes": "0"},
            "Minutes on the label: enter 1 to 1440 minutes.",
        ),
        (
            {"content": "cast", "count": "1", "actual_minutes": "1441"},
            "Minutes given: enter 1 to 1440 minutes.",
        ),
        (
            {"content": "cast", "count": "1", "actual_minutes": "ten"},
            "Minutes given: enter whole minutes.",
        ),
        ({"content": "", "count": "1"}, "Choose what this row holds, or empty the row."),
        ({"content": "", "agent": "spray"}, "Choose what this row holds, or empty the row."),
    ],
)
def test_a_wrong_row_is_refused_with_what_to_enter(row, sentence):
    contents = rows(row)
    assert not contents.is_valid()
    assert [text for errors in contents.forms[0].errors.values() for text in errors] == [sentence]


def test_a_box_with_nothing_in_it_is_refused():
    contents = rows({"content": ""})
    assert not contents.is_valid()
    assert contents.non_form_errors() == ["Enter at least one thing that is in the box."]


def test_more_rows_than_a_box_holds_are_refused():
    contents = rows(*[{"content": "cast", "count": "1"}] * 31)
    assert not contents.is_valid()


def test_the_direction_is_asked_only_where_there_is_a_choice():
    one = BoxForm(ways=[BoxDirection.TO_OFFICE])
    both = BoxForm(ways=list(BoxDirection))
    assert "direction" not in one.fields
    assert one.way == "to the office"
    assert [value for value, _label in both.fields["direction"].choices] == [
        "to the laboratory",
        "to the office",
    ]


def test_a_count_of_nothing_is_a_count():
    items = [BoxItem(pk=7, content="cast", count=2)]
    form = CountForm({"count_7": "0"}, items=items)
    assert form.is_valid()
    assert form.counts() == {7: 0}


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Count the cast."),
        ("-1", "Cast: enter 0 to 200 pieces."),
        ("201", "Cast: enter 0 to 200 pieces."),
        ("some", "Cast: enter a whole number."),
    ],
)
def test_a_count_that_is_none_is_refused(typed, sentence):
    form = CountForm({"count_7": typed}, items=[BoxItem(pk=7, content="cast", count=2)])
    assert not form.is_valid()
    assert form.errors["count_7"] == [sentence]
