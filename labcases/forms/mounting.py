"""Casts on the articulator, and how the mounting was verified."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, ClassVar

from django import forms

from labcases.enums import JawRecord, TransferMethod, Verification
from labcases.forms.base import PartForm
from labcases.forms.chart import said
from labcases.models import Mounting
from labcases.notation import LOWER, UPPER


class MountingForm(PartForm):
    bounds: ClassVar[dict[str, tuple[str, str]]] = {
        "pin_zero_mm": ("-10", "30"),
        "agreement_mm": ("0", "5"),
    }
    needed: ClassVar[tuple[str, ...]] = (
        "pin_zero_mm",
        "foil_points",
        "foil_pairs",
        "agreement_mm",
    )
    groups: ClassVar[dict[str, tuple[str, ...]]] = {
        "Casts": ("casts_inspected", "cast_note"),
        "Mounting": ("transfer", "jaw_record", "record_medium", "pin_zero_mm"),
        "Verified against a second look": (
            "verified_by_method",
            "foil_points",
            "foil_pairs",
            "agreement_mm",
            "split_cast_closes",
        ),
    }

    transfer = said(TransferMethod, "Transfer of the upper cast")
    jaw_record = said(JawRecord, "Jaw record that was used", across=True)
    verified_by_method = said(
        Verification,
        "How the mounting was verified",
        help_text="In maximum intercuspation three spread points and named pairs hold foil. In "
        "centric relation a second record agrees within 0.3 mm, or the split cast closes (common "
        "practice, no source).",
    )
    foil_points = forms.IntegerField(
        label="Points that hold foil",
        help_text="When foil was used.",
        required=False,
        min_value=0,
        max_value=32,
        widget=forms.TextInput(
            attrs={"inputmode": "numeric", "autocomplete": "off", "class": "short number"}
        ),
        error_messages={
            "invalid": "Points that hold foil: enter a whole number, for example 3.",
            "min_value": "Points that hold foil: enter 0 to 32.",
            "max_value": "Points that hold foil: enter 0 to 32.",
        },
    )

    class Meta:
        model = Mounting
        fields = (
            "casts_inspected",
            "cast_note",
            "transfer",
            "jaw_record",
            "record_medium",
            "pin_zero_mm",
            "verified_by_method",
            "foil_points",
            "foil_pairs",
            "agreement_mm",
            "split_cast_closes",
        )
        labels = {
            "casts_inspected": "Both casts are inspected: no bubbles, no broken tooth, edges sound",
            "cast_note": "What was found on the casts",
            "record_medium": "Record medium",
            "pin_zero_mm": "Pin reading at mounting (pin zero)",
            "foil_pairs": "Pairs that hold foil",
            "agreement_mm": "Second record differs by at most",
            "split_cast_closes": "The split cast closes",
        }
        help_texts = {
            "record_medium": "For example hard wax or silicone.",
            "pin_zero_mm": "Every later reading of the pin counts from here.",
            "agreement_mm": "When a second record was made.",
            "foil_pairs": "Upper and lower tooth in ISO 3950, for example 16/46, 26/36.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self.needed:
            self.fields[name].widget.attrs["data-needed"] = True

    def clean_foil_pairs(self) -> str:
        """Pairs that a colleague can find again: an upper and a lower tooth each."""
        text = str(self.cleaned_data["foil_pairs"])
        for pair in filter(None, re.split(r"\s*[,;]\s*|\s+(?=\d\d\s*/)", text.strip())):
            first, slash, second = (part.strip() for part in pair.partition("/"))
            ways = ((first, second), (second, first))
            if not slash or not any(a in UPPER and b in LOWER for a, b in ways):
                raise forms.ValidationError(
                    f"{pair} is no pair of an upper and a lower tooth in ISO 3950. Enter pairs "
                    "like 16/46, with a comma between two pairs."
                )
        return text

    def grouped(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        """The fields under the headings of the page."""
        for title, names in self.groups.items():
            yield title, [self[name] for name in names]
