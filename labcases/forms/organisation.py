"""Inviting people, linking offices, and what stands on an organisation's papers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms

from labcases.domain import profiles
from labcases.enums import Notation, PaperSize, Role
from labcases.models import Organisation


class InviteForm(forms.Form):
    """Whom the link is for, and as what they come in."""

    invited_name = forms.CharField(
        max_length=120,
        label="Name of the person",
        help_text="So that you find the invitation again; they can write it differently.",
        error_messages={"required": "Enter whom you invite."},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    role = forms.ChoiceField(
        label="Role",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the role that the person has."},
    )

    def __init__(self, *args: Any, roles: Sequence[Role], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].choices = [(role.value, role.label) for role in roles]  # type: ignore[attr-defined]
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", "Make the link"))


class LinkOfficeForm(forms.Form):
    """The dentist whose office is to send cases."""

    invited_name = forms.CharField(
        max_length=120,
        label="Name of the dentist",
        help_text="The dentist opens the office with the link, or links the office they have.",
        error_messages={"required": "Enter which dentist gets the link."},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", "Make the link"))


class OrganisationForm(forms.ModelForm):  # type: ignore[type-arg]
    """Name, address, tooth numbers, paper size. A domain verb saves them."""

    profile = forms.ChoiceField(
        label="Profile: what the law of your place asks",
        required=False,
        help_text="A prescription is checked against it before it is signed. Not legal advice: "
        "check what is in force where you are.",
    )

    class Meta:
        model = Organisation
        fields = ("name", "address", "notation", "paper_size", "profile")
        labels = {
            "name": "Name",
            "address": "Address",
            "notation": "Tooth numbers are shown in",
            "paper_size": "Paper size",
        }
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
        error_messages = {"name": {"required": "Enter the name; it stands on papers."}}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["profile"].choices = [  # type: ignore[attr-defined]
            ("", "None chosen"),
            *((key, one.title) for key, one in profiles.profiles().items()),
        ]
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", "Save"))

    def values(self) -> dict[str, Any]:
        return {
            "name": self.cleaned_data["name"],
            "address": self.cleaned_data["address"],
            "notation": Notation(self.cleaned_data["notation"]),
            "paper_size": PaperSize(self.cleaned_data["paper_size"]),
            "profile": self.cleaned_data["profile"],
        }
