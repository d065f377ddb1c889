"""Check records: gaps behind in a protrusive record, or points of the lower cast."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from crispy_forms.helper import FormHelper
from django import forms
from django.forms import BoundField

from labcases import notation as numbers
from labcases.domain import teeth
from labcases.domain.records import ADOPTABLE
from labcases.enums import CheckRecordKind, Notation
from labcases.forms.fields import MeasureField
from labcases.models import Case, CheckRecord
from labcases.templatetags.units import tooth_words

K = CheckRecordKind

FEWEST_POINTS, MOST_POINTS = 3, 6
AXES = {"x": "forward of the axis", "y": "to the patient's left", "z": "above the axis"}

# What a record at the bench can show (common practice, no source).
ADVANCE_MM = ("0.5", "15")
GAP_MM = ("0", "15")
FIRST_MOLAR = "6"


class RecordForm(forms.Form):
    """What every kind of record shares: its kind, a note, and identifiers of its own."""

    kind = K.GAP

    note = forms.CharField(
        max_length=200,
        required=False,
        label="Note",
        help_text="Material, who made it, what was odd.",
    )

    def __init__(self, data: Any = None, *, kind: K) -> None:
        super().__init__(data, auto_id=f"id_{kind.name.lower()}_%s")
        self.kind = kind
        self.helper = FormHelper()
        self.helper.form_tag = False

    @property
    def title(self) -> str:
        return str(self.kind.label)

    def values(self) -> dict[str, Any]:
        """What ``domain.records.add`` stores."""
        return {"kind": self.kind, **self.cleaned_data}


class GapForm(RecordForm):
    """A protrusive record read with callipers: advance in front, gap behind on both sides."""

    advance_mm = MeasureField(
        unit="mm",
        bounds=ADVANCE_MM,
        max_digits=6,
        decimal_places=2,
        label="Advance at the incisors",
        help_text="How far forward the record holds the lower incisors. 5 to 6 mm read best; a "
        "shorter one says little.",
    )
    right_gap_mm = MeasureField(
        unit="mm", bounds=GAP_MM, max_digits=6, decimal_places=2, label="Gap on the right"
    )
    left_gap_mm = MeasureField(
        unit="mm", bounds=GAP_MM, max_digits=6, decimal_places=2, label="Gap on the left"
    )

    facet_deg = MeasureField(
        unit="°",
        limit="facet_deg",
        max_digits=5,
        decimal_places=1,
        initial=0,
        label="Slope of the surface that the gap is read to",
        help_text="0 for flat rims. Between cusps, the slope of the upper incline along the path.",
    )

    field_order = (
        *("advance_mm", "right_tooth", "right_gap_mm", "left_tooth", "left_gap_mm"),
        *("facet_deg", "note"),
    )

    def __init__(self, data: Any = None, *, case: Case, notation: str = Notation.ISO_3950) -> None:
        super().__init__(data, kind=K.GAP)
        behind = [
            tooth
            for tooth in teeth.positions(case.prescription.arch)
            if numbers.is_posterior(tooth)
        ]
        for side in ("right", "left"):
            here = [tooth for tooth in behind if numbers.side_of(tooth) == side]
            self.fields[f"{side}_tooth"] = forms.ChoiceField(
                label=f"Read at, {side}",
                choices=[(tooth, tooth_words(tooth, notation)) for tooth in here],
                initial=next(tooth for tooth in here if tooth[1] == FIRST_MOLAR),
                error_messages={"required": f"Choose the tooth where the {side} gap was read."},
            )
        self.order_fields(self.field_order)


@dataclass(frozen=True)
class PointRow:
    """One point of the table: its name, or the box for it, and its three boxes."""

    label: str
    name: BoundField | None
    boxes: list[BoundField]

    @property
    def errors(self) -> bool:
        return any(box.errors for box in self.boxes) or bool(self.name and self.name.errors)


class PointsForm(RecordForm):
    """Points of the lower cast, once with the casts closed or held by a record.

    Parameters
    ----------
    kind : CheckRecordKind
        Closed, or the movement that the record holds.
    closed : CheckRecord, optional
        The points with the casts closed; their names stand fixed in every other record.
    """

    def __init__(self, data: Any = None, *, kind: K, closed: CheckRecord | None = None) -> None:
        super().__init__(data, kind=kind)
        self.fixed = [] if kind == K.CLOSED or closed is None else list(closed.points)
        self.count = len(self.fixed) or MOST_POINTS
        for row in range(1, self.count + 1):
            label = self.fixed[row - 1] if self.fixed else f"Point {row}"
            needed = bool(self.fixed) or row <= FEWEST_POINTS
            if not self.fixed:
                self.fields[f"name_{row}"] = forms.CharField(
                    max_length=20,
                    label=f"{label}, name",
                    required=needed,
                    initial="ABCDEF"[row - 1] if needed else "",
                    error_messages={"required": f"{label}: give it a name."},
                )
            for axis, words in AXES.items():
                self.fields[f"{axis}_{row}"] = MeasureField(
                    unit="mm",
                    limit="coordinate_mm",
                    label=f"{label}, {words}",
                    required=needed,
                    max_digits=6,
                    decimal_places=2,
                )

    @property
    def rows(self) -> Iterator[PointRow]:
        """The table, a point to a row."""
        for row in range(1, self.count + 1):
            yield PointRow(
                label=self.fixed[row - 1] if self.fixed else f"Point {row}",
                name=None if self.fixed else self[f"name_{row}"],
                boxes=[self[f"{axis}_{row}"] for axis in AXES],
            )

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return cleaned
        points: dict[str, list[float]] = {}
        for row in range(1, self.count + 1):
            name = self.fixed[row - 1] if self.fixed else cleaned[f"name_{row}"].strip()
            point = [cleaned[f"{axis}_{row}"] for axis in AXES]
            if not name and all(one is None for one in point):
                continue
            if not name or any(one is None for one in point):
                self.add_error(
                    f"{'name' if not name else 'x'}_{row}",
                    f"Point {row} is half filled. Give its name and three numbers, or none.",
                )
            elif name in points:
                self.add_error(
                    f"name_{row}", f"Two points are called {name}. Give each a name of its own."
                )
            else:
                points[name] = [float(one) for one in point]
        return {"points": points, "note": cleaned["note"]}


class AdoptForm(forms.Form):
    """Which values of which proposal a person takes, and which versions were on the page."""

    version = forms.IntegerField()
    method = forms.CharField()
    digest = forms.CharField()
    take = forms.MultipleChoiceField(
        choices=[(name, name) for name in ADOPTABLE],
        error_messages={"required": "Tick the values that the articulator record is to take."},
    )
