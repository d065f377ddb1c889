"""Taking in that a patient asks to be erased."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from django import forms
from django.utils import timezone

from labcases.enums import AskedBy


class ErasureForm(forms.Form):
    """Who asked, on which day, and the patient code once more: it cannot be undone."""

    asker = forms.ChoiceField(
        label="Who asks",
        choices=AskedBy.choices,
        widget=forms.RadioSelect,
        help_text="No name: the request itself lies in the office's own file.",
        error_messages={"required": "Say who asks.", "invalid_choice": "Say who asks."},
    )
    day = forms.DateField(
        label="Asked on",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": "Enter the day on which it was asked.",
            "invalid": "Enter the day on which it was asked, as 12-Mar-2027.",
        },
    )
    read_code = forms.CharField(
        label="Patient code, typed again",
        max_length=30,
        help_text="What follows cannot be undone.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium code"}),
        error_messages={"required": "Type the patient code as it stands above."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial.setdefault("day", timezone.localdate())
        self.helper = FormHelper()
        self.helper.form_tag = False
