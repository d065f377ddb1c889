"""How stone teeth were cut and the cast was trimmed: one line for all teeth of one way."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from crispy_forms.helper import FormHelper
from django import forms

from labcases import notation as numbers
from labcases.domain import trimming
from labcases.enums import Arch, Notation, TrimMethod
from labcases.forms.choices import OrderField
from labcases.forms.fields import MeasureField
from labcases.models import Case
from labcases.templatetags.units import tooth_number

# No cast is trimmed further (common practice, no source).
TRIM_MM = ("0", "10")
DEPTHS = ("labial_mm", "crest_mm", "palatal_mm")
ALL = "all"


@dataclass(frozen=True)
class TrimRow:
    """The boxes of one tooth, or of all teeth at once."""

    tooth: str
    name: str
    boxes: list[forms.BoundField]


class TrimForm(forms.Form):
    """A line of the trimming. It cleans; ``domain.trimming.log`` stores.

    Parameters
    ----------
    case : Case
        Whose prescription says which stone teeth stand on the cast.
    notation : str
        The notation that teeth are typed in.
    """

    what = "trim"

    method = forms.ChoiceField(
        label="Way of trimming",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the way in which the cast was trimmed."},
    )
    words = forms.CharField(
        label="How, if it is another way",
        max_length=200,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    note = forms.CharField(
        label="Note",
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, data: Any = None, *, case: Case, notation: str = Notation.ISO_3950) -> None:
        super().__init__(data, auto_id="id_trim_%s")
        self.case = case
        self.notation = notation
        self.arch = case.prescription.arch
        self.on_cast = trimming.on_the_cast(case.prescription)
        told = trimming.of(case)
        self.fields["method"].choices = [  # type: ignore[attr-defined]
            (method.value, method.label) for method in trimming.methods_for(self.arch)
        ]
        self.fields["order"] = OrderField(
            notation=notation,
            label="Order of removal",
            help_text="The teeth of this line, the first that was cut first.",
            error_messages={"required": "Enter the teeth in the order in which they were cut."},
        )
        if told.methods:
            self.initial["method"] = told.methods[-1].value
        self.initial["order"] = self._list(told.not_yet or self.on_cast)
        for tooth in (ALL, *self.on_cast):
            for depth in DEPTHS:
                self.fields[f"{tooth}-{depth}"] = self._depth(tooth, depth)
            if tooth != ALL:
                self.fields[f"{tooth}-apical_third"] = forms.BooleanField(
                    label=f"{self._show(tooth)}: into the apical third", required=False
                )
        self.order_fields(["method", "words", "order", *self.fields])
        self.helper = FormHelper()
        self.helper.form_tag = False

    @property
    def heads(self) -> list[str]:
        """Heads of the columns of the table."""
        return ["Labial", "Crest", self._inner, "Into the apical third"]

    @property
    def rows(self) -> list[TrimRow]:
        return [
            TrimRow(
                self._show(tooth),
                numbers.name(tooth),
                [self[f"{tooth}-{name}"] for name in (*DEPTHS, "apical_third")],
            )
            for tooth in self.on_cast
        ]

    @property
    def shared(self) -> list[forms.BoundField]:
        """Boxes whose number goes to every tooth of the line that has none of its own."""
        return [self[f"{ALL}-{name}"] for name in DEPTHS]

    @property
    def _inner(self) -> str:
        return "Palatal" if self.arch == Arch.UPPER else "Lingual"

    def _depth(self, tooth: str, depth: str) -> MeasureField:
        side = dict(zip(DEPTHS, ("labial", "crest", self._inner.lower()), strict=True))[depth]
        whose = "All teeth" if tooth == ALL else self._show(tooth)
        return MeasureField(
            unit="mm",
            bounds=TRIM_MM,
            max_digits=6,
            decimal_places=2,
            required=False,
            label=f"{whose}: {side}",
        )

    def _list(self, wanted: Any) -> str:
        return " ".join(self._show(tooth) for tooth in wanted)

    def _show(self, tooth: str) -> str:
        return tooth_number(tooth, self.notation)

    def clean_order(self) -> list[str]:
        wanted: list[str] = self.cleaned_data["order"]
        away = [tooth for tooth in wanted if tooth not in self.on_cast]
        if away:
            raise forms.ValidationError(
                f"{self._list(away)}: no stone tooth of this cast that stands until surgery. "
                f"Those are {self._list(self.on_cast) or 'none'}.",
                code="teeth",
            )
        return wanted

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if cleaned.get("method") == TrimMethod.OTHER and not cleaned.get("words", "").strip():
            self.add_error("words", "Say in words how the cast was trimmed.")
        if "order" not in cleaned:
            return cleaned
        wanted = cleaned["order"]
        for tooth in wanted:
            name = f"{tooth}-labial_mm"
            if name not in self.errors and self._told(tooth, "labial_mm") is None:
                self.add_error(
                    name,
                    f"{self._show(tooth)}: enter how much is gone labially, 0 where nothing is.",
                )
        left_out = [tooth for tooth in self.on_cast if tooth not in wanted and self._filled(tooth)]
        if left_out:
            self.add_error(
                "order",
                f"{self._list(left_out)} has entries below and is not in the order of removal. "
                "Add it here, or empty its boxes.",
            )
        return cleaned

    def _filled(self, tooth: str) -> bool:
        names = (*DEPTHS, "apical_third")
        return any(self.cleaned_data.get(f"{tooth}-{name}") not in (None, False) for name in names)

    def _told(self, tooth: str, depth: str) -> Decimal | None:
        own: Decimal | None = self.cleaned_data.get(f"{tooth}-{depth}")
        return self.cleaned_data.get(f"{ALL}-{depth}") if own is None else own

    def values(self) -> dict[str, Any]:
        """What ``domain.trimming.log`` takes."""
        told = self.cleaned_data
        other = told["method"] == TrimMethod.OTHER
        return {
            "method": told["method"],
            "words": told["words"].strip() if other else "",
            "note": told["note"].strip(),
            "trims": [
                {
                    "tooth": tooth,
                    **{depth: self._told(tooth, depth) for depth in DEPTHS},
                    "apical_third": told[f"{tooth}-apical_third"],
                }
                for tooth in told["order"]
            ],
        }
