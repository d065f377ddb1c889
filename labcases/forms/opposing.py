"""The step that asks what the denture meets: kind, chart, and teeth beyond the plane."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.functional import cached_property

from labcases import notation
from labcases.domain import opponent, pairs, teeth
from labcases.enums import OpposingTooth
from labcases.enums.opponent import HeightReading, Opponent
from labcases.forms.chart import ChartForm, ChartRow, said
from labcases.forms.fields import MeasureField
from labcases.models import Case, Prescription

AS_LINKED = "as linked"
"""The button that takes the arch over as the linked case makes it."""


class OpposingStep(ChartForm):
    chart_name = "opposing"
    marks = OpposingTooth
    columns = ("Natural", "Denture", "Missing")
    together = ("over_eruption_mm",)

    opponent = said(
        Opponent,
        "What the denture meets",
        help_text="The chart below says it tooth by tooth; both have to say the same.",
    )
    over_eruption_by = forms.ChoiceField(
        choices=(("", "Not said"), *HeightReading.choices),
        label="How the heights were read",
        required=False,
        help_text="Needed when a height is entered.",
    )

    class Meta:
        model = Prescription
        fields = ("opponent", "over_eruption_by")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        stored = dict(self.instance.over_eruption_mm or {})
        for tooth in self.positions:
            self.fields[f"height_{tooth}"] = MeasureField(
                unit="mm",
                limit="over_eruption_mm",
                label=f"{tooth}, {notation.name(tooth)}, beyond the plane",
                required=False,
                max_digits=4,
                decimal_places=2,
            )
            self.initial[f"height_{tooth}"] = stored.get(tooth, "")

    def _arch_to_draw(self) -> str:
        return teeth.other_arch(self.stored_arch)

    @property
    def fill_ins(self) -> list[tuple[str, str]]:
        """Whole arches that one tap marks: value of the button, and its words."""
        found = [(name, one.label) for name, one in opponent.FILL_INS.items()]
        if self.linked is not None and self.linked.prescription.teeth:
            found.append((AS_LINKED, f"As case {pairs.named(self.linked)} sets it"))
        return found

    @cached_property
    def linked(self) -> Case | None:
        """The case that makes the other arch."""
        return pairs.other(self.instance.case)

    def _as_linked(self) -> tuple[dict[str, str], str] | None:
        """Chart and kind as the linked case makes them, where that is asked for."""
        if self.data.get("fill") != AS_LINKED or self.linked is None:
            return None
        row = self.linked.prescription
        return pairs.opposing_chart(row), pairs.made(row).value

    def _wanted(self) -> tuple[dict[str, str], str] | None:
        wanted = opponent.FILL_INS.get(self.data.get("fill", ""))
        if wanted is None:
            return self._as_linked()
        marks = {tooth: wanted.mark(tooth).value for tooth in self.positions}
        return marks, wanted.kind.value if wanted.kind else ""

    def _fill(self) -> int:
        """Mark the whole arch in one act; heights of teeth that are natural no more go along."""
        wanted = self._wanted() if self.is_bound else None
        if wanted is None:
            return super()._fill()
        marks, kind = wanted
        typed = {name: self.data[name] for name in self.data}
        typed |= {f"tooth_{tooth}": mark for tooth, mark in marks.items()}
        typed |= {f"height_{t}": "" for t, mark in marks.items() if mark != OpposingTooth.NATURAL}
        if kind:
            typed["opponent"] = kind
        self.data = typed
        return len(marks)

    @property
    def fills_all(self) -> bool:
        return self.data.get("fill") in (*opponent.FILL_INS, AS_LINKED)

    def height_of(self, entry: ChartRow) -> forms.BoundField:
        return self[f"height_{entry.tooth}"]

    @property
    def lines(self) -> list[tuple[ChartRow, forms.BoundField | None]]:
        """The positions in mouth order, each with the box of its height."""
        return [(entry, self.height_of(entry)) for entry in self.rows]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        seen = cleaned.get("drawn_arch")
        if seen and seen != self.chart_arch:
            raise forms.ValidationError(
                f"The arch of the denture was changed while you had this open. It is now the "
                f"{self.stored_arch} one, so mark the {self.chart_arch} arch here."
            )
        for tooth in self.positions:
            mark = cleaned.get(f"tooth_{tooth}")
            if cleaned.get(f"height_{tooth}") is not None and mark != OpposingTooth.NATURAL:
                is_now = f"marked as '{OpposingTooth(mark).label.lower()}'" if mark else "open"
                self.add_error(
                    f"height_{tooth}",
                    f"{tooth} is {is_now}. A height is read on a natural tooth only: take it out, "
                    "or mark the tooth as natural.",
                )
        return cleaned

    def values(self) -> dict[str, Any]:
        if self.data.get("keep-over_eruption_mm") == "stored":
            return {**super().values(), "over_eruption_mm": dict(self.instance.over_eruption_mm)}
        read: dict[str, Decimal | None] = {
            tooth: self.cleaned_data.get(f"height_{tooth}") for tooth in self.positions
        }
        heights = {tooth: f"{mm.normalize():f}" for tooth, mm in read.items() if mm is not None}
        return {**super().values(), "over_eruption_mm": heights}
