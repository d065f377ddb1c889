"""An office that sends paper: its name and address, and the dentists who sign there."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms

from labcases.domain import profiles
from labcases.enums import Notation
from labcases.forms.organisation import dialled
from labcases.models import Organisation

FEWEST_ROWS = 3
MOST_DENTISTS = 20


class PaperOfficeForm(forms.Form):
    """What stands for an office until a dentist of it logs in."""

    name = forms.CharField(
        max_length=120,
        label="Name of the office",
        error_messages={"required": "Enter the name; it stands on papers."},
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    address = forms.CharField(
        label="Address",
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Enter the address as it stands on the office's papers."},
    )
    notation = forms.ChoiceField(
        label="Tooth numbers on its papers are",
        choices=Notation.choices,
        widget=forms.RadioSelect,
        error_messages={"required": "Say which tooth numbers the office writes."},
    )
    emergency_telephone = forms.CharField(
        label="Its telephone for emergencies",
        required=False,
        max_length=40,
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
        help_text="As the office gives it to its patients. No after-care sheet prints without it.",
    )
    profile = forms.ChoiceField(
        label="Profile: what the law of its place asks",
        required=False,
        help_text="A paper is checked against it before it is confirmed. Not legal advice.",
    )

    def __init__(
        self, *args: Any, office: Organisation | None = None, button: str, **kwargs: Any
    ) -> None:
        """Show what stands for an office, with empty rows for further dentists."""
        kwargs.setdefault("initial", _stored(office) if office else {})
        super().__init__(*args, **kwargs)
        self.fields["profile"].choices = [  # type: ignore[attr-defined]
            ("", "None chosen"),
            *((key, one.title) for key, one in profiles.profiles().items()),
        ]
        held = office.paper_dentists.count() if office else 0
        self.rows = min(MOST_DENTISTS, max(FEWEST_ROWS, held + 1))
        for row in range(1, self.rows + 1):
            self.fields[f"dentist_{row}"] = forms.CharField(
                max_length=120,
                required=row == 1,
                label=f"Dentist {row}, as the name stands on papers",
                widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
                error_messages={"required": "Enter at least one dentist who signs there."},
            )
            self.fields[f"licence_{row}"] = forms.CharField(
                max_length=60,
                required=False,
                label=f"Licence number of dentist {row}",
                widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
            )
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", button))

    def clean_emergency_telephone(self) -> str:
        return dialled(self.cleaned_data["emergency_telephone"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for row in range(1, self.rows + 1):
            if cleaned.get(f"licence_{row}") and not cleaned.get(f"dentist_{row}"):
                self.add_error(f"dentist_{row}", "Enter whose licence number that is.")
        return cleaned

    def values(self) -> dict[str, Any]:
        """What ``domain.paper_offices.add`` and ``change`` take."""
        told = self.cleaned_data
        return {
            "name": told["name"],
            "address": told["address"],
            "notation": Notation(told["notation"]),
            "profile": told["profile"],
            "emergency_telephone": told["emergency_telephone"],
            "dentists": [
                {"name": told[f"dentist_{row}"], "licence_number": told[f"licence_{row}"]}
                for row in range(1, self.rows + 1)
                if told[f"dentist_{row}"]
            ],
        }


def _stored(office: Organisation) -> dict[str, str]:
    told = {
        "name": office.name,
        "address": office.address,
        "notation": str(office.notation),
        "profile": office.profile,
        "emergency_telephone": office.emergency_telephone,
    }
    for row, one in enumerate(office.paper_dentists.all(), start=1):
        told |= {f"dentist_{row}": one.name, f"licence_{row}": one.licence_number}
    return told
