"""Which lot is traced; it stands in the address, and is no secret."""

from __future__ import annotations

from django import forms

from labcases.domain.lots import SHORTEST, squeezed


class TraceForm(forms.Form):
    lot = forms.CharField(
        max_length=120,
        label="Lot",
        help_text="As printed on the label. What is written nearly alike is shown apart from it.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
        error_messages={"required": "Enter the lot from the label."},
    )

    def clean_lot(self) -> str:
        lot = str(self.cleaned_data["lot"])
        if len(squeezed(lot)) < SHORTEST:
            raise forms.ValidationError(
                f"Enter at least {SHORTEST} letters or figures of the lot.", code="short"
            )
        return lot
