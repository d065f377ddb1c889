"""Lines of a checklist as boxes."""

from django import forms

from labcases.forms.check_lines import add_lines, asked, given
from labcases.reference.checklists import CheckLine, Pause

LINES = (CheckLine("pin", "The pin touches", "s"), CheckLine("seat", "The base seats", "s"))


def form_of(data=None):
    form = forms.Form(data)
    add_lines(form, LINES, (("yes", "Yes"), ("no", "No")), {"pin": "no"}, {"pin": "off"})
    return form


def test_each_line_has_an_answer_and_words_filled_with_what_is_stored():
    form = form_of()
    assert list(form.fields) == ["answer_pin", "words_pin", "answer_seat", "words_seat"]
    assert (form["answer_pin"].value(), form["words_pin"].value()) == ("no", "off")
    assert form["answer_seat"].label == "The base seats"


def test_only_what_is_answered_is_kept():
    form = form_of({"answer_seat": "yes", "words_pin": " "})
    assert form.is_valid()
    assert given(form.cleaned_data, LINES) == {"answers": {"seat": "yes"}, "words": {}}


def test_numbers_stand_at_the_line_that_needs_them():
    form = form_of()
    form.fields["pin_mm"] = forms.DecimalField()
    (pause,) = asked(form, [Pause("p", "Bench", LINES)], {"pin": ["pin_mm"]})
    assert [[box.name for box in line.numbers] for line in pause.lines] == [["pin_mm"], []]
