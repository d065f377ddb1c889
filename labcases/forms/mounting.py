"""Casts on the articulator, and how the mounting was verified."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any, ClassVar

from crispy_forms.helper import FormHelper
from django import forms
from django.db.models import Q, QuerySet

from labcases.domain import casts, jaw_records
from labcases.domain.mounting import USUAL, limits_of
from labcases.domain.remounting import LONGEST_REASON
from labcases.enums import Arch, JawRecord, ReferencePlane, ReturnTo, TransferMethod, Verification
from labcases.forms.base import PartForm
from labcases.forms.chart import said
from labcases.models import Mounting
from labcases.notation import LOWER, UPPER

HOW_VERIFIED = (
    "In maximum intercuspation three spread points and named pairs hold foil ({foil} µm). In "
    "centric relation a second record agrees within {agree}, or the split cast closes (limits of "
    "the laboratory; common practice, no source)."
)


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
        "Casts": ("upper_cast", "lower_cast", "casts_inspected", "cast_note"),
        "Mounting": (
            "transfer",
            "reference_plane",
            "jaw_record",
            "record",
            "record_medium",
            "pin_zero_mm",
        ),
        "Verified against a second look": (
            "verified_by_method",
            "foil_points",
            "foil_pairs",
            "agreement_mm",
            "split_cast_closes",
        ),
    }

    transfer = said(TransferMethod, "Transfer of the upper cast")
    reference_plane = forms.ChoiceField(
        label="Plane that the upper cast is mounted to",
        choices=[("", "Not said yet"), *ReferencePlane.choices],
        required=False,
    )
    jaw_record = said(JawRecord, "Jaw record that was used", across=True)
    verified_by_method = said(
        Verification,
        "How the mounting was verified",
        help_text=HOW_VERIFIED.format(agree=USUAL.agree, foil=USUAL.foil_um),
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
            "upper_cast",
            "lower_cast",
            "casts_inspected",
            "cast_note",
            "transfer",
            "reference_plane",
            "jaw_record",
            "record",
            "record_medium",
            "pin_zero_mm",
            "verified_by_method",
            "foil_points",
            "foil_pairs",
            "agreement_mm",
            "split_cast_closes",
        )
        labels = {
            "upper_cast": "Upper cast",
            "lower_cast": "Lower cast",
            "record": "Which record, of those entered",
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
        if not self.instance.case_id:  # a form that no case has asked for offers no rows of one
            return
        case = self.instance.case
        limits = limits_of(case.laboratory)
        self.fields["verified_by_method"].help_text = HOW_VERIFIED.format(
            agree=limits.agree, foil=limits.foil_um
        )
        self._offer("upper_cast", case.casts.filter(arch=Arch.UPPER), casts.in_words)
        self._offer("lower_cast", case.casts.filter(arch=Arch.LOWER), casts.in_words)
        closed = case.taken_records.filter(kind__in=jaw_records.CLOSED)
        self._offer("record", closed, jaw_records.in_words)

    def _offer(self, name: str, rows: QuerySet[Any], words: Callable[[Any], str]) -> None:
        """Let a field choose among the rows of the case that stand, or keep what it holds."""
        field = self.fields[name]
        held = getattr(self.instance, f"{name}_id")
        field.queryset = rows.filter(  # type: ignore[attr-defined]
            Q(struck_at__isnull=True) | Q(pk=held)
        )
        field.empty_label = "None entered here is named"  # type: ignore[attr-defined]
        field.label_from_instance = words  # type: ignore[attr-defined]
        field.error_messages["invalid_choice"] = (
            "This line is struck out or belongs to another case. Choose one of the list."
        )

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


class SendBackForm(forms.Form):
    """Why a mounting is sent back, and what follows it."""

    to = forms.ChoiceField(
        label="What follows",
        choices=ReturnTo.choices,
        widget=forms.RadioSelect(attrs={"data-across": True}),
        error_messages={"required": "Choose a new mounting or a new jaw record."},
    )
    reason = forms.CharField(
        label="Why it is sent back",
        max_length=LONGEST_REASON,
        error_messages={"required": "Give the reason why the mounting is sent back."},
    )
    version = forms.IntegerField(
        widget=forms.HiddenInput,
        error_messages={"required": "Open the mounting again before you send it back."},
    )

    def __init__(self, data: Any = None, *, version: int = 0) -> None:
        super().__init__(data, auto_id="id_back_%s", initial={"version": version})
        self.helper = FormHelper()
        self.helper.form_tag = False
