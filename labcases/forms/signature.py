"""The signature under a prescription."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth import authenticate
from django.http import HttpRequest

from labcases.models import User


class PasswordForm(forms.Form):
    """The password again, under whatever counts as a signature.

    A wrong one counts as a failed sign-in, so that guessing is locked out here too.
    """

    wrong = "That is not your password. Nothing was signed; type it again."

    version = forms.IntegerField(widget=forms.HiddenInput)
    password = forms.CharField(
        strip=False,
        label="Your password, again",
        error_messages={"required": "Type your password."},
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password", "class": "medium"}),
    )

    def __init__(self, request: HttpRequest, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request
        self.user = user

    def clean_password(self) -> str:
        password = str(self.cleaned_data["password"])
        found = authenticate(self.request, username=self.user.username, password=password)
        if found is None or found.pk != self.user.pk:
            raise forms.ValidationError(self.wrong)
        return password


class SignForm(PasswordForm):
    """The signature: the password again, the name and the licence number as typed."""

    signed_name = forms.CharField(
        max_length=120,
        label="Your name, as you sign",
        error_messages={"required": "Type your name, as you sign."},
        widget=forms.TextInput(attrs={"autocomplete": "name", "class": "medium"}),
    )
    licence_number = forms.CharField(
        max_length=60,
        label="Licence number",
        error_messages={"required": "Enter the licence number."},
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
    )
    field_order = ("version", "signed_name", "licence_number", "password")

    def __init__(self, request: HttpRequest, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(request, user, *args, **kwargs)
        self.initial.setdefault("signed_name", user.full_name)
        self.initial.setdefault("licence_number", user.licence_number)
