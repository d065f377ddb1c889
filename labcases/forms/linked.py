"""Linking two cases and taking them apart."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from labcases.domain import pairs
from labcases.models import Case


class JoinForm(forms.Form):
    """Which open case of this patient makes the other arch."""

    other = forms.TypedChoiceField(
        label="Case of the other arch",
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose the case of the other arch.",
            "invalid_choice": "This case is not one of the list any more. Choose one of the list.",
        },
    )

    def __init__(self, *args: Any, cases: Sequence[Case], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        by_code = {case.code: case for case in cases}
        field = self.fields["other"]
        field.choices = [  # type: ignore[attr-defined]
            (code, f"{pairs.named(case)}, {case.get_stage_display().lower()}")
            for code, case in by_code.items()
        ]
        field.coerce = by_code.get  # type: ignore[attr-defined]


class UnlinkForm(forms.Form):
    """Why two cases are linked no more; the reason stands in both histories."""

    reason = forms.CharField(
        max_length=200,
        label="Why they are unlinked",
        error_messages={"required": "Give the reason why the cases are unlinked."},
    )
