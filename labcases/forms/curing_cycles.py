"""A laboratory's own curing cycle, as the instructions of a material say it."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from crispy_forms.helper import FormHelper
from django import forms
from django.core.exceptions import ValidationError

from labcases.domain import curing_cycles, own_materials
from labcases.domain.pouring import span
from labcases.domain.stock import tidy
from labcases.forms.fields import MeasureField
from labcases.forms.own_materials import offer
from labcases.models import CuringCycle, Organisation
from labcases.models.curing import LONGEST_MINUTES

PHASES = 4
_HOURS = re.compile(r"(\d+(?:\.\d+)?)\s*h(?:\s*(\d+)\s*(?:min)?)?")
_MINUTES = re.compile(r"(\d+)\s*(?:min)?")


class TimeSpanField(forms.CharField):
    """Minutes, as instructions write them: 90, 90 min, 2 h, 1.5 h, 1 h 30 min.

    Cleans to whole minutes, or to nothing where it is left empty.
    """

    def __init__(self, **options: Any) -> None:
        options.setdefault(
            "widget", forms.TextInput(attrs={"class": "short", "autocomplete": "off"})
        )
        super().__init__(max_length=20, required=False, **options)

    def clean(self, value: Any) -> int | None:
        text = str(super().clean(value)).strip().lower().replace(",", ".")
        if not text:
            return None
        hours, minutes = _HOURS.fullmatch(text), _MINUTES.fullmatch(text)
        if hours:
            found = float(hours[1]) * 60 + int(hours[2] or 0)
        elif minutes:
            found = float(minutes[1])
        else:
            raise ValidationError(f"{self.label}: write the time like 90 min or 1 h 30 min.")
        if found != int(found) or found > LONGEST_MINUTES:
            raise ValidationError(
                f"{self.label}: enter whole minutes, at most {LONGEST_MINUTES} (three days)."
            )
        return int(found)

    def prepare_value(self, value: Any) -> Any:
        return span(value) if isinstance(value, int) else value


class CycleForm(forms.Form):
    """Material and name stand fast once a cycle is entered; each change is a new edition."""

    material = forms.CharField(
        label="Material",
        max_length=120,
        help_text="The product as its label says.",
        error_messages={"required": "Enter the product as its label says it."},
    )
    name = forms.CharField(
        label="Name of the cycle",
        max_length=80,
        help_text="For example short, overnight.",
        error_messages={"required": "Give the cycle a name."},
    )
    technique = forms.ChoiceField(
        label="Technique",
        choices=[],
        error_messages={"required": "Choose the technique."},
    )
    dwell_minutes = TimeSpanField(label="In the press before", help_text="Leave empty for none.")
    bench_minutes = TimeSpanField(label="Cooling on the bench")
    water_minutes = TimeSpanField(label="Cooling in water")
    boiling_start = forms.BooleanField(
        label="The instructions let it begin in boiling water", required=False
    )
    instructions = forms.CharField(
        label="Instructions",
        max_length=240,
        help_text="Which ones: their title with issue or date. They go before every other figure.",
        error_messages={"required": "Say which instructions it follows."},
    )
    in_use = forms.BooleanField(label="In use", required=False, initial=True)
    why = forms.CharField(label="Why it changes", max_length=200, required=False)
    edition = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(
        self,
        data: Any = None,
        *,
        row: CuringCycle | None = None,
        laboratory: Organisation | None = None,
        material: str = "",
    ) -> None:
        super().__init__(data, initial=self._stored(row) or {"material": material})
        self.laboratory = laboratory
        if laboratory is not None:
            offer(self, "material", own_materials.to_choose(laboratory))
        self.row = row
        self.fields["technique"].choices = [  # type: ignore[attr-defined]
            ("", "Choose one"),
            *((one.value, one.label) for one in curing_cycles.techniques()),
        ]
        self._add_phases(row)
        if row is None:
            for name in ("why", "edition", "in_use"):
                del self.fields[name]
        else:
            for name in ("material", "name"):
                del self.fields[name]
        self.helper = FormHelper()
        self.helper.form_tag = False

    @staticmethod
    def _stored(row: CuringCycle | None) -> dict[str, Any]:
        if row is None:
            return {}
        names = ("technique", "dwell_minutes", "bench_minutes", "water_minutes", "boiling_start")
        return {name: getattr(row, name) for name in (*names, "instructions", "in_use", "edition")}

    def _add_phases(self, row: CuringCycle | None) -> None:
        """Four parts of time and temperature, right after the press."""
        parts: dict[str, forms.Field] = {}
        for number in range(PHASES):
            stored = row.phases[number] if row and number < len(row.phases) else (None, None)
            parts[f"minutes_{number}"] = TimeSpanField(
                label=f"Part {number + 1}, time",
                initial=stored[0],
                help_text="For example 90 min, 1 h 30 min." if number == 0 else "",
            )
            parts[f"celsius_{number}"] = MeasureField(
                unit="C",
                bounds=("0", "300"),
                max_digits=4,
                decimal_places=1,
                label=f"Part {number + 1}, temperature",
                required=False,
                initial=None if stored[1] is None else Decimal(str(stored[1])),
            )
        fields: dict[str, forms.Field] = {}
        for name, field in self.fields.items():
            fields[name] = field
            if name == "dwell_minutes":
                fields |= parts
        self.fields = fields

    def clean_material(self) -> str:
        said = str(self.cleaned_data["material"])
        return own_materials.spelled(self.laboratory, said) if self.laboratory else said

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        found = []
        for number in range(PHASES):
            minutes = cleaned.pop(f"minutes_{number}", None)
            celsius = cleaned.pop(f"celsius_{number}", None)
            if minutes:
                found.append((minutes, celsius))
            elif celsius is not None and f"minutes_{number}" not in self.errors:
                self.add_error(
                    f"minutes_{number}", f"Part {number + 1} has a temperature and no time."
                )
        if not found and not any(name.startswith("minutes_") for name in self.errors):
            self.add_error("minutes_0", "Enter at least one part of the cycle with its time.")
        cleaned["phases"] = curing_cycles.phases_of(found)
        for name in ("dwell_minutes", "bench_minutes", "water_minutes"):
            cleaned[name] = cleaned.get(name) or 0
        return cleaned

    def values(self) -> dict[str, Any]:
        """What the domain verbs store."""
        return {
            name: tidy(value) if isinstance(value, str) else value
            for name, value in self.cleaned_data.items()
            if name not in ("why", "edition")
        }
