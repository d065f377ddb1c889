"""A jaw record as it was taken: which relation, of what, when, by whom, at which vertical."""

from __future__ import annotations

from typing import Any

from django import forms

from labcases.enums import RecordKind
from labcases.forms.casts import LogForm, note_field, pick, text
from labcases.forms.fields import MeasureField
from labcases.forms.moments import MomentField
from labcases.models import Case


class JawRecordForm(LogForm):
    what = "record"
    title = "Enter a jaw record"
    button = "Enter the record"

    kind = pick("What it holds", RecordKind.choices, missing="Choose what the record holds.")
    material = text("Material", help_text="For example hard wax, silicone, resin.")
    taken_at = MomentField(
        label="Taken", error_messages={"required": "Enter when the record was taken."}
    )
    taken_by = forms.CharField(
        label="Taken by",
        max_length=80,
        error_messages={"required": "Enter who took the record."},
    )
    vertical_mm = MeasureField(
        unit="mm",
        bounds=("20", "120"),
        max_digits=6,
        decimal_places=2,
        label="Vertical at which it was taken",
        required=False,
        help_text="Between the two points on the face that the office measures.",
    )
    note = note_field()

    def __init__(self, data: Any = None, *, case: Case) -> None:
        super().__init__(data, case=case)
        self.initial["taken_by"] = case.prescription.signed_name
