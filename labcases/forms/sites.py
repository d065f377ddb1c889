"""What callipers read at each posterior site: one row of a ruled table each."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.http import QueryDict

from labcases import notation as numbers
from labcases.domain.calculations.inputs import CALLIPER
from labcases.enums import Notation, SpaceFrom
from labcases.forms.base import PartForm
from labcases.models import SiteMeasure

HEIGHT = (
    "space_mm",
    "space_from",
    "base_min_mm",
    "relief_mm",
    "tooth_height_mm",
    "shell_over_fossa_mm",
    "shell_min_mm",
    "ample",
)
# What is often the same at every site, so that one row may fill the empty boxes of all.
SHARED = ("base_min_mm", "tooth_height_mm", "shell_over_fossa_mm", "shell_min_mm")


class ToothForm(PartForm):
    """Form and place of one tooth; its prefix is the tooth: ``46-tilt_deg`` names one box.

    Every box carries what it showed, so that a row that this person did not touch is left
    alone, also when somebody else changed it meanwhile.
    """

    limits: ClassVar[dict[str, str]] = {
        "space_mm": "space_mm",
        "base_min_mm": "base_min_mm",
        "relief_mm": "relief_mm",
        "tooth_height_mm": "tooth_height_mm",
        "shell_over_fossa_mm": "shell_over_fossa_mm",
        "shell_min_mm": "shell_min_mm",
        "cusp_angle_deg": "cusp_angle_deg",
        "tip_separation_mm": "tip_separation_mm",
        "mesiodistal_mm": "crown_width_mm",
        "buccolingual_mm": "crown_width_mm",
        "tip_height_mm": "tip_height_mm",
        "tilt_deg": "tooth_tilt_deg",
    }
    bounds: ClassVar[dict[str, tuple[str, str]]] = {
        "behind_incisal_mm": ("0", "80"),
        "from_midline_mm": ("0", "50"),
    }

    notation = Notation.ISO_3950
    """Tooth numbers of the reader; the names of the boxes are ISO whoever reads."""

    class Meta:
        model = SiteMeasure
        fields: tuple[str, ...] = CALLIPER
        labels: ClassVar[dict[str, str]] = {
            "space_mm": "Space",
            "base_min_mm": "Least base",
            "relief_mm": "Relief",
            "tooth_height_mm": "Tooth height",
            "shell_over_fossa_mm": "Shell over the fossa",
            "shell_min_mm": "Least shell",
            "ample": "Ample",
            "cusp_angle_deg": "Cusp angle",
            "tip_separation_mm": "Tips apart",
            "mesiodistal_mm": "Mesiodistal",
            "buccolingual_mm": "Buccolingual",
            "tip_height_mm": "Tips above the curve",
            "tilt_deg": "Tilt",
            "behind_incisal_mm": "Behind the incisal point",
            "from_midline_mm": "From the midline",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self._meta.fields or ():
            self.fields[name].show_hidden_initial = True
            self.fields[name].widget.attrs["data-needed"] = True

    @property
    def row_name(self) -> str:
        return numbers.show(str(self.prefix), self.notation).partition(" ")[0]

    @property
    def second_number(self) -> str:
        """The tooth in the notation that the reader does not use."""
        return numbers.show(str(self.prefix), self.notation).partition(" ")[2]

    @property
    def touched(self) -> bool:
        """Whether this person changed anything of what the page showed."""
        kept = any(name.startswith(f"keep-{self.prefix}-") for name in self.data)
        return kept or bool(set(self.changed_data) - {"version"})

    def values(self) -> dict[str, Any]:
        """Only what this person changed, so that a neighbour's box is never written back."""
        kept = {name for name in self.fields if self.data.get(f"keep-{self.prefix}-{name}")}
        return {
            name: self.cleaned_data[name]
            for name in self._meta.fields or ()
            if name in self.changed_data or name in kept
        }

    @property
    def calliper_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in CALLIPER]


class SiteForm(ToothForm):
    """One site of the denture: its height as well."""

    space_from = forms.ChoiceField(choices=SpaceFrom.choices, label="Space from")

    class Meta(ToothForm.Meta):
        fields = (*HEIGHT, *CALLIPER)

    @property
    def height_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in HEIGHT]


class SharedForm(PartForm):
    """One row whose numbers go into every box of its column that is still empty."""

    limits = {name: name for name in SHARED}

    class Meta:
        model = SiteMeasure
        fields = SHARED
        labels = {name: SiteForm.Meta.labels[name] for name in SHARED}


TICK = "tick"
"""The button that says of a site, or of all that are not measured, that its height is ample."""


def with_ticked(data: QueryDict, sites: list[str]) -> QueryDict:
    """The posted boxes with one site ticked as ample, or all of these that have no space."""
    wanted = data.get(TICK, "")
    ticked = data.copy()
    for tooth in sites:
        unread = wanted == "all" and not data.get(f"{tooth}-space_mm", "").strip()
        if wanted == tooth or unread:
            ticked[f"{tooth}-ample"] = "on"
    return ticked


def with_shared(data: QueryDict, sites: list[str]) -> QueryDict:
    """The posted boxes, the empty ones filled from the shared row; ample sites stay as they are."""
    filled = data.copy()
    for name in SHARED:
        shared = data.get(f"all-{name}", "").strip()
        for tooth in sites:
            if shared and not filled.get(f"{tooth}-{name}") and not filled.get(f"{tooth}-ample"):
                filled[f"{tooth}-{name}"] = shared
    return filled
