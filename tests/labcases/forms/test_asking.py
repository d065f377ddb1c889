"""One tick answers a question, for the value that it was asked of."""

from __future__ import annotations

from django import forms

from labcases.forms.asking import ask_again


class Form(forms.Form):
    day = forms.CharField()

    def clean(self):
        told = super().clean()
        if told["day"] != "Monday":
            ask_again(
                self,
                at="day",
                tick="meant",
                value=told["day"],
                question="That is no Monday.",
                label="It is meant",
            )
        return told


def test_the_question_stands_at_its_field_with_a_box_that_is_not_ticked():
    form = Form({"day": "Tuesday"})
    assert form.errors == {"day": ["That is no Monday. Correct it, or tick below."]}
    box = str(form["meant"])
    assert 'value="Tuesday"' in box
    assert "checked" not in box


def test_a_tick_lets_its_own_value_pass_and_stays_ticked():
    form = Form({"day": "Tuesday", "meant": "Tuesday"})
    assert form.is_valid()
    assert "checked" in str(form["meant"])
    assert not Form({"day": "Friday", "meant": "Tuesday"}).is_valid()


def test_what_is_likely_gets_no_box():
    form = Form({"day": "Monday"})
    assert form.is_valid()
    assert "meant" not in form.fields
