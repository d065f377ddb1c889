"""The numbers of a try-in as boxes: vertical, centric, speech, and the patient's own teeth."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms

from labcases.domain.tryin_numbers import CLOSINGS
from labcases.enums.tryin import Closing
from labcases.forms.fields import MeasureField

BOUNDS: dict[str, tuple[str, str]] = {
    "vertical_rest_mm": ("20", "120"),
    "vertical_mm": ("20", "120"),
    "speaking_mm": ("0", "15"),
    "display_rest_mm": ("-10", "20"),
    "display_smile_mm": ("-10", "25"),
    "midline_mm": ("-10", "10"),
    "length_change_mm": ("-5", "5"),
}
LABELS = {
    "vertical_rest_mm": "Vertical at rest",
    "vertical_mm": "Vertical between the two marks",
    "speaking_mm": "Closest speaking space",
    "display_rest_mm": "Incisal display at rest",
    "display_smile_mm": "Incisal display smiling",
    "midline_mm": "Midline offset",
    "length_change_mm": "Change of length wanted",
    "lip_contact": "At F and V the front teeth",
    "patient_saw": "The patient saw",
    "patient_word": "The patient's word",
    "patient_list": "What changes, as listed",
    "patient_asked_by": "Asked by",
}
HELP = {
    "vertical_rest_mm": "Between the same two marks.",
    "vertical_mm": "Measured with the teeth together. Needed for an approval.",
    "speaking_mm": "Read at the front teeth at S. Never worked out from the freeway space.",
    "midline_mm": "Plus to the patient's left, minus to the right.",
    "length_change_mm": "Plus is longer, minus shorter, 0 is none.",
    "patient_list": "Needed when something changes.",
    "patient_asked_by": "Who of the office asked. No patient's name.",
}
#: The first number that is looked at when something is missing, by what a line needs.
FIRST = {"centric": "closing_1"}
#: Asked once already: where a prescription said it, it stands in the box.
FROM_PRESCRIPTION = {
    "display_rest_mm": "incisal_display_mm",
    "display_smile_mm": "smile_display_mm",
    "midline_mm": "midline_offset_mm",
}


def add_closings(form: forms.BaseForm, stored: Sequence[Sequence[str]]) -> None:
    """Three closings, each where and how far off."""
    for number in range(1, CLOSINGS + 1):
        where, much = stored[number - 1] if len(stored) >= number else ("", "")
        form.fields[f"closing_{number}"] = forms.ChoiceField(
            choices=[("", "Not closed"), *Closing.choices],
            label=f"Closing {number}",
            required=False,
            widget=forms.Select(attrs={"data-needed": True}),
        )
        form.fields[f"closing_{number}_mm"] = MeasureField(
            unit="mm",
            bounds=("0.05", "10"),
            label=f"Closing {number} off by",
            required=False,
            max_digits=6,
            decimal_places=2,
        )
        form.fields[f"closing_{number}_mm"].widget.attrs["data-needed"] = True
        form.initial[f"closing_{number}"] = where
        form.initial[f"closing_{number}_mm"] = Decimal(much) if much else None


def closings(form: forms.BaseForm, cleaned: dict[str, Any]) -> list[list[str]]:
    """The closings that were made, as they are stored; what does not fit stands at its box."""
    found = []
    for number in range(1, CLOSINGS + 1):
        where = str(cleaned.get(f"closing_{number}", ""))
        much = cleaned.get(f"closing_{number}_mm")
        box = f"closing_{number}_mm"
        if where in ("", Closing.SAME):
            if much is not None:
                form.add_error(box, f"Closing {number}: say where it is off, or empty the mm.")
        elif much is None and box not in form.errors:
            form.add_error(box, f"Closing {number}: enter how far it is off, in mm.")
        if where:
            found.append([where, "" if where == Closing.SAME or much is None else str(much)])
    return found
