"""The articulator record: every setting, named by condyle or by excursion."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, ClassVar

from django import forms
from django.forms import BoundField

from labcases.domain import bench
from labcases.enums import FrontGuide, ReferencePlane, SettingsOrigin, TableMember
from labcases.forms.base import PartForm
from labcases.models import ArticulatorRecord
from labcases.models.articulator import DEVIATIONS


@dataclass(frozen=True)
class Pair:
    """A setting that has two sides, what the sides are of, and how sure check records are."""

    label: str
    named_by: str
    right: BoundField
    left: BoundField
    right_sd: Decimal | None = None
    left_sd: Decimal | None = None


PAIRED: dict[str, tuple[str, str, str]] = {
    # setting: name of the row, what it is named by, stem of the two fields
    "condylar": ("Condylar inclination", "condyle", "deg"),
    "bennett": ("Bennett angle", "condyle", "deg"),
    "side_shift": ("Immediate side shift", "condyle", "mm"),
    "wing": ("Lateral wing", "excursion", "deg"),
}


class ArticulatorForm(PartForm):
    limits: ClassVar[dict[str, str]] = {
        "intercondylar_mm": "intercondylar_mm",
        "condylar_right_deg": "condylar_inclination_deg",
        "condylar_left_deg": "condylar_inclination_deg",
        "bennett_right_deg": "bennett_deg",
        "bennett_left_deg": "bennett_deg",
        "side_shift_right_mm": "immediate_side_shift_mm",
        "side_shift_left_mm": "immediate_side_shift_mm",
        "incisal_table_deg": "incisal_table_deg",
        "wing_right_deg": "lateral_wing_deg",
        "wing_left_deg": "lateral_wing_deg",
        "overjet_mm": "overjet_mm",
        "overbite_mm": "overbite_mm",
        "plane_tilt_deg": "plane_tilt_deg",
        "incisal_x_mm": "incisal_x_mm",
        "incisal_z_mm": "incisal_z_mm",
        "pin_x_mm": "pin_x_mm",
        "pin_z_mm": "pin_z_mm",
        "pin_opening_mm": "pin_opening_mm",
    }

    origin = forms.ChoiceField(
        choices=SettingsOrigin.choices,
        label="Where the settings come from",
        error_messages={"required": "Say where the settings come from."},
        widget=forms.RadioSelect(attrs={"data-across": True}),
    )
    reference_plane = forms.ChoiceField(
        choices=ReferencePlane.choices,
        label="Reference plane of every angle",
        widget=forms.RadioSelect(attrs={"data-across": True}),
    )
    table_on = forms.ChoiceField(
        choices=TableMember.choices,
        label="The incisal table is on the",
        widget=forms.RadioSelect(attrs={"data-across": True}),
    )
    front_guide = forms.ChoiceField(
        choices=FrontGuide.choices,
        label="What guides in front",
        widget=forms.RadioSelect(attrs={"data-across": True}),
        help_text="Where front teeth are steeper than the table they lift the pin; the clearance "
        "check then says how much.",
    )

    class Meta:
        model = ArticulatorRecord
        fields = (
            "origin",
            "reference_plane",
            "plane_tilt_deg",
            "condylar_right_deg",
            "condylar_left_deg",
            "bennett_right_deg",
            "bennett_left_deg",
            "side_shift_right_mm",
            "side_shift_left_mm",
            "wing_right_deg",
            "wing_left_deg",
            "incisal_table_deg",
            "table_on",
            "front_guide",
            "overjet_mm",
            "overbite_mm",
            "intercondylar_mm",
            "incisal_x_mm",
            "incisal_z_mm",
            "pin_x_mm",
            "pin_z_mm",
            "pin_opening_mm",
        )
        labels = {
            "plane_tilt_deg": "Tilt of that plane to the axis plane",
            "condylar_right_deg": "Condylar inclination, right condyle",
            "condylar_left_deg": "Condylar inclination, left condyle",
            "bennett_right_deg": "Bennett angle, right condyle",
            "bennett_left_deg": "Bennett angle, left condyle",
            "side_shift_right_mm": "Immediate side shift, right condyle",
            "side_shift_left_mm": "Immediate side shift, left condyle",
            "wing_right_deg": "Wing in right lateral",
            "wing_left_deg": "Wing in left lateral",
            "incisal_table_deg": "Incisal table, forward",
            "overjet_mm": "Overjet of the set-up",
            "overbite_mm": "Overbite of the set-up",
            "intercondylar_mm": "Intercondylar distance",
            "incisal_x_mm": "Incisal point, forward of the axis",
            "incisal_z_mm": "Incisal point, above the axis",
            "pin_x_mm": "Pin, forward of the axis",
            "pin_z_mm": "Pin, above the axis",
            "pin_opening_mm": "Pin opening now",
        }
        help_texts = {
            "plane_tilt_deg": "0 when the angles are read against the axis plane. Plus when the "
            "plane drops to the front.",
            "incisal_z_mm": "Minus, because it lies below the axis.",
            "pin_x_mm": "Leave both empty when the pin stands at the incisal point.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # Only the dentist's answer to a proposal says so; a record that has it may keep it.
        said = self.initial.get("origin") == SettingsOrigin.APPROVED
        self.fields["origin"].choices = [  # type: ignore[attr-defined]
            one for one in SettingsOrigin.choices if said or one[0] != SettingsOrigin.APPROVED
        ]
        if self.instance.pk is None:
            # Nobody has said so yet; a mark that was set already would be left standing unread.
            self.initial["origin"] = ""

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if bench.nothing_adopted_left(self.instance, cleaned):
            self.add_error(
                "origin",
                "No value that was adopted from check records stands any more. Say where the "
                "settings come from now.",
            )
        return cleaned

    def pairs(self) -> Iterator[Pair]:
        """The settings with two sides, in the order of the ruled table."""
        for stem, (label, named_by, unit) in PAIRED.items():
            right, left = (f"{stem}_{side}_{unit}" for side in ("right", "left"))
            yield Pair(
                label,
                named_by,
                self[right],
                self[left],
                self._deviation(right),
                self._deviation(left),
            )

    def _deviation(self, name: str) -> Decimal | None:
        """How sure check records are of a value, unless another one was typed over it."""
        if self.is_bound and name in self.changed_data:
            return None
        found: Decimal | None = getattr(self.instance, DEVIATIONS.get(name, ""), None)
        return found


class AcknowledgeForm(forms.Form):
    """Which version of the record a person had in front of them."""

    version = forms.IntegerField(widget=forms.HiddenInput)
