"""A front tooth that is set otherwise than the natural one."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from django import forms

from labcases import notation as numbers
from labcases.domain import arrangement, teeth
from labcases.enums import Notation
from labcases.enums.arrangement import Deviation, WantedBy
from labcases.forms.fields import MeasureField
from labcases.models import Case
from labcases.templatetags.units import tooth_number

# What no arrangement exceeds (common practice, no source).
AMOUNT_MM, AMOUNT_DEG = ("0.1", "10"), ("0.5", "90")


class ArrangementForm(forms.Form):
    """A line of one tooth. It cleans; ``domain.arrangement.log`` stores."""

    what = "arrange"

    tooth = forms.ChoiceField(
        label="Tooth", error_messages={"required": "Choose the tooth that is set otherwise."}
    )
    deviation = forms.ChoiceField(
        label="Set how",
        choices=[("", "Choose one"), *Deviation.choices],
        error_messages={"required": "Choose how the tooth is set otherwise."},
    )
    amount_mm = MeasureField(
        unit="mm",
        bounds=AMOUNT_MM,
        max_digits=6,
        decimal_places=2,
        required=False,
        label="By how much, if moved",
    )
    amount_deg = MeasureField(
        unit="°",
        bounds=AMOUNT_DEG,
        max_digits=5,
        decimal_places=1,
        required=False,
        label="By how much, if turned or tipped",
    )
    words = forms.CharField(
        label="In words",
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    wanted_by = forms.ChoiceField(
        label="Wanted by",
        choices=WantedBy.choices,
        widget=forms.RadioSelect(attrs={"data-across": True}),
        error_messages={"required": "Say who wants it: the prescription, or the technician."},
    )

    def __init__(self, data: Any = None, *, case: Case, notation: str = Notation.ISO_3950) -> None:
        super().__init__(data, auto_id="id_arrange_%s")
        row = case.prescription
        front = [t for t in teeth.replaced(row) if not numbers.is_posterior(t)]
        self.fields["tooth"].choices = [  # type: ignore[attr-defined]
            ("", "Choose one"),
            *((t, f"{tooth_number(t, notation)}, {numbers.name(t)}") for t in front),
        ]
        self.helper = FormHelper()
        self.helper.form_tag = False

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        kind = cleaned.get("deviation")
        if not kind:
            return cleaned
        if kind == Deviation.OTHER and not cleaned.get("words", "").strip():
            self.add_error("words", "Say in words how the tooth is set otherwise.")
        turned = kind in arrangement.IN_DEG
        wrong = "amount_mm" if turned else "amount_deg"
        if cleaned.get(wrong) is not None:
            label = Deviation(kind).label
            told, other = ("deg", "mm") if turned else ("mm", "deg")
            self.add_error(
                wrong,
                f"{label} is told in {told}, and {cleaned[wrong].normalize():f} {other} stands "
                "here. Empty this box, or choose another way.",
            )
        return cleaned

    def values(self) -> dict[str, Any]:
        """What ``domain.arrangement.log`` takes."""
        return {**self.cleaned_data, "words": self.cleaned_data["words"].strip()}
