"""Logging in, changing a password, and following an invitation."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from labcases.domain import people
from labcases.enums import Notation, PaperSize, Role
from labcases.models import Invitation, Organisation, User

LONG_ENOUGH = (
    "15 characters or more; a sentence is easy to remember. Blanks are welcome, and so is "
    "pasting from a password manager."
)
_NEW_PASSWORD = {"autocomplete": "new-password"}
_BAD_CHARACTERS = (
    "A user name holds letters, digits and the characters @ . + - _ only, and no blank."
)


def _with_button(label: str) -> FormHelper:
    helper = FormHelper()
    helper.add_input(Submit("go", label))
    return helper


class LoginForm(AuthenticationForm):
    """Takes pasted text and password managers; says nothing about which of the two is wrong."""

    error_messages = {
        "invalid_login": "User name and password belong to no account. Check both; capital "
        "letters count.",
        "inactive": "This account is closed. Ask a manager of your laboratory or office.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "User name"
        self.fields["username"].error_messages["required"] = "Enter your user name."
        self.fields["password"].error_messages["required"] = "Enter your password."
        self.helper = _with_button("Log in")


class ChangePasswordForm(PasswordChangeForm):
    error_messages = {
        "password_mismatch": "The two new passwords differ. Enter the same one twice.",
        "password_incorrect": "That is not your present password. Enter it again.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        texts = {
            "old_password": ("Present password", "Enter your present password."),
            "new_password1": ("New password", "Enter the new password."),
            "new_password2": ("New password again", "Enter the new password again."),
        }
        for name, (label, required) in texts.items():
            self.fields[name].label = label
            self.fields[name].help_text = ""
            self.fields[name].error_messages["required"] = required
        self.fields["new_password1"].help_text = LONG_ENOUGH
        self.helper = _with_button("Change the password")


class OfficeFields(forms.Form):
    """What is asked of a new office."""

    office_name = forms.CharField(
        max_length=120,
        label="Name of the office",
        error_messages={"required": "Enter the name of the office."},
    )
    office_address = forms.CharField(
        max_length=500,
        label="Address of the office",
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Enter the address of the office; it stands on papers."},
    )
    notation = forms.ChoiceField(choices=Notation, label="Tooth numbers are shown in")
    paper_size = forms.ChoiceField(choices=PaperSize, label="Paper size")

    def office_values(self) -> dict[str, Any]:
        """The new office for ``people.accept``; nothing where none was asked for."""
        if not self.cleaned_data.get("office_name"):
            return {}
        return {
            "office_name": self.cleaned_data["office_name"],
            "office_address": self.cleaned_data["office_address"],
            "notation": Notation(self.cleaned_data["notation"]),
            "paper_size": PaperSize(self.cleaned_data["paper_size"]),
        }

    def drop_office(self) -> None:
        for name in ("office_name", "office_address", "notation", "paper_size"):
            del self.fields[name]


class JoinForm(OfficeFields):
    """A new person chooses user name and password; the one who opens an office names it too."""

    full_name = forms.CharField(
        max_length=120,
        label="Your name",
        help_text="As it is to stand on papers and in the history of a case.",
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": "Enter your name."},
    )
    licence_number = forms.CharField(
        max_length=60,
        required=False,
        label="Licence number",
        help_text="Offered when you sign a prescription.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
    )
    username = forms.CharField(
        max_length=150,
        label="User name",
        help_text="What you type to log in, for example your first name.",
        widget=forms.TextInput(
            attrs={"autocomplete": "username", "autocapitalize": "none", "class": "medium"}
        ),
        error_messages={"required": "Choose a user name."},
    )
    password = forms.CharField(
        label="Password",
        strip=False,
        help_text=LONG_ENOUGH,
        widget=forms.PasswordInput(attrs=_NEW_PASSWORD),
        error_messages={"required": "Choose a password."},
    )
    password_again = forms.CharField(
        label="The same password again",
        strip=False,
        widget=forms.PasswordInput(attrs=_NEW_PASSWORD),
        error_messages={"required": "Enter the password again."},
    )
    field_order = (
        "full_name",
        "licence_number",
        "office_name",
        "office_address",
        "notation",
        "paper_size",
        "username",
    )

    def __init__(self, *args: Any, invitation: Invitation, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial.setdefault("full_name", invitation.invited_name)
        if invitation.role != Role.DENTIST:
            del self.fields["licence_number"]
        if not invitation.opens_office:
            self.drop_office()
        self.helper = _with_button(f"Join {invitation.organisation}")
        if invitation.opens_office:
            self.helper = _with_button("Open the office")

    def clean_username(self) -> str:
        name = str(User.normalize_username(self.cleaned_data["username"]))
        try:
            User.username_validator(name)
        except ValidationError:
            raise ValidationError(_BAD_CHARACTERS, code="characters") from None
        # Names that differ in capitals only would be taken for one another.
        if User.objects.filter(username__iexact=name).exists():
            raise ValidationError(f"The user name {name} is taken. Choose another.", code="taken")
        return name

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        password = cleaned.get("password")
        if not password:
            return cleaned
        again = cleaned.get("password_again")
        if again and again != password:
            self.add_error("password_again", "The two passwords differ. Enter the same one twice.")
        person = User(username=cleaned.get("username", ""), full_name=cleaned.get("full_name", ""))
        try:
            validate_password(password, person)
        except ValidationError as error:
            self.add_error("password", error)
        return cleaned

    def person_values(self) -> dict[str, Any]:
        """The new person for ``people.accept``."""
        return {
            "username": self.cleaned_data["username"],
            "full_name": self.cleaned_data["full_name"],
            "password": self.cleaned_data["password"],
            "licence_number": self.cleaned_data.get("licence_number", ""),
        }


class AcceptForm(OfficeFields):
    """One who is logged in joins with their account; an office of theirs can be linked."""

    office = forms.ModelChoiceField(
        queryset=Organisation.objects.none(),
        required=False,
        blank=True,
        label="Which office",
        empty_label="Open a new office, named below",
        widget=forms.RadioSelect(attrs={"data-needed": True}),
        error_messages={"invalid_choice": "Choose an office of your own, or name a new one."},
    )
    field_order = ("office",)

    def __init__(self, *args: Any, invitation: Invitation, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = _with_button("Accept")
        if not invitation.opens_office:
            self.drop_office()
            del self.fields["office"]
            return
        own = [
            office.pk
            for office in people.offices(user)
            if Role.DENTIST in people.roles_to_invite(user, office)
        ]
        if not own:
            del self.fields["office"]
            return
        self.fields["office"].queryset = Organisation.objects.filter(pk__in=own)  # type: ignore[attr-defined]
        for name in ("office_name", "office_address"):
            self.fields[name].required = False
            self.fields[name].help_text = "For a new office only."
            self.fields[name].widget.attrs["data-needed"] = True

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if "office" in self.fields and not cleaned.get("office"):
            for name in ("office_name", "office_address"):
                if not cleaned.get(name) and name not in self.errors:
                    self.add_error(name, self.fields[name].error_messages["required"])
        return cleaned

    def office_values(self) -> dict[str, Any]:
        """The office that is linked: one of the person's own, or a new one."""
        if self.cleaned_data.get("office"):
            return {"office": self.cleaned_data["office"]}
        return super().office_values()
