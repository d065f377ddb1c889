"""Five short steps of a prescription."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms

from labcases.domain import teeth
from labcases.enums import (
    Allergy,
    Arch,
    BaseMaterial,
    Flange,
    JawRecord,
    OpposingTooth,
    Route,
    Scheme,
    SetUpOrder,
    ToothMaterial,
    ToothStatus,
    TryInWish,
)
from labcases.forms.base import PartForm
from labcases.forms.chart import ChartForm, said
from labcases.forms.dates import DateField
from labcases.models import Prescription


class TeethStep(ChartForm):
    chart_name = "teeth"
    marks = ToothStatus
    columns = ("Lost", "Out before records", "Out at surgery", "Stays")

    route = forms.ChoiceField(choices=Route.choices, widget=forms.RadioSelect, label="Route")
    set_up_order = forms.ChoiceField(
        choices=SetUpOrder.choices, widget=forms.RadioSelect, label="Set-up order"
    )
    arch = forms.ChoiceField(
        choices=Arch.choices,
        widget=forms.RadioSelect(attrs={"data-across": True}),
        label="Arch that receives the denture",
        help_text="Another arch empties both tooth charts, this one and the opposing one.",
    )
    first_extraction_on = DateField(
        label="First extraction",
        required=False,
        help_text="The day on which the first teeth come out, before the records: conventional "
        "route only. 6 to 8 weeks of healing are the textbook figure.",
    )

    class Meta:
        model = Prescription
        fields = ("route", "set_up_order", "arch", "first_extraction_on")

    def _arch_to_draw(self) -> str:
        seen = self.data.get("drawn_arch", "") if self.is_bound else ""
        return seen if seen in Arch.values else self.stored_arch

    @property
    def arch_changed(self) -> bool:
        return bool(self.cleaned_data["arch"] not in (self.chart_arch, self.stored_arch))

    def values(self) -> dict[str, Any]:
        """The step's values; a chart of the arch that was left is not carried over."""
        values = super().values()
        wanted = values["arch"]
        if wanted == self.stored_arch and (self.keeps_stored_chart or wanted != self.chart_arch):
            return {**values, "teeth": self.stored_chart}
        if wanted == self.chart_arch:
            moved: dict[str, Any] = {} if wanted == self.stored_arch else {"opposing": {}}
            return {**values, "teeth": self.chart(), **moved}
        return {**values, "teeth": {}, "opposing": {}}


class OpposingStep(ChartForm):
    chart_name = "opposing"
    marks = OpposingTooth
    columns = ("Natural", "Denture", "Missing")

    class Meta:
        model = Prescription
        fields: tuple[str, ...] = ()

    def _arch_to_draw(self) -> str:
        return teeth.other_arch(self.stored_arch)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        seen = cleaned.get("drawn_arch")
        if seen and seen != self.chart_arch:
            raise forms.ValidationError(
                f"The arch of the denture was changed while you had this open. It is now the "
                f"{self.stored_arch} one, so mark the {self.chart_arch} arch here."
            )
        return cleaned


class MaterialsStep(PartForm):
    base_material = said(BaseMaterial, "Base material")
    tooth_material = said(ToothMaterial, "Tooth material", across=True)
    scheme = said(Scheme, "Occlusal scheme")
    flange = said(Flange, "Flange", help_text="Open-face teeth are for an upper denture only.")

    class Meta:
        model = Prescription
        fields = (
            "base_material",
            "tooth_material",
            "shade_system",
            "shade",
            "mould",
            "scheme",
            "flange",
        )
        labels = {"shade_system": "Shade system", "shade": "Shade", "mould": "Mould"}
        help_texts = {
            "shade_system": "The set of tabs that the shade was read from.",
            "mould": "A mould in the maker's own code, or: copy the natural teeth.",
        }
        widgets = {
            "shade_system": forms.TextInput(attrs={"data-needed": True, "class": "medium"}),
            "shade": forms.TextInput(attrs={"data-needed": True, "class": "short"}),
            "mould": forms.TextInput(attrs={"data-needed": True}),
        }


class RecordsStep(PartForm):
    """What is measured on the natural teeth, because nothing can be copied later."""

    needed: ClassVar[tuple[str, ...]] = ("overjet_mm", "overbite_mm")
    limits: ClassVar[dict[str, str]] = {"overjet_mm": "overjet_mm", "overbite_mm": "overbite_mm"}
    bounds: ClassVar[dict[str, tuple[str, str]]] = {
        "incisal_display_mm": ("-10", "20"),
        "midline_offset_mm": ("-10", "10"),
    }

    jaw_record = said(JawRecord, "Jaw record", across=True)
    allergy = said(
        Allergy,
        "Allergy",
        help_text="Ask about acrylate, nickel and latex.",
        across=True,
    )

    class Meta:
        model = Prescription
        fields = (
            "jaw_record",
            "overjet_mm",
            "overbite_mm",
            "incisal_display_mm",
            "midline_offset_mm",
            "allergy",
            "allergy_text",
        )
        labels = {
            "overjet_mm": "Overjet before extraction",
            "overbite_mm": "Overbite before extraction",
            "incisal_display_mm": "Incisal display at rest",
            "midline_offset_mm": "Midline offset",
            "allergy_text": "What was named",
        }
        help_texts = {
            "overjet_mm": "Along the plane, from the lower incisal edge forward to the upper.",
            "overbite_mm": "The vertical overlap; minus when the front is open.",
            "incisal_display_mm": "Upper central incisor below the resting lip.",
            "midline_offset_mm": "Upper midline from the midline of the face: plus to the "
            "patient's left, minus to the right.",
            "allergy_text": "Needed when an allergy is listed. It stands on every page and paper.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self.needed:
            self.fields[name].widget.attrs["data-needed"] = True


class WishesStep(PartForm):
    try_in = said(
        TryInWish,
        "Try-in of the posterior teeth",
        help_text="On the interim route teeth stand in both segments until surgery, so no try-in "
        "is possible.",
    )

    class Meta:
        model = Prescription
        fields = ("try_in", "instructions")
        labels = {"instructions": "Instructions to the laboratory"}
        help_texts = {
            "instructions": "What no field asks for. No name of the patient: the laboratory reads "
            "this."
        }


STEPS: dict[str, type[PartForm]] = {
    "teeth": TeethStep,
    "opposing": OpposingStep,
    "materials": MaterialsStep,
    "records": RecordsStep,
    "wishes": WishesStep,
}

STEP_TITLES = {
    "teeth": "Teeth",
    "opposing": "Opposing arch",
    "materials": "Materials",
    "records": "Records",
    "wishes": "Wishes",
}


def fields_of(step: str) -> tuple[str, ...]:
    """The prescription's fields that a step asks for, its chart first."""
    form = STEPS[step]
    chart = (form.chart_name,) if issubclass(form, ChartForm) else ()
    return (*tuple(form._meta.fields or ()), *chart)


STEP_OF = {field: step for step in STEPS for field in fields_of(step)}
