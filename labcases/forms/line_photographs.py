"""A photograph of the case that shows what a line of the set-up log says."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from crispy_forms.helper import FormHelper
from django import forms

from labcases.models import Attachment
from labcases.templatetags.units import long_time


class BindForm(forms.Form):
    """One of the photographs that the case has."""

    what = "bind"

    photograph = forms.ChoiceField(
        label="Photograph",
        error_messages={
            "required": "Choose a photograph of the case, or add one below.",
            "invalid_choice": "This photograph is not in the list. Choose one of it.",
        },
    )

    def __init__(self, data: Any = None, *, offered: Iterable[Attachment]) -> None:
        super().__init__(data, auto_id="id_bind_%s")
        self.offered = {str(row.pk): row for row in offered}
        self.fields["photograph"].choices = [  # type: ignore[attr-defined]
            ("", "Choose one"),
            *((key, _named(row)) for key, row in self.offered.items()),
        ]
        self.helper = FormHelper()
        self.helper.form_tag = False

    @property
    def chosen(self) -> Attachment:
        return self.offered[self.cleaned_data["photograph"]]


def _named(row: Attachment) -> str:
    told = [row.words, row.caption, long_time(row.at)]
    return ", ".join(one for one in told if one)
