"""Registering a bench device, one's own PIN and badge, and beginning work by them."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms

from labcases.domain import bench_keys
from labcases.forms.signature import PasswordForm

_DIGITS = {"inputmode": "numeric", "autocomplete": "off", "class": "short"}


def _with_button(label: str, **more: Any) -> FormHelper:
    helper = FormHelper()
    for name, value in more.items():
        setattr(helper, name, value)
    helper.add_input(Submit("go", label))
    return helper


class DeviceForm(forms.Form):
    """What the tablet or PC in front of the manager is called."""

    device_name = forms.CharField(
        max_length=40,
        label="Name of this device",
        help_text="As written on it, for example Tablet 2.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
        error_messages={"required": "Enter what this device is called."},
    )
    device_place = forms.CharField(
        max_length=60,
        label="Where it stands",
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
        error_messages={"required": "Enter where this device stands."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = _with_button("Register this device")


class PinForm(PasswordForm):
    """A new PIN, typed twice, and the password."""

    wrong = "That is not your password. The PIN stays as it was; type the password again."

    version = None  # type: ignore[assignment]
    pin = forms.CharField(
        label="New PIN",
        help_text="4 to 8 digits, not all the same.",
        widget=forms.PasswordInput(attrs=_DIGITS),
        error_messages={"required": "Enter the new PIN."},
    )
    pin_again = forms.CharField(
        label="The same PIN again",
        widget=forms.PasswordInput(attrs=_DIGITS),
        error_messages={"required": "Enter the PIN again."},
    )
    field_order = ("pin", "pin_again", "password")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = _with_button("Set the PIN")

    def clean_pin(self) -> str:
        try:
            return bench_keys.check_pin(str(self.cleaned_data["pin"]))
        except ValueError as refused:
            raise forms.ValidationError(str(refused)) from None

    def clean_pin_again(self) -> str:
        again = str(self.cleaned_data["pin_again"])
        if self.cleaned_data.get("pin") not in (None, again):
            raise forms.ValidationError("The two PINs differ. Enter the same one twice.")
        return again


class BadgeForm(PasswordForm):
    """The password, for a new badge."""

    wrong = "That is not your password. No badge was made; type the password again."

    version = None  # type: ignore[assignment]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", "badge_%s")
        super().__init__(*args, **kwargs)
        self.helper = _with_button("Make a new badge")


class EnterPinForm(forms.Form):
    """The PIN of the person who was chosen."""

    pin = forms.CharField(
        max_length=20,
        label="PIN",
        widget=forms.PasswordInput(attrs=_DIGITS | {"autofocus": True}),
        error_messages={"required": "Enter the PIN."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = _with_button("Begin work")


class ScanForm(forms.Form):
    """What a scanner types of a badge; it ends with Enter by itself."""

    badge = forms.CharField(
        max_length=100,
        label="Or scan your badge into this box",
        widget=forms.PasswordInput(attrs={"autocomplete": "off", "autofocus": True}),
        error_messages={"required": "Scan the badge into the box, or choose a person."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = _with_button("Begin work by badge")
