"""The record of the natural teeth: what is measured before they are extracted."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms

from labcases import notation
from labcases.domain import teeth
from labcases.enums import PhotographView
from labcases.forms.base import PartForm
from labcases.forms.fields import MeasureField
from labcases.models import Prescription
from labcases.validators import DEEPEST_POCKET_MM


class BeforeStep(PartForm):
    """What is measured on the natural teeth, because nothing can be copied later."""

    together = ("probing_mm",)
    needed: ClassVar[tuple[str, ...]] = (
        *("overjet_mm", "overbite_mm", "incisal_display_mm", "smile_display_mm"),
        *("midline_offset_mm", "vertical_rest_mm", "vertical_occlusion_mm", "photographs"),
    )
    limits: ClassVar[dict[str, str]] = {
        "overjet_mm": "overjet_mm",
        "overbite_mm": "overbite_mm",
        "interalar_mm": "interalar_mm",
    }
    bounds: ClassVar[dict[str, tuple[str, str]]] = {
        "incisal_display_mm": ("-10", "20"),
        "smile_display_mm": ("-10", "25"),
        "midline_offset_mm": ("-10", "10"),
        "vertical_rest_mm": ("20", "120"),
        "vertical_occlusion_mm": ("20", "120"),
        "canine_lines_mm": ("20", "70"),
    }

    photographs = forms.MultipleChoiceField(
        choices=[(view, view.label) for view in PhotographView if view not in ("cast", "other")],
        label="Photographs that are wanted",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="At least one: nothing can be copied later. Taken before extraction; the case "
        "is not ready to send without those that are ticked.",
    )

    class Meta:
        model = Prescription
        fields = (
            "overjet_mm",
            "overbite_mm",
            "incisal_display_mm",
            "smile_display_mm",
            "midline_offset_mm",
            "vertical_rest_mm",
            "vertical_occlusion_mm",
            "vertical_read_at",
            "interalar_mm",
            "canine_lines_mm",
            "photographs",
        )
        labels = {
            "overjet_mm": "Overjet before extraction",
            "overbite_mm": "Overbite before extraction",
            "incisal_display_mm": "Incisal display at rest",
            "smile_display_mm": "Incisal display smiling",
            "midline_offset_mm": "Midline offset",
            "vertical_rest_mm": "Vertical at rest",
            "vertical_occlusion_mm": "Vertical in occlusion",
            "vertical_read_at": "Where the vertical was read",
            "interalar_mm": "Interalar width",
            "canine_lines_mm": "Distance of the canine lines",
        }
        help_texts = {
            "overjet_mm": "Along the plane, from the lower incisal edge forward to the upper.",
            "overbite_mm": "The vertical overlap; minus when the front is open.",
            "incisal_display_mm": "Upper central incisor below the resting lip.",
            "smile_display_mm": "Upper central incisor below the lip in a full smile.",
            "midline_offset_mm": "Upper midline from the midline of the face: plus to the "
            "patient's left, minus to the right.",
            "vertical_rest_mm": "Between two marks on the face, the jaw at rest.",
            "vertical_occlusion_mm": "Between the same two marks, the teeth together.",
            "vertical_read_at": "The two marks, for example: tip of the nose and chin.",
            "interalar_mm": "Across the wings of the nose.",
            "canine_lines_mm": "Across the rim or the lips, where the canines are to stand.",
        }
        widgets = {"vertical_read_at": forms.TextInput(attrs={"data-needed": True})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self.needed:
            self.fields[name].widget.attrs["data-needed"] = True
        self.probed = teeth.to_be_extracted(self.instance)
        stored = dict(self.instance.probing_mm or {})
        for tooth in self.probed:
            self.fields[f"probe_{tooth}"] = MeasureField(
                unit="mm",
                bounds=("0", str(DEEPEST_POCKET_MM)),
                label=f"{tooth}, {notation.name(tooth)}",
                required=False,
                max_digits=3,
                decimal_places=1,
            )
            self.initial[f"probe_{tooth}"] = stored.get(tooth, "")

    @property
    def depths(self) -> list[tuple[str, str, forms.BoundField]]:
        """Each tooth that comes out, with its name and its box."""
        return [(t, notation.name(t), self[f"probe_{t}"]) for t in self.probed]

    def values(self) -> dict[str, Any]:
        own = {name: self.cleaned_data[name] for name in self._meta.fields or ()}
        if self.data.get("keep-probing_mm") == "stored":
            return {**own, "probing_mm": dict(self.instance.probing_mm)}
        read = {tooth: self.cleaned_data.get(f"probe_{tooth}") for tooth in self.probed}
        depths = {tooth: f"{abs(mm).normalize():f}" for tooth, mm in read.items() if mm is not None}
        return {**own, "probing_mm": depths}
