"""Opening the case of a denture that is made again."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from django import forms

from labcases.reference.reviews import OTHER, remake_reasons


class RemakeForm(forms.Form):
    """Why the denture is made again: a reason of the list, and words."""

    reason = forms.ChoiceField(
        label="Reason",
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose the reason.",
            "invalid_choice": "Choose the reason.",
        },
    )
    in_words = forms.CharField(
        label="In words",
        max_length=300,
        required=False,
        help_text="Needed for another reason. It stands in the history of both cases.",
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].choices = list(remake_reasons().items())  # type: ignore[attr-defined]
        self.helper = FormHelper()
        self.helper.form_tag = False

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if cleaned.get("reason") == OTHER and not cleaned.get("in_words", "").strip():
            self.add_error("in_words", "Say the reason in words.")
        return cleaned
