"""After the remount: the release."""

from __future__ import annotations

from typing import Any, ClassVar

from crispy_forms.helper import FormHelper
from django import forms
from django.core.validators import MaxValueValidator

from labcases.domain import own_materials
from labcases.enums.lots import LotOf
from labcases.forms.base import PartForm
from labcases.forms.disinfecting import MOST_MINUTES
from labcases.forms.own_materials import offer
from labcases.models import Organisation, Release


class ReleaseForm(PartForm):
    minutes: ClassVar[tuple[str, ...]] = ("label_minutes", "actual_minutes")

    class Meta:
        model = Release
        fields = (
            "agent",
            "label_minutes",
            "actual_minutes",
        )
        labels = {
            "agent": "Disinfected with",
            "label_minutes": "Minutes on the label",
            "actual_minutes": "Minutes given",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in self._meta.fields or ():
            self.fields[name].widget.attrs["data-needed"] = True
        for name in self.minutes:
            self.fields[name].widget = forms.TextInput(
                attrs={"inputmode": "numeric", "data-unit": "min", "data-needed": True}
            )
            asked = f"{self.fields[name].label}: enter whole minutes, for example 10."
            self.fields[name].error_messages["invalid"] = asked
            self.fields[name].validators.append(
                MaxValueValidator(
                    MOST_MINUTES,
                    f"{self.fields[name].label}: enter 0 to {MOST_MINUTES} minutes.",
                )
            )


class LotForm(forms.Form):
    """A lot that stands nowhere else. It cleans; ``domain.lots.add`` stores."""

    lot_of = forms.ChoiceField(
        label="Lot of",
        choices=[one for one in LotOf.choices if one[0] != LotOf.BEFORE],
        error_messages={"required": "Choose what the lot is of."},
    )
    lot = forms.CharField(
        label="Lot",
        max_length=80,
        help_text="As printed on the label; where it has none, write so.",
        error_messages={"required": "Enter the lot from the label; where it has none, write so."},
    )
    product = forms.CharField(label="Product", max_length=120, required=False)
    told = forms.CharField(label="Note", max_length=200, required=False)

    def __init__(self, *args: Any, laboratory: Organisation, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.laboratory = laboratory
        offer(self, "product", own_materials.to_choose(laboratory))
        self.helper = FormHelper()
        self.helper.form_tag = False

    def clean_product(self) -> str:
        return own_materials.spelled(self.laboratory, self.cleaned_data["product"])

    def values(self) -> dict[str, str]:
        """What ``domain.lots.add`` takes."""
        said = self.cleaned_data
        return {
            "lot_of": said["lot_of"],
            "lot": said["lot"],
            "product": said["product"],
            "note": said["told"],
        }


class LookForm(forms.Form):
    """Carries the version that the second person looked at."""

    version = forms.IntegerField(
        widget=forms.HiddenInput,
        error_messages={
            "required": "Open the page again and look at the denture before you say so.",
            "invalid": "Open the page again and look at the denture before you say so.",
        },
    )
