"""The dentist's verdict on a posterior try-in: the checklist, the vertical, the outcome."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from django import forms
from django.forms import BoundField

from labcases import reference
from labcases.enums import TryInOutcome
from labcases.forms.base import PartForm
from labcases.models import TryIn

OK, CHANGE, REDO = "ok", "change", "redo"
ANSWERS = ((OK, "OK"), (CHANGE, "Change"), (REDO, "Redo"))
NAMED_ONE_BY_ONE = 5
APPROVALS = (TryInOutcome.APPROVED, TryInOutcome.APPROVED_WITH_CHANGES)


@dataclass(frozen=True)
class AskedPause:
    """A pause of the checklist with the boxes that answer it."""

    title: str
    fields: list[BoundField]


class TryInForm(PartForm):
    """Every line has three answers; an approval needs all of them.

    A new record may be asked for at any line, because the rest is then tried again anyway.
    """

    bounds: ClassVar[dict[str, tuple[str, str]]] = {"vertical_mm": ("20", "120")}

    outcome = forms.ChoiceField(
        choices=[row for row in TryInOutcome.choices if row[0] != TryInOutcome.WAIVED],
        label="Outcome",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the outcome of the try-in."},
    )

    class Meta:
        model = TryIn
        fields = ("vertical_mm", "outcome", "changes")
        labels = {"vertical_mm": "Vertical between the two marks", "changes": "What changes"}
        help_texts = {
            "vertical_mm": "Measured with the teeth together. Needed for an approval.",
            "changes": "Needed when the try-in is approved with changes.",
        }
        widgets = {"changes": forms.Textarea(attrs={"rows": 3, "data-needed": True})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["vertical_mm"].widget.attrs["data-needed"] = True
        self.stored_answers = dict(self.instance.answers)
        self.checklist = reference.try_in_checklist(self.instance.case.prescription.arch)
        for line in self._lines():
            self.fields[_name(line)] = forms.ChoiceField(
                choices=ANSWERS,
                label=line.text,
                required=False,
                widget=forms.RadioSelect(attrs={"data-across": True, "data-needed": True}),
            )
            self.initial[_name(line)] = self.stored_answers.get(line.key, "")

    def _lines(self) -> list[reference.CheckLine]:
        return [line for pause in self.checklist for line in pause.lines]

    @property
    def pauses(self) -> list[AskedPause]:
        return [
            AskedPause(pause.title, [self[_name(line)] for line in pause.lines])
            for pause in self.checklist
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        answers = self._answers(cleaned)
        cleaned["answers"] = answers
        outcome = cleaned.get("outcome")
        if outcome in APPROVALS:
            self._refuse_approval(cleaned, answers)
        if outcome == TryInOutcome.APPROVED_WITH_CHANGES and not cleaned.get("changes"):
            self.add_error("changes", "Write what changes.")
        if outcome == TryInOutcome.APPROVED and CHANGE in answers.values():
            self.add_error(
                "outcome",
                "A line is answered with change. Choose approved with changes, and write them.",
            )
        return cleaned

    def _answers(self, cleaned: dict[str, Any]) -> dict[str, str]:
        if self.data.get("keep-answers") == "stored":
            return self.stored_answers
        given = {line.key: cleaned.get(_name(line), "") for line in self._lines()}
        return {key: answer for key, answer in given.items() if answer}

    def _refuse_approval(self, cleaned: dict[str, Any], answers: dict[str, str]) -> None:
        if cleaned.get("vertical_mm") is None and "vertical_mm" not in self.errors:
            self.add_error("vertical_mm", "Enter the vertical that you measured.")
        self._ask_open_lines([line for line in self._lines() if line.key not in answers])
        for line in self._lines():
            if answers.get(line.key) == REDO:
                self.add_error(
                    _name(line),
                    f"To be done again: {line.text}. That is no approval; choose a new record, or "
                    "change the answer.",
                )

    def _ask_open_lines(self, silent: list[reference.CheckLine]) -> None:
        """Name each open line; of many only the first, or the list would be read by nobody."""
        if len(silent) > NAMED_ONE_BY_ONE:
            self.add_error(
                _name(silent[0]),
                f"{len(silent)} lines are not answered, this one first: {silent[0].text}. An "
                "approval needs every line; a new record does not.",
            )
            return
        for line in silent:
            self.add_error(_name(line), f"Answer: {line.text}.")

    def values(self) -> dict[str, Any]:
        return {
            name: self.cleaned_data[name]
            for name in ("vertical_mm", "outcome", "changes", "answers")
        }


class WaiveForm(forms.Form):
    """Why a dentist goes on without a try-in."""

    reason = forms.CharField(
        label="Reason for going on without a try-in",
        max_length=200,
        error_messages={"required": "Give the reason why the try-in is waived."},
    )


def _name(line: reference.CheckLine) -> str:
    return f"answer_{line.key}"
