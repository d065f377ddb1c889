"""Marks for the 16 positions of an arch, and choices that are all in sight."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

from django import forms
from django.db.models import TextChoices
from django.forms import BoundField

from labcases import notation
from labcases.domain import teeth
from labcases.enums import Arch
from labcases.forms.base import PartForm


def said(
    choices: type[TextChoices], label: str, *, help_text: str = "", across: bool = False
) -> forms.ChoiceField:
    """One of a few, all in sight. A draft may leave it open; signing asks for it."""
    return forms.ChoiceField(
        choices=choices.choices,
        label=label,
        help_text=help_text,
        required=False,
        widget=forms.RadioSelect(attrs={"data-needed": True, "data-across": across}),
    )


@dataclass(frozen=True)
class ChartRow:
    """One position of an arch with the field that marks it."""

    tooth: str
    field: BoundField

    @property
    def words(self) -> str:
        return notation.name(self.tooth)

    @property
    def starts_left(self) -> bool:
        """The first position of the patient's left side, behind the midline."""
        return self.tooth in ("21", "31")


class ChartForm(PartForm):
    """A form with one mark for each of the 16 positions of an arch.

    ``chart_name`` is the model field that holds the chart; ``drawn_arch`` remembers which
    arch the person saw, because another person may change it meanwhile.
    """

    chart_name: ClassVar[str]
    marks: ClassVar[type[TextChoices]]
    columns: ClassVar[tuple[str, ...]]
    """The marks once more, as short as the head of a narrow column wants them."""

    drawn_arch = forms.ChoiceField(
        choices=Arch.choices, widget=forms.HiddenInput, required=False, label="Arch"
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stored_arch = str(self.instance.arch)
        self.stored_chart = dict(getattr(self.instance, self.chart_name))
        self.chart_arch = self._arch_to_draw()
        self.positions = teeth.positions(self.chart_arch)
        self.initial["drawn_arch"] = self.chart_arch
        for tooth in self.positions:
            self.fields[f"tooth_{tooth}"] = said(self.marks, f"{tooth}, {notation.name(tooth)}")
            self.initial[f"tooth_{tooth}"] = self.stored_chart.get(tooth, "")
        self.filled = self._fill()

    def _arch_to_draw(self) -> str:
        return self.stored_arch

    def _fill(self) -> int:
        """Mark every position that is still open, when such a button was pressed."""
        mark = self.data.get("fill", "") if self.is_bound else ""
        if mark not in self.marks.values:
            return 0
        open_names = [
            name for tooth in self.positions if not self.data.get(name := f"tooth_{tooth}")
        ]
        typed = {name: self.data[name] for name in self.data}
        self.data = {**typed, **dict.fromkeys(open_names, mark)}
        return len(open_names)

    @property
    def rows(self) -> Iterator[ChartRow]:
        """The positions in mouth order, from the patient's right."""
        return (ChartRow(tooth, self[f"tooth_{tooth}"]) for tooth in self.positions)

    @property
    def lines(self) -> list[tuple[ChartRow, BoundField | None]]:
        """The same, each with a box that stands at the end of its line where there is one."""
        return [(entry, None) for entry in self.rows]

    def marked(self) -> dict[str, str]:
        """The marks as the page shows them, without what is no mark."""
        shown = {entry.tooth: entry.field.value() for entry in self.rows}
        return {tooth: mark for tooth, mark in shown.items() if mark in self.marks.values}

    @property
    def arch_changed(self) -> bool:
        """Whether the chart that was marked belongs to an arch that is no longer wanted."""
        return False

    @property
    def keeps_stored_chart(self) -> bool:
        return self.data.get(f"keep-{self.chart_name}") == "stored"

    def chart(self) -> dict[str, str]:
        """The marks as they were made, without positions that are still open."""
        marked = {tooth: self.cleaned_data.get(f"tooth_{tooth}", "") for tooth in self.positions}
        return {tooth: mark for tooth, mark in marked.items() if mark}

    def values(self) -> dict[str, Any]:
        own = {name: self.cleaned_data[name] for name in self._meta.fields or ()}
        chart = self.stored_chart if self.keeps_stored_chart else self.chart()
        return {**own, self.chart_name: chart}
