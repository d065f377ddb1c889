"""Taking teeth from stock, ordering them, saying that they are here, and counting them in."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils import timezone

from labcases.domain import teeth_needed
from labcases.domain.teeth_needed import Need
from labcases.enums import ToothMaterial
from labcases.forms.dates import DateField
from labcases.models import Case, TeethSupply, ToothSet

LONGEST_LEAD_DAYS = 250
MOST_TEETH = 16


def words(
    label: str, longest: int, *, required: bool = False, help_text: str = "", missing: str = ""
) -> forms.CharField:
    """A line of text. A ``missing`` sentence asks for it where a verb may refuse without it."""
    return forms.CharField(
        label=label,
        max_length=longest,
        required=required,
        help_text=help_text,
        error_messages={"required": missing or f"{label}: enter it."},
        widget=forms.TextInput(
            attrs={"autocomplete": "off"} | ({"data-needed": True} if missing else {})
        ),
    )


def whole(label: str, low: int, high: int, *, required: bool = False) -> forms.IntegerField:
    asked = f"{label}: enter a whole number from {low} to {high}."
    return forms.IntegerField(
        label=label,
        required=required,
        min_value=low,
        max_value=high,
        widget=forms.TextInput(
            attrs={"inputmode": "numeric", "autocomplete": "off", "class": "short number"}
        ),
        error_messages=dict.fromkeys(("required", "invalid", "min_value", "max_value"), asked),
    )


class SupplyForm(forms.Form):
    """What every form of a need shares: the whole set or one tooth, a reason, the old row."""

    what = ""
    title = ""
    button = ""

    tooth = forms.ChoiceField(
        label="For",
        required=False,
        error_messages={"invalid_choice": "Choose the whole set, or a tooth that is to be set."},
    )
    reason = words(
        "Reason",
        200,
        help_text="Needed when they replace others or are not as approved; the dentist is then "
        "asked.",
        missing="Give the reason.",
    )
    goes_back = forms.BooleanField(
        label="What stood for this part goes back on the shelf", required=False
    )
    old = forms.IntegerField(widget=forms.HiddenInput, required=False)
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(
        self, data: Any = None, *, case: Case, need: Need, standing: TeethSupply | None
    ) -> None:
        super().__init__(data, auto_id=f"id_{self.what}_{need.key}_%s")
        self.case, self.need = case, need
        self.fields["tooth"].choices = [  # type: ignore[attr-defined]
            ("", "The whole set"),
            *((tooth, f"Tooth {tooth} alone") for tooth in need.teeth),
        ]
        if standing:
            self.initial.update(old=standing.pk, version=standing.version)
        else:
            del self.fields["goes_back"]
        for name, value in teeth_needed.wanted(case, need.part).items():
            if name in self.fields:
                self.initial[name] = value

    @property
    def boxes(self) -> list[forms.BoundField]:
        return [field for field in self.visible_fields() if field.name != "tooth_set"]

    def teeth(self) -> dict[str, Any]:
        """What the domain verb stores of the teeth themselves."""
        shared = {"tooth", "reason", "goes_back", "old", "version", "tooth_set"}
        return {name: value for name, value in self.cleaned_data.items() if name not in shared}


def material_field() -> forms.ChoiceField:
    return forms.ChoiceField(
        label="Tooth material",
        choices=[("", "Choose one"), *ToothMaterial.choices],
        error_messages={"required": "Choose the material of the teeth."},
    )


class TakeForm(SupplyForm):
    what = "take"
    title = "Take from stock"
    button = "Take this set"

    tooth_set = forms.ModelChoiceField(
        queryset=ToothSet.objects.none(),
        label="Set",
        error_messages={
            "required": "Press the button beside the set that you take.",
            "invalid_choice": "That set is not in the stock for this part. Choose another one.",
        },
    )

    def __init__(self, data: Any = None, **about: Any) -> None:
        super().__init__(data, **about)
        field = self.fields["tooth_set"]
        if isinstance(field, forms.ModelChoiceField):
            field.queryset = self.case.laboratory.tooth_sets.filter(
                arch=self.need.arch, part=self.need.part
            )


class OrderForm(SupplyForm):
    what = "order"
    title = "Order"
    button = "Enter the order"

    supplier = words("Supplier", 80, required=True)
    ordered_on = DateField(
        label="Ordered on", error_messages={"required": "Enter the day of the order."}
    )
    lead_days = whole("Lead time, in working days", 0, LONGEST_LEAD_DAYS, required=True)
    line = words("Line", 80)
    mould = words("Mould", 80, required=True)
    shade = words("Shade", 30, required=True)
    material = material_field()

    field_order = ("tooth", "supplier", "ordered_on", "lead_days", "line", "mould", "shade")

    def __init__(self, data: Any = None, **about: Any) -> None:
        super().__init__(data, **about)
        self.initial["ordered_on"] = timezone.localdate()


class HereForm(SupplyForm):
    what = "here"
    title = "Already here, not from stock"
    button = "Enter as in hand"

    line = words("Line", 80)
    mould = words("Mould", 80, required=True)
    shade = words("Shade", 30, required=True)
    material = material_field()
    lot = words(
        "Lot", 120, help_text="As printed on the card, so that a recall finds this denture."
    )
    counted = whole("Teeth counted", 1, MOST_TEETH)

    field_order = ("tooth", "line", "mould", "shade", "material", "lot", "counted")


class ArrivedForm(forms.Form):
    """An order, or the rest of one, is here."""

    arrived_on = DateField(
        label="Arrived on", error_messages={"required": "Enter the day on which they arrived."}
    )
    counted = whole("Teeth counted", 0, MOST_TEETH, required=True)
    lot = words("Lot", 120, help_text="As printed on the card.")
    differences = words("What differs from the order", 200)

    def __init__(self, data: Any = None, *, row: TeethSupply) -> None:
        super().__init__(data, auto_id=f"id_arrived{row.pk}_%s")
        self.row = row
        self.initial = {"arrived_on": timezone.localdate(), "lot": row.lot}

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        arrived, ordered = cleaned.get("arrived_on"), self.row.ordered_on
        if arrived and ordered and arrived < ordered:
            self.add_error("arrived_on", "They cannot arrive before they were ordered.")
        return cleaned


class WhyForm(forms.Form):
    """A reason for putting teeth away or using them again."""

    reason = words("Reason", 200)
