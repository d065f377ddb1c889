"""Before and at the handoff: the final wax, its approval, and what processing starts from."""

from __future__ import annotations

from typing import Any, ClassVar

from crispy_forms.helper import FormHelper
from django import forms

from labcases.enums import BaseMaterial, TrimMethod
from labcases.forms.base import PartForm
from labcases.forms.choices import YesNoField
from labcases.models import FinalWax, Handoff


class FinalWaxForm(PartForm):
    limits: ClassVar[dict[str, str]] = {"overjet_mm": "overjet_mm", "overbite_mm": "overbite_mm"}
    bounds: ClassVar[dict[str, tuple[str, str]]] = {
        "trim_labial_mm": ("0", "10"),
        "incisal_display_mm": ("-10", "20"),
        "midline_offset_mm": ("-10", "10"),
    }
    needed: ClassVar[tuple[str, ...]] = (
        "trim_method",
        "bone_change_planned",
        "flange_decision",
        "undercut_decision",
        "template_wanted",
        "overjet_mm",
        "overbite_mm",
        "incisal_display_mm",
        "midline_offset_mm",
    )

    trim_method = forms.ChoiceField(
        choices=[("", "Not said yet"), *TrimMethod.choices],
        label="How the front teeth were cut from the cast",
        required=False,
    )
    bone_change_planned = YesNoField(
        label="A change of bone is planned",
        help_text="Planned by the dentist. The cast is cut no further than the dentist approves.",
    )
    template_wanted = YesNoField(label="A surgical template is made")

    class Meta:
        model = FinalWax
        fields = (
            "trim_method",
            "trim_labial_mm",
            "duplicate_made",
            "bone_change_planned",
            "template_wanted",
            "flange_decision",
            "undercut_decision",
            "overjet_mm",
            "overbite_mm",
            "incisal_display_mm",
            "midline_offset_mm",
            "photographs_sent",
            "note",
        )
        labels = {
            "trim_labial_mm": "Deepest labial trim",
            "duplicate_made": "The trimmed cast is duplicated",
            "flange_decision": "Flange",
            "undercut_decision": "Undercuts and path of insertion",
            "overjet_mm": "Overjet in wax",
            "overbite_mm": "Overbite in wax",
            "incisal_display_mm": "Incisal display in wax",
            "midline_offset_mm": "Midline offset in wax",
            "photographs_sent": "Photographs of both casts and the wax are sent",
        }
        help_texts = {
            "flange_decision": "For example: full, 2 mm.",
            "undercut_decision": "For example: relieved at 13 and 23.",
            "incisal_display_mm": "As the lip line on the cast shows it.",
            "midline_offset_mm": "Plus to the patient's left, minus to the right.",
        }
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self.needed:
            self.fields[name].widget.attrs["data-needed"] = True


class ApproveForm(forms.Form):
    """Carries the version that the dentist looked at; the button is the act."""

    version = forms.IntegerField(
        widget=forms.HiddenInput,
        error_messages={
            "required": "Open the page again and look at the wax before you approve it.",
            "invalid": "Open the page again and look at the wax before you approve it.",
        },
    )


class HandoffForm(forms.ModelForm):  # type: ignore[type-arg]
    """What goes to processing. ``reason`` is asked only of those who may pass the try-in."""

    base_material = forms.ChoiceField(
        label="Base material",
        choices=[("", "Choose one"), *BaseMaterial.choices],
        error_messages={"required": "Choose the base material."},
    )
    reason = forms.CharField(
        max_length=200,
        required=False,
        label="Reason for going on without the try-in",
        help_text="It is kept in the history and printed on later papers. The dentist decides.",
    )

    class Meta:
        model = Handoff
        fields = ("base_material", "base_product", "base_lot", "index_made", "note")
        labels = {
            "base_product": "Product",
            "base_lot": "Lot",
            "index_made": "The remount index is made",
        }
        help_texts = {"base_product": "As its label says."}
        widgets = {
            "note": forms.Textarea(attrs={"rows": 3}),
            "base_lot": forms.TextInput(attrs={"class": "medium"}),
        }
        error_messages = {
            "base_product": {"required": "Enter the product of the base."},
        }

    def __init__(self, *args: Any, may_pass: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not may_pass:
            del self.fields["reason"]
        self.helper = FormHelper()
        self.helper.form_tag = False

    def values(self) -> dict[str, Any]:
        """What ``domain.processing.hand_over`` stores."""
        return {name: value for name, value in self.cleaned_data.items() if name != "reason"}

    @property
    def passing_reason(self) -> str:
        return str(self.cleaned_data.get("reason", ""))
