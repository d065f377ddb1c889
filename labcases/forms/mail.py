"""Where a person's mail goes, and which they want."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms

from labcases.enums.reminders import MailChoice
from labcases.models import User


class MailForm(forms.Form):
    mail_address = forms.EmailField(
        required=False,
        max_length=254,
        label="E-mail address",
        help_text="Of a mailbox that only you or your desk read.",
        widget=forms.EmailInput(attrs={"autocomplete": "email", "class": "medium"}),
        error_messages={"invalid": "Write the address like name@example.org."},
    )
    mail_wanted = forms.ChoiceField(
        label="Mail",
        choices=MailChoice,
        widget=forms.RadioSelect,
        error_messages={"required": "Choose which mail you want."},
    )

    def __init__(self, data: Any = None, *, user: User) -> None:
        super().__init__(
            data, initial={"mail_address": user.email, "mail_wanted": user.mail_choice}
        )
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", "Save"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        wants = cleaned.get("mail_wanted", MailChoice.NONE) != MailChoice.NONE
        if wants and "mail_address" in cleaned and not cleaned["mail_address"]:
            self.add_error("mail_address", "Enter an address for the mail, or choose no mail.")
        return cleaned
