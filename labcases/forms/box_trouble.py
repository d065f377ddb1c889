"""Saying that a box is lost or not ours, and what a difference turned out to be."""

from __future__ import annotations

from typing import Any

from django import forms

from labcases.domain import differences
from labcases.enums.boxes import BoxTrouble
from labcases.models import Box, BoxItem


class TroubleForm(forms.Form):
    trouble = forms.ChoiceField(
        label="What became of the box",
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose what became of the box.",
            "invalid_choice": "Choose what became of the box; one that was counted is not lost.",
        },
    )
    note = forms.CharField(
        label="What is known",
        max_length=200,
        help_text="For example what the courier says, or whose box it seems to be. No names of "
        "patients.",
        error_messages={"required": "Write in a sentence what is known."},
    )

    def __init__(self, data: Any = None, *, box: Box) -> None:
        """Name the boxes after the box: a page holds one form for each."""
        super().__init__(data, auto_id=f"id_box{box.pk}_%s")
        self.box = box
        wanted = [BoxTrouble.NOT_OURS] if box.received_at else list(BoxTrouble)
        self.fields["trouble"].choices = [(one.value, one.label) for one in wanted]  # type: ignore[attr-defined]


class SettleForm(forms.Form):
    outcome = forms.ChoiceField(
        label="What it turned out to be",
        widget=forms.RadioSelect,
        error_messages=dict.fromkeys(
            ("required", "invalid_choice"), "Choose what the difference turned out to be."
        ),
    )
    note = forms.CharField(
        label="In a sentence",
        max_length=200,
        error_messages={"required": "Write in a sentence how it was settled."},
    )

    def __init__(self, data: Any = None, *, item: BoxItem) -> None:
        super().__init__(data, auto_id=f"id_settle{item.pk}_%s")
        self.item = item
        self.fields["outcome"].choices = [  # type: ignore[attr-defined]
            (one.value, one.label) for one in differences.outcomes(item)
        ]
