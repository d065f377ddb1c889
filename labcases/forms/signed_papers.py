"""Typing a signed paper: the case it opens, its page, who signed it, and what is said of it."""

from __future__ import annotations

from datetime import date
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils import timezone

from labcases.forms.cases import NewCaseForm
from labcases.forms.dates import DateField
from labcases.forms.files import PictureField
from labcases.forms.signature import PasswordForm
from labcases.models import OfficeLink, SignedPaper
from labcases.templatetags.units import long_date

NO_NAMES = "Cover the patient's name before you take the picture: the code is enough here."


class PaperCaseForm(NewCaseForm):
    """A case that the laboratory opens for an office that sent paper. It never asks a name."""

    patient_name = None  # type: ignore[assignment]

    def __init__(self, *args: Any, links: QuerySet[OfficeLink], **kwargs: Any) -> None:
        super().__init__(*args, links=links, **kwargs)
        field = self.fields["link"]
        field.label = "Office that sent the paper"
        field.error_messages["required"] = "Choose the office that sent the paper."
        field.error_messages["invalid_choice"] = (
            "That office is not linked. Choose one of the list."
        )
        field.label_from_instance = _office_of(links)  # type: ignore[attr-defined]
        code = self.fields["patient_code"]
        code.help_text = "The code as it stands on the paper. No names of patients."
        code.error_messages["required"] = "Enter the patient code as it stands on the paper."
        self.fields[
            "surgery_on"
        ].help_text = (
            "As the paper says, for example 12-Mar-2027. Every other date is planned back from it."
        )

    def values(self) -> dict[str, Any]:
        """What ``domain.signed_papers.open_case`` takes."""
        link = self.cleaned_data["link"]
        return {
            "office": link.office,
            "laboratory": link.laboratory,
            "patient_code": self.cleaned_data["patient_code"],
            "surgery_on": self.cleaned_data["surgery_on"],
        }


def _office_of(links: QuerySet[OfficeLink]) -> Any:
    several = len({row.laboratory_id for row in links}) > 1
    return lambda link: f"{link.office}, to {link.laboratory}" if several else str(link.office)


class PageForm(forms.Form):
    """One page of the paper, as a picture."""

    upload = PictureField(label="Picture of the signed page")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["upload"].help_text = f"{NO_NAMES} {self.fields['upload'].help_text}"


class SignatoryForm(forms.Form):
    """Who signed, as the paper says it; whoever types it invents nothing."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    signed_name = forms.CharField(
        max_length=120,
        label="Name under the signature",
        help_text="As it stands on the paper.",
        error_messages={"required": "Type the name that stands under the signature."},
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
    )
    licence_number = forms.CharField(
        max_length=60,
        label="Licence number on the paper",
        error_messages={
            "required": "Type the licence number that stands on the paper. Does it bear none? Then "
            "ask the office for a paper that does."
        },
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
    )
    signed_on = DateField(
        label="Day on the paper",
        error_messages={"required": "Type the day that stands on the paper."},
    )

    def __init__(self, *args: Any, paper: SignedPaper, **kwargs: Any) -> None:
        kwargs.setdefault(
            "initial",
            {
                "version": paper.version,
                "signed_name": paper.signed_name,
                "licence_number": paper.licence_number,
                "signed_on": paper.signed_on,
            },
        )
        super().__init__(*args, **kwargs)

    def clean_signed_on(self) -> date:
        day: date = self.cleaned_data["signed_on"]
        today = timezone.localdate()
        if day > today:
            raise ValidationError(
                f"{long_date(day)} is still to come. Type the day that stands on the paper, "
                f"{long_date(today)} or earlier.",
                code="ahead",
            )
        return day

    def values(self) -> dict[str, Any]:
        return {name: value for name, value in self.cleaned_data.items() if name != "version"}


class ConfirmPaperForm(PasswordForm):
    """Every line was compared, and the password again."""

    compared = forms.BooleanField(
        label="I compared every line here with the page, tooth by tooth",
        error_messages={"required": "Compare every line with the page, then tick this."},
    )
    field_order = ("version", "compared", "password")


class ReasonForm(forms.Form):
    """Why a paper goes back, or is typed no further."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    reason = forms.CharField(max_length=200)

    def __init__(self, *args: Any, label: str, asked: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].label = label
        self.fields["reason"].error_messages["required"] = asked


def case_helper() -> FormHelper:
    """The button under the form of a case."""
    helper = FormHelper()
    helper.add_input(Submit("go", "Open the case and type the paper"))
    return helper
