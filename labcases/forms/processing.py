"""What processing starts from, as it is handed over."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from django import forms

from labcases.domain import own_materials
from labcases.enums import BaseMaterial
from labcases.enums.materials import OwnKind
from labcases.forms.own_materials import offer
from labcases.models import Handoff, Organisation


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

    def __init__(
        self,
        *args: Any,
        laboratory: Organisation | None = None,
        may_pass: bool = False,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.laboratory = laboratory
        if laboratory is not None:
            offered = own_materials.to_choose(laboratory, kinds=(OwnKind.BASE,))
            offer(self, "base_product", offered)
        if not may_pass:
            del self.fields["reason"]
        self.helper = FormHelper()
        self.helper.form_tag = False

    def clean_base_product(self) -> str:
        said = str(self.cleaned_data["base_product"])
        return own_materials.spelled(self.laboratory, said) if self.laboratory else said

    def values(self) -> dict[str, Any]:
        """What ``domain.processing.hand_over`` stores."""
        return {name: value for name, value in self.cleaned_data.items() if name != "reason"}

    @property
    def passing_reason(self) -> str:
        return str(self.cleaned_data.get("reason", ""))
