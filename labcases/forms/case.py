"""Small forms of the page of a case: move, hold, tray."""

from __future__ import annotations

from typing import Any

from django import forms

from labcases.enums import Stage
from labcases.forms.base import with_version
from labcases.models import Case


class MoveForm(forms.Form):
    """Where a case goes, from which stage the person saw it, and why when that is asked."""

    to = forms.ChoiceField(
        choices=Stage,
        widget=forms.HiddenInput,
        error_messages={
            "required": "Choose where the case goes.",
            "invalid_choice": "There is no such stage. Choose one of the moves below.",
        },
    )
    seen = forms.ChoiceField(choices=Stage, widget=forms.HiddenInput, required=False)
    reason = forms.CharField(
        label="Reason",
        max_length=200,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "data-needed": True}),
    )

    @classmethod
    def for_move(cls, case: Case, to: Stage) -> MoveForm:
        return cls(initial={"to": to, "seen": case.stage}, auto_id=_ids(to))

    @classmethod
    def posted(cls, data: Any) -> MoveForm:
        return cls(data, auto_id=_ids(str(data.get("to", ""))))


def _ids(to: str) -> str:
    """Several moves stand on one page; their fields keep apart by this."""
    return f"id_%s_{to if to in Stage.values else 'move'}".replace(" ", "-")


class HoldForm(forms.Form):
    """Why a case is put on hold."""

    reason = forms.CharField(
        label="Why is the case put on hold?",
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": "Give the reason why the case is put on hold."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs["auto_id"] = "id_%s_hold"
        super().__init__(*args, **kwargs)


class TrayForm(forms.Form):
    """The number of the tray in which a case lies at the laboratory."""

    tray_number = forms.CharField(
        label="Tray number",
        max_length=20,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "short"}),
    )
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, case: Case, **kwargs: Any) -> None:
        self.case = case
        kwargs["initial"] = {"tray_number": case.tray_number, "version": case.version}
        kwargs["auto_id"] = "id_%s_tray"
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        """Take the stored number where the person chose it after a conflict."""
        cleaned = super().clean() or self.cleaned_data
        if self.data.get("keep-tray_number") == "stored":
            cleaned["tray_number"] = self.case.tray_number
        return cleaned

    def show_stored(self, version: int) -> None:
        """Keep what was typed, but start the next try from the stored version."""
        self.data = with_version(self.data, "version", version)
