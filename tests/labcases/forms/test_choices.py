"""Yes, no and not said; teeth typed as numbers."""

import pytest
from django import forms

from labcases.forms.choices import OrderField, TeethField, YesNoField


class TestYesNo:
    @pytest.mark.parametrize(("typed", "meant"), [("yes", True), ("no", False), ("", None)])
    def test_silence_is_not_a_no(self, typed, meant):
        assert YesNoField(label="x").clean(typed) is meant

    @pytest.mark.parametrize(("stored", "shown"), [(True, "yes"), (False, "no"), (None, "")])
    def test_a_stored_answer_comes_back_as_it_was_given(self, stored, shown):
        assert YesNoField(label="x").prepare_value(stored) == shown


class TestTeeth:
    @pytest.mark.parametrize("typed", ["16 26", "26, 16", " 26;16 ", "16\n26 16"])
    def test_numbers_are_taken_in_any_order_once_each(self, typed):
        assert TeethField().clean(typed) == ["16", "26"]

    def test_universal_numbers_become_iso_numbers(self):
        assert TeethField(notation="Universal").clean("3, 14 1") == ["18", "16", "26"]

    def test_a_bare_number_is_read_in_the_readers_notation_only(self):
        assert TeethField().clean("11") == ["11"]
        assert TeethField(notation="Universal").clean("11") == ["23"]

    @pytest.mark.parametrize(
        ("notation", "typed", "sentence"),
        [
            (
                "ISO 3950",
                "16 19",
                "19 is not a permanent tooth in ISO 3950. Enter 11 to 18, 21 to 28, 31 to 38 or "
                "41 to 48.",
            ),
            (
                "ISO 3950",
                "upper",
                "upper is not a permanent tooth in ISO 3950. Enter 11 to 18, 21 to 28, 31 to 38 "
                "or 41 to 48.",
            ),
            (
                "Universal",
                "33",
                "33 is not a permanent tooth in Universal numbering. Enter 1 to 32.",
            ),
            (
                "Universal",
                "A",
                "A is not a permanent tooth in Universal numbering. Enter 1 to 32.",
            ),
        ],
    )
    def test_what_is_no_tooth_is_refused_in_words(self, notation, typed, sentence):
        with pytest.raises(forms.ValidationError, match=" is not a permanent tooth in ") as refused:
            TeethField(notation=notation).clean(typed)
        assert refused.value.messages == [sentence]

    @pytest.mark.parametrize("typed", ["", "none"])
    def test_an_empty_box_and_a_word_are_questions_where_teeth_are_asked_for(self, typed):
        with pytest.raises(forms.ValidationError):
            TeethField().clean(typed)


def test_an_order_of_teeth_stays_as_it_was_typed():
    assert OrderField(notation="ISO 3950").clean("21, 11 13") == ["21", "11", "13"]


def test_a_tooth_that_stands_twice_in_an_order_is_refused_in_the_readers_number():
    with pytest.raises(forms.ValidationError) as refused:
        OrderField(notation="Universal").clean("9 8 9")
    assert refused.value.messages == [
        "9 is named twice. Name each tooth once, in the order of removal."
    ]
