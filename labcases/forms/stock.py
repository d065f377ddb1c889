"""Looking through the tooth stock, and what stands of one kind of set."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, ClassVar

from django import forms

from labcases.domain.stock import Asked, tidy
from labcases.enums import Arch, SetUpPart, ToothMaterial
from labcases.forms.base import PartForm
from labcases.forms.dates import DateField
from labcases.models import ToothSet
from labcases.validators import from_to

MOST_SETS = 10_000


class StockSearchForm(forms.Form):
    """Filters that stay in the address."""

    text = forms.CharField(
        label="Line, mould, lot or shelf",
        max_length=80,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "data-needed": True}),
    )
    arch = forms.ChoiceField(
        label="Arch", choices=[("", "Both"), *Arch.choices], required=False,
        widget=forms.Select(attrs={"data-needed": True}),
    )  # fmt: skip
    part = forms.ChoiceField(
        label="Part", choices=[("", "Both"), *SetUpPart.choices], required=False,
        widget=forms.Select(attrs={"data-needed": True}),
    )  # fmt: skip
    shade = forms.CharField(
        label="Shade", max_length=30, required=False,
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "class": "short", "data-needed": True}
        ),
    )  # fmt: skip
    material = forms.ChoiceField(
        label="Material", choices=[("", "Every"), *ToothMaterial.choices], required=False,
        widget=forms.Select(attrs={"data-needed": True}),
    )  # fmt: skip
    on_shelf = forms.BooleanField(label="Only what is on the shelf", required=False)

    def asked(self) -> Asked:
        """What ``domain.stock.search`` takes; nothing of a filter that was refused."""
        return Asked(**self.cleaned_data)


class SetForm(PartForm):
    """Everything that stands of one kind of set, and why its count changes."""

    limits: ClassVar[dict[str, str]] = {
        "cusp_angle_deg": "cusp_angle_deg",
        "together_mm": "teeth_together_mm",
    }
    bounds: ClassVar[dict[str, tuple[str, str]]] = {"shell_min_mm": ("0", "10")}

    expires_on = DateField(label="Expires on", required=False)
    count = forms.IntegerField(
        label="Sets on the shelf",
        widget=forms.TextInput(
            attrs={"inputmode": "numeric", "autocomplete": "off", "class": "short number"}
        ),
        validators=from_to(Decimal(0), Decimal(MOST_SETS), label="Sets on the shelf"),
        error_messages={
            "required": "Count the sets on the shelf and enter how many.",
            "invalid": "Sets on the shelf: enter a whole number, for example 3.",
        },
    )
    why = forms.CharField(
        label="Why the count changes",
        max_length=200,
        required=False,
        help_text="For example: counted on the shelf, came with an order, chipped.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "data-needed": True}),
    )

    class Meta:
        model = ToothSet
        fields = (
            *("line", "arch", "part", "mould", "shade", "material", "cusp_angle_deg"),
            *("together_mm", "shell_min_mm", "lot", "expires_on", "shelf", "count"),
        )
        labels: ClassVar[dict[str, str]] = {
            "line": "Line",
            "mould": "Mould",
            "shade": "Shade",
            "material": "Tooth material",
            "cusp_angle_deg": "Cusp angle",
            "together_mm": "Width together",
            "shell_min_mm": "Least shell",
            "lot": "Lot",
            "shelf": "Place on the shelf",
        }
        help_texts: ClassVar[dict[str, str]] = {
            "line": "Whatever your laboratory calls these teeth.",
            "cusp_angle_deg": "Posterior teeth only.",
            "together_mm": "The six front teeth together, or the four posterior teeth of a side.",
            "shell_min_mm": "What hollow-grinding has to leave, if the material sheet says so.",
        }
        error_messages: ClassVar[dict[str, dict[str, str]]] = {
            "line": {"required": "Enter the line: whatever your laboratory calls these teeth."},
            "arch": {"required": "Choose the arch."},
            "part": {"required": "Choose anterior or posterior teeth."},
            "mould": {"required": "Enter the mould as the card says it."},
            "shade": {"required": "Enter the shade as the card says it."},
            "material": {"required": "Choose the material."},
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk is None:
            del self.fields["why"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        for name in ("line", "mould", "shade", "lot", "shelf"):
            if isinstance(cleaned.get(name), str):
                cleaned[name] = tidy(cleaned[name])
        if cleaned.get("part") == SetUpPart.ANTERIOR and cleaned.get("cusp_angle_deg") is not None:
            self.add_error("cusp_angle_deg", "Anterior teeth have no cusp angle. Leave it empty.")
        return cleaned

    def validate_unique(self) -> None:
        """The verb says which row holds the same kind of set."""

    def validate_constraints(self) -> None:
        """Limits are said at the boxes; the verb says which row holds the same kind of set."""

    def values(self) -> dict[str, Any]:
        return {name: value for name, value in super().values().items() if name != "why"}
