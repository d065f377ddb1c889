"""A disinfection of what came in a box: with what, how long, by whom and when."""

from __future__ import annotations

from typing import Any

from django import forms

from labcases.forms.moments import MomentField
from labcases.models import BoxItem

MOST_MINUTES = 1440
"""A day: the longest soak that is entered in minutes (common practice, no source)."""


def _minutes(label: str, missing: str) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        min_value=1,
        max_value=MOST_MINUTES,
        widget=forms.TextInput(
            attrs={"inputmode": "numeric", "class": "short", "data-unit": "min"}
        ),
        error_messages={
            "required": missing,
            "invalid": f"{label}: enter whole minutes.",
            "min_value": f"{label}: enter 1 to {MOST_MINUTES} minutes.",
            "max_value": f"{label}: enter 1 to {MOST_MINUTES} minutes.",
        },
    )


class DisinfectionForm(forms.Form):
    """Nothing is filled in but the name of the person at the page, who may write another."""

    agent = forms.CharField(
        label="Disinfected with",
        max_length=80,
        error_messages={"required": "Enter the agent that it was disinfected with."},
    )
    label_minutes = _minutes("Minutes on the label", "Enter the minutes that the label asks for.")
    actual_minutes = _minutes("Minutes given", "Enter the minutes that it was given.")
    done_by = forms.CharField(
        label="Disinfected by",
        max_length=120,
        error_messages={"required": "Enter who disinfected it."},
    )
    done_at = MomentField(
        label="When", error_messages={"required": "Enter when it was disinfected."}
    )

    def __init__(self, data: Any = None, *, item: BoxItem, name: str = "") -> None:
        """Name the boxes after the item: a page holds one form for each."""
        super().__init__(data, auto_id=f"id_item{item.pk}_%s", initial={"done_by": name})
        self.item = item
