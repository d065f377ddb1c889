"""What a statement says beside what the case holds already."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from django import forms

from labcases.domain import device_statement
from labcases.models import Case

MOST = 300

#: Box -> the item it belongs to, its label and what to write.
BOXES = {
    "sites": ("maker", "Other sites where it was made", "Leave it empty where there is none."),
    "representative": (
        "representative",
        "Authorised representative",
        "Name and address, if the maker is outside of the market; empty for none.",
    ),
    "unmet": (
        "conformity",
        "Requirements that are not met, and why",
        "Leave it empty where all of Annex I that applies is met.",
    ),
    "substances": (
        "substances",
        "Medicinal substance, blood derivative or tissue",
        "Leave it empty for none.",
    ),
    "certificates": ("certificates", "Certificates of the materials", ""),
    "origin": ("origin", "Where it was made", "In the country or abroad, and by whom."),
}
NEEDED = {
    "certificates": "Name the certificates of the materials.",
    "origin": "Say where the denture was made.",
}


class StatementForm(forms.Form):
    """Only the boxes of items that the chosen places ask."""

    def __init__(self, data: Any = None, *, case: Case) -> None:
        super().__init__(data)
        asked = {item.key for item, _places in device_statement.asked_items(case)}
        for name, (item, label, help_text) in BOXES.items():
            if item in asked:
                self.fields[name] = forms.CharField(
                    max_length=MOST,
                    required=name in NEEDED,
                    label=label,
                    help_text=help_text,
                    error_messages={"required": NEEDED.get(name, "")},
                )
        if "conformity" in asked:
            self.fields["conforms"] = forms.BooleanField(
                label="It meets the requirements of Annex I, but for what stands above",
                error_messages={
                    "required": "Say that it meets the requirements, but for what you name; it "
                    "cannot leave otherwise."
                },
            )
        self.helper = FormHelper()
        self.helper.form_tag = False
