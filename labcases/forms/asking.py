"""A question at a field before something unlikely is stored: one tick answers it, for one value."""

from __future__ import annotations

from django import forms


def ask_again(
    form: forms.BaseForm, *, at: str, tick: str, value: object, question: str, label: str
) -> None:
    """Refuse with a question at a field until its tick is set; what was typed stays.

    The tick holds the value that it was set for, so that another value is asked about anew.

    Parameters
    ----------
    form
        A bound form, while it is cleaned.
    at, tick
        Field that is questioned, and name of the box that answers; no column has that name.
    value
        What is unlikely; its text stands in the box.
    question, label
        What is asked, and what the tick says.
    """
    key = str(value)
    answered = form.data.get(form.add_prefix(tick)) == key
    box = forms.CheckboxInput(
        attrs={"value": key, "data-needed": True}, check_test=lambda said: answered
    )
    form.fields[tick] = forms.BooleanField(required=False, label=label, widget=box)
    if not answered:
        form.add_error(at, f"{question} Correct it, or tick below.")
