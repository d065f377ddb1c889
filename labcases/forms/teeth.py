"""Denture teeth that are chosen for a case, and what was measured to choose them by."""

from __future__ import annotations

from typing import Any, ClassVar

from django.forms import BoundField
from django.http import QueryDict

from labcases.enums import ToothMaterial
from labcases.forms.base import PartForm
from labcases.forms.chart import said
from labcases.models import ToothSelection

#: What the sheet of the posterior teeth says; where it is empty, each site says it for itself.
SHEET = ("tooth_height_mm", "shell_over_fossa_mm", "shell_min_mm")
CHOSEN = (
    *("anterior_mould", "front_six_mm", "posterior_mould", "posterior_four_mm", "shade"),
    *("material", "cusp_angle_deg"),
    *SHEET,
)
MEASURED = (
    *("natural_central_mm", "natural_six_mm", "opposing_six_mm", "inner_canthal_mm"),
    *("bizygomatic_mm", "interalar_mm", "hamular_notch_mm", "room_right_mm", "room_left_mm"),
)
#: Boxes that a proposal may be put into, by the person who presses its button.
MAY_BE_TAKEN = ("front_six_mm", "material", "cusp_angle_deg")


class SelectionForm(PartForm):
    limits: ClassVar[dict[str, str]] = {
        "cusp_angle_deg": "cusp_angle_deg",
        "front_six_mm": "teeth_together_mm",
        "tooth_height_mm": "tooth_height_mm",
        "shell_over_fossa_mm": "shell_over_fossa_mm",
        "shell_min_mm": "shell_min_mm",
        "natural_central_mm": "crown_width_mm",
        "opposing_six_mm": "teeth_together_mm",
        "inner_canthal_mm": "inner_canthal_mm",
        "bizygomatic_mm": "bizygomatic_mm",
        "interalar_mm": "interalar_mm",
        "hamular_notch_mm": "hamular_notch_mm",
        "room_right_mm": "posterior_room_mm",
        "room_left_mm": "posterior_room_mm",
    }
    # As many crowns of the narrowest and of the widest that the engine takes.
    bounds: ClassVar[dict[str, tuple[str, str]]] = {
        "natural_six_mm": ("18", "90"),
        "posterior_four_mm": ("20", "48"),
    }

    material = said(ToothMaterial, "Tooth material", across=True)

    class Meta:
        model = ToothSelection
        fields = (*CHOSEN, *MEASURED)
        labels = {
            "anterior_mould": "Anterior mould",
            "front_six_mm": "Its six front teeth together",
            "posterior_mould": "Posterior mould",
            "posterior_four_mm": "Its four teeth of a side together",
            "shade": "Shade",
            "tooth_height_mm": "Height of its posterior teeth",
            "shell_over_fossa_mm": "Their shell over the fossa",
            "shell_min_mm": "Least shell that their sheet asks for",
            "cusp_angle_deg": "Cusp angle",
            "natural_central_mm": "Natural central incisor, width",
            "natural_six_mm": "Natural six front teeth, width together",
            "opposing_six_mm": "Six front teeth of the other arch, width together",
            "inner_canthal_mm": "Inner corners of the eyes",
            "bizygomatic_mm": "Width of the face at the cheekbones",
            "interalar_mm": "Width of the nose",
            "hamular_notch_mm": "Hamular notches",
            "room_right_mm": "Room behind the right canine",
            "room_left_mm": "Room behind the left canine",
        }
        help_texts = {
            "cusp_angle_deg": "Against the base of the tooth, as the maker states it. It counts "
            "for every denture tooth whose cusps callipers did not read.",
            "shell_min_mm": "After hollow-grinding and grinding in. No figure is built in: enter "
            "what the material sheet of this tooth line says. It counts at every site without a "
            "number of its own, as the two above do.",
            "natural_central_mm": "On the teeth or a cast from before the extraction.",
            "natural_six_mm": "From canine to canine along the crowns, added up.",
            "hamular_notch_mm": "From notch to notch on the upper cast.",
            "room_right_mm": "Along the ridge to where the tuberosity or the retromolar pad "
            "begins to rise.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in MEASURED:
            # The head of the group says that they are optional, once for all of them.
            self.fields[name].widget.attrs["data-needed"] = True

    @property
    def chosen(self) -> list[BoundField]:
        return [self[name] for name in CHOSEN]

    @property
    def measured(self) -> list[BoundField]:
        return [self[name] for name in MEASURED]


def with_taken(data: QueryDict, take: str) -> tuple[QueryDict, str]:
    """The posted boxes with one proposal put in, and the name of its box, or nothing."""
    name, _, value = take.partition("=")
    if name not in MAY_BE_TAKEN or not value:
        return data, ""
    changed: Any = data.copy()
    changed[name] = value
    return changed, name
