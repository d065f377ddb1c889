"""Six short steps of a prescription."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms

from labcases import notation
from labcases.domain import shades
from labcases.enums import (
    Arch,
    BaseMaterial,
    Flange,
    Route,
    Scheme,
    SetUpOrder,
    ToothMaterial,
    ToothStatus,
)
from labcases.enums.prescribing import (
    LowerBorder,
    MouldForm,
    PostDam,
    ShadeLight,
)
from labcases.forms.base import PartForm
from labcases.forms.before import BeforeStep
from labcases.forms.chart import ChartForm, said
from labcases.forms.dates import DateField
from labcases.forms.opposing import OpposingStep
from labcases.forms.wishes import RecordsStep, WishesStep
from labcases.models import Prescription

REMAINING = "remaining"
"""The button that marks all remaining teeth at once; no mark of its own."""


class TeethStep(ChartForm):
    chart_name = "teeth"
    marks = ToothStatus
    columns = ("Lost", "Out before records", "Out at surgery", "Stop until surgery", "Stays")

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
        help_text="The day on which the first teeth come out, before the records. Asked for on "
        "the conventional route, left empty on the interim one. 6 to 8 weeks of healing are the "
        "textbook figure.",
    )

    class Meta:
        model = Prescription
        fields = ("route", "set_up_order", "arch", "first_extraction_on", "healing_reason")
        labels: ClassVar = {"healing_reason": "Why less than three weeks of healing"}
        help_texts: ClassVar = {
            "healing_reason": "Only where fewer than 21 days lie between the first extraction and "
            "the final impression: the dentist says why."
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # It may wait, but the conventional route is not signed without it.
        self.fields["first_extraction_on"].widget.attrs["data-needed"] = True

    def _fill(self) -> int:
        """Mark all that is not lost as to be extracted, in one act; lost teeth stay lost.

        On the conventional route posterior teeth come out before the records. What is already
        marked to come out, or as a stop, keeps its mark.
        """
        if not self.is_bound or self.data.get("fill") != REMAINING:
            return super()._fill()
        first = self.data.get("route") == Route.CONVENTIONAL
        marks = {
            f"tooth_{tooth}": (
                ToothStatus.EXTRACT_FIRST
                if first and notation.is_posterior(tooth)
                else ToothStatus.EXTRACT_AT_SURGERY
            ).value
            for tooth in self.positions
            if self.data.get(f"tooth_{tooth}", "") in ("", ToothStatus.STAYS)
        }
        self.data = {name: self.data[name] for name in self.data} | marks
        return len(marks)

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
            moved = {} if wanted == self.stored_arch else OF_ANOTHER_ARCH
            return {**values, "teeth": self.chart(), **moved}
        return {**values, "teeth": {}, **OF_ANOTHER_ARCH}


# What was said of one arch says nothing of the other.
OF_ANOTHER_ARCH: dict[str, Any] = {
    "opponent": "",
    "opposing": {},
    "over_eruption_mm": {},
    "over_eruption_by": "",
    "probing_mm": {},
    "post_dam": "",
    "lower_border": "",
}


class MaterialsStep(PartForm):
    bounds: ClassVar[dict[str, tuple[str, str]]] = {
        "central_width_mm": ("3", "15"),
        "central_length_mm": ("5", "20"),
    }

    base_material = said(BaseMaterial, "Base material")
    tooth_material = said(ToothMaterial, "Tooth material", across=True)
    shade_light = forms.ChoiceField(
        choices=(("", "Not said"), *ShadeLight.choices), label="Shade read in", required=False
    )
    mould_form = forms.ChoiceField(
        choices=(("", "Not said"), *MouldForm.choices),
        label="Form of the front teeth",
        required=False,
    )
    scheme = said(Scheme, "Occlusal scheme")
    flange = said(Flange, "Flange", help_text="Open-face teeth are for an upper denture only.")
    post_dam = said(PostDam, "Post-dam")
    lower_border = said(
        LowerBorder, "Where the denture ends behind", help_text="At the retromolar pads."
    )

    class Meta:
        model = Prescription
        fields = (
            "base_material",
            "tooth_material",
            "shade_system",
            "shade",
            "shade_light",
            "mould",
            "mould_form",
            "central_width_mm",
            "central_length_mm",
            "scheme",
            "flange",
            "post_dam",
            "lower_border",
        )
        labels = {
            "shade_system": "Shade system",
            "shade": "Shade",
            "mould": "Mould",
            "central_width_mm": "Width of the natural central incisor",
            "central_length_mm": "Length of the natural central incisor",
        }
        help_texts = {
            "shade_system": "The set of tabs that the shade was read from.",
            "mould": "A mould in the maker's own code, or: copy the natural teeth.",
        }
        widgets = {
            "shade_system": forms.TextInput(attrs={"data-needed": True, "class": "medium"}),
            "shade": forms.TextInput(attrs={"data-needed": True, "class": "short"}),
            "mould": forms.TextInput(attrs={"data-needed": True}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["lower_border" if self.instance.arch == Arch.UPPER else "post_dam"]
        self.shades = shades.systems(self.instance.case.office) if self.instance.case_id else {}
        if self.shades:
            self.fields["shade_system"].widget.attrs["list"] = "shade-systems"
            self.fields["shade"].widget.attrs["list"] = "shade-codes"


STEPS: dict[str, type[PartForm]] = {
    "teeth": TeethStep,
    "opposing": OpposingStep,
    "materials": MaterialsStep,
    "before": BeforeStep,
    "records": RecordsStep,
    "wishes": WishesStep,
}

STEP_TITLES = {
    "teeth": "Teeth",
    "opposing": "Opposing arch",
    "materials": "Materials",
    "before": "Before extraction",
    "records": "Records",
    "wishes": "Wishes",
}


def fields_of(step: str) -> tuple[str, ...]:
    """The prescription's fields that a step asks for, those with several boxes last."""
    form = STEPS[step]
    chart = (form.chart_name,) if issubclass(form, ChartForm) else ()
    return (*tuple(form._meta.fields or ()), *form.together, *chart)


STEP_OF = {field: step for step in STEPS for field in fields_of(step)}
