"""Finding cases, and opening one."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils import timezone

from labcases import notation as numbers
from labcases.domain.queries import Search
from labcases.enums import Arch, Stage
from labcases.forms.dates import DateField
from labcases.models import OfficeLink
from labcases.templatetags.units import long_date
from labcases.validators import validate_patient_code

# No word "(optional)" behind every filter: leaving one empty is how a filter works.
_NO_WORD = {"data-needed": True}


class CaseFilterForm(forms.Form):
    """What stands in the address of the list; never a patient's name."""

    q = forms.CharField(
        max_length=60,
        required=False,
        label="Code, tray number, patient code or lot",
        help_text="Four characters of a code are enough; a scanned paper opens its case.",
        widget=forms.TextInput(attrs={**_NO_WORD, "autocomplete": "off", "autocapitalize": "none"}),
    )
    stage = forms.ChoiceField(
        choices=[("", "Any"), *Stage.choices],
        required=False,
        label="Stage",
        widget=forms.Select(attrs=_NO_WORD),
    )
    arch = forms.ChoiceField(
        choices=[("", "Either"), *Arch.choices],
        required=False,
        label="Arch",
        widget=forms.Select(attrs=_NO_WORD),
    )
    tooth = forms.ChoiceField(
        required=False, label="Tooth replaced", widget=forms.Select(attrs=_NO_WORD)
    )
    surgery_on = DateField(
        required=False,
        label="Surgery day",
        widget=forms.TextInput(attrs={**_NO_WORD, "autocomplete": "off", "class": "short"}),
    )
    ended = forms.BooleanField(required=False, label="Ended cases too")

    def __init__(self, *args: Any, notation: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["tooth"].choices = [  # type: ignore[attr-defined]
            ("", "Any"),
            *((tooth, numbers.show(tooth, notation)) for tooth in (*numbers.UPPER, *numbers.LOWER)),
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        arch, tooth = cleaned.get("arch"), cleaned.get("tooth")
        if arch and tooth and numbers.arch_of(tooth) != arch:
            self.add_error(
                "tooth", f"Tooth {tooth} is not in the {arch} arch. Change the tooth or the arch."
            )
        return cleaned

    def asked(self) -> Search:
        return Search(
            text=self.cleaned_data["q"],
            stage=self.cleaned_data["stage"],
            arch=self.cleaned_data["arch"],
            tooth=self.cleaned_data["tooth"],
            surgery_on=self.cleaned_data["surgery_on"],
            include_ended=self.cleaned_data["ended"],
        )


class _LinkField(forms.ModelChoiceField):  # type: ignore[type-arg]
    """The laboratories that an office may send to."""

    names_office = False

    def label_from_instance(self, obj: Any) -> str:
        if self.names_office:
            return f"From {obj.office} to {obj.laboratory}"
        return str(obj.laboratory)


class NewCaseForm(forms.Form):
    """One device for one patient and one surgery day."""

    link = _LinkField(
        queryset=OfficeLink.objects.none(),
        label="Laboratory",
        empty_label=None,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose the laboratory.",
            "invalid_choice": "That laboratory is not linked. Choose one of the list.",
        },
    )
    patient_code = forms.CharField(
        max_length=30,
        label="Patient code",
        help_text="The code that your office uses for the patient; the laboratory sees it.",
        validators=[validate_patient_code],
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
        error_messages={"required": "Enter the code that your office uses for the patient."},
    )
    patient_name = forms.CharField(
        max_length=120,
        required=False,
        label="Patient's name",
        help_text="Seen in your office only, never by the laboratory, and not searched for.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    surgery_on = DateField(
        required=False,
        label="Surgery and delivery day",
        help_text="For example 12-Mar-2027. Every other date is planned back from it.",
    )

    def __init__(self, *args: Any, links: QuerySet[OfficeLink], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = list(links)
        field = self.fields["link"]
        if isinstance(field, _LinkField):
            field.names_office = len({row.office_id for row in rows}) > 1
            field.queryset = links
            if field.names_office:
                field.label = "Office and laboratory"
        if len(rows) == 1:
            self.initial.setdefault("link", rows[0].pk)
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", "Open the case"))

    def clean_surgery_on(self) -> Any:
        day = self.cleaned_data["surgery_on"]
        if day and day < timezone.localdate():
            raise ValidationError(
                f"{long_date(day)} is past. Enter the day of the surgery, or leave it empty until "
                "it is known.",
                code="past",
            )
        return day

    def values(self) -> dict[str, Any]:
        """What ``domain.case.open_case`` takes."""
        link = self.cleaned_data["link"]
        return {
            "office": link.office,
            "laboratory": link.laboratory,
            "patient_code": self.cleaned_data["patient_code"],
            "patient_name": self.cleaned_data["patient_name"],
            "surgery_on": self.cleaned_data["surgery_on"],
        }
