"""After the remount: the release, and what the office reports of the delivery."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.core.validators import MaxValueValidator
from django.utils import timezone

from labcases.forms.base import PartForm
from labcases.forms.choices import YesNoField
from labcases.forms.dates import DateField
from labcases.forms.disinfecting import MOST_MINUTES
from labcases.models import DeliveryReport, Release


class ReleaseForm(PartForm):
    minutes: ClassVar[tuple[str, ...]] = ("label_minutes", "actual_minutes")

    class Meta:
        model = Release
        fields = (
            "lots",
            "agent",
            "label_minutes",
            "actual_minutes",
        )
        labels = {
            "lots": "Lots of resin and teeth",
            "agent": "Disinfected with",
            "label_minutes": "Minutes on the label",
            "actual_minutes": "Minutes given",
        }
        help_texts = {
            "lots": "For example: base L-2291, teeth T-118.",
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


class LookForm(forms.Form):
    """Carries the version that the second person looked at."""

    version = forms.IntegerField(
        widget=forms.HiddenInput,
        error_messages={
            "required": "Open the page again and look at the denture before you say so.",
            "invalid": "Open the page again and look at the denture before you say so.",
        },
    )


class DeliveryForm(PartForm):
    delivered_on = DateField(label="Delivered on", required=False)
    seats_without_force = YesNoField(label="The denture seats without force")

    class Meta:
        model = DeliveryReport
        fields = (
            "checked_on_arrival",
            "delivered_on",
            "seats_without_force",
            "after_care_given",
            "note",
        )
        labels = {
            "checked_on_arrival": "Checked as it arrived: undamaged, seats on its cast",
            "after_care_given": "The patient has the after-care instructions in writing",
        }
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("delivered_on", "seats_without_force"):
            self.fields[name].widget.attrs["data-needed"] = True

    def clean_delivered_on(self) -> Any:
        day = self.cleaned_data["delivered_on"]
        if day and day > timezone.localdate():
            raise forms.ValidationError(
                "The day of delivery lies ahead. Enter it when the denture is in the mouth.",
                code="ahead",
            )
        return day
