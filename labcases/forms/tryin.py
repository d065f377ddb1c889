"""The dentist's verdict on a posterior try-in: checklist, numbers, the patient's word, outcome."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, ClassVar

from django import forms

from labcases.domain import sending_back, tryin_numbers
from labcases.enums import TryInOutcome
from labcases.enums.tryin import PatientWord
from labcases.forms.base import PartForm
from labcases.forms.check_lines import AskedPause, add_lines, answer_of, asked, given, words_of
from labcases.forms.tryin_numbers import (
    BOUNDS,
    FIRST,
    FROM_PRESCRIPTION,
    HELP,
    LABELS,
    add_closings,
    closings,
)
from labcases.models import TryIn
from labcases.reference.checklists import CheckLine, lines_of, mouth_pauses

OK, CHANGE, REDO = "ok", "change", "redo"
ANSWERS = ((OK, "OK"), (CHANGE, "Change"), (REDO, "Redo"))
NAMED_ONE_BY_ONE = 5
APPROVALS = (TryInOutcome.APPROVED, TryInOutcome.APPROVED_WITH_CHANGES)
PATIENT = ("patient_saw", "patient_word", "patient_list", "patient_asked_by")
CHOSEN = ("lip_contact", "patient_saw", "patient_word")
NOT_SAID = ("", "Not said yet")
JSON = ("answers", "words", "centric")


class TryInForm(PartForm):
    """Every line has three answers; an approval needs all of them, with their numbers.

    Something may be made again at any line, because the rest is then tried again anyway.
    """

    bounds: ClassVar[dict[str, tuple[str, str]]] = BOUNDS
    together: ClassVar[tuple[str, ...]] = JSON

    outcome = forms.ChoiceField(
        choices=[row for row in TryInOutcome.choices if row[0] != TryInOutcome.WAIVED],
        label="Outcome",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose the outcome of the try-in."},
    )

    class Meta:
        model = TryIn
        fields = (*BOUNDS, "lip_contact", *PATIENT, "outcome", "changes")
        labels = {**LABELS, "changes": "What else changes"}
        help_texts = {
            **HELP,
            "changes": "Needed for an approval with changes where no line says it.",
        }
        widgets = {"changes": forms.Textarea(attrs={"rows": 3, "data-needed": True})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        row = self.instance
        self.stored: dict[str, Any] = {name: getattr(row, name) for name in JSON}
        self.checklist = mouth_pauses(row.case.prescription.arch)
        if not row.outcome:
            self._carry_over()
        add_closings(self, row.centric)
        add_lines(self, self._lines(), ANSWERS, row.answers, row.words)
        for name in CHOSEN:
            field = self.fields[name]
            field.choices = [NOT_SAID, *field.choices[1:]]  # type: ignore[attr-defined]
        for name in (*BOUNDS, "lip_contact", *PATIENT):
            self.fields[name].widget.attrs["data-needed"] = True

    def _carry_over(self) -> None:
        """Show what the prescription says of the own teeth, so that nothing is asked twice."""
        for name, column in FROM_PRESCRIPTION.items():
            if getattr(self.instance, name) is None:
                self.initial[name] = getattr(self.instance.case.prescription, column)

    def _lines(self) -> tuple[CheckLine, ...]:
        return lines_of(self.checklist)

    @property
    def pauses(self) -> list[AskedPause]:
        return asked(
            self, self.checklist, {line.key: self._boxes_at(line) for line in self._lines()}
        )

    def _boxes_at(self, line: CheckLine) -> list[str]:
        """The boxes of the numbers that a line needs; the patient's word stands further down."""
        found: list[str] = []
        for name in line.needs:
            if name == "centric":
                found += [box for box in self.fields if box.startswith("closing_")]
            elif name not in PATIENT:
                found.append(name)
        return found

    # -- what was typed ---------------------------------------------------------------------

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        cleaned["centric"] = self._kept("centric", closings(self, cleaned))
        for name, told in given(cleaned, self._lines()).items():
            cleaned[name] = self._kept(name, told)
        outcome = cleaned.get("outcome")
        self._ask_words(cleaned)
        if outcome in APPROVALS:
            self._refuse_approval(cleaned)
        elif outcome in sending_back.SENDS_BACK:
            self._refuse_sending_back(cleaned)
        if outcome == TryInOutcome.APPROVED_WITH_CHANGES and not self._any_change(cleaned):
            self.add_error("changes", "Write what changes.")
        if outcome == TryInOutcome.APPROVED and CHANGE in cleaned["answers"].values():
            self.add_error(
                "outcome",
                "A line is answered with change. Choose approved with changes.",
            )
        if cleaned.get("patient_word") == PatientWord.LISTED and not cleaned.get("patient_list"):
            self.add_error("patient_list", "List what the patient wants changed.")
        return cleaned

    def _kept(self, name: str, told: Any) -> Any:
        return self.stored[name] if self.data.get(f"keep-{name}") == "stored" else told

    def _any_change(self, cleaned: dict[str, Any]) -> bool:
        return bool(cleaned.get("changes")) or CHANGE in cleaned["answers"].values()

    def _ask_words(self, cleaned: dict[str, Any]) -> None:
        """Ask for words at each line that changes something."""
        for line in self._lines():
            if cleaned["answers"].get(line.key) == CHANGE and not cleaned["words"].get(line.key):
                self.add_error(words_of(line), f"Say what changes: {line.text}.")

    # -- an approval ------------------------------------------------------------------------

    def _refuse_approval(self, cleaned: dict[str, Any]) -> None:
        answers = cleaned["answers"]
        if cleaned.get("vertical_mm") is None and "vertical_mm" not in self.errors:
            self.add_error("vertical_mm", "Enter the vertical that you measured.")
        self._ask_open_lines([line for line in self._lines() if line.key not in answers])
        for line in self._lines():
            if answers.get(line.key) == REDO:
                self.add_error(
                    answer_of(line),
                    f"To be done again: {line.text}. That is no approval; choose not approved or "
                    "a new record, or change the answer.",
                )
            elif answers.get(line.key) == OK:
                self._ask_numbers(line, cleaned)
        self._explain(cleaned)

    def _ask_numbers(self, line: CheckLine, cleaned: dict[str, Any]) -> None:
        """A line that rests on a number is not OK without it."""
        for name in line.needs:
            lacking = cleaned.get(name) in (None, "", [])
            few = name == "centric" and len(cleaned["centric"]) < tryin_numbers.CLOSINGS
            box = FIRST.get(name, name)
            if few:
                self.add_error(
                    box,
                    f"Close three times and note each; {len(cleaned['centric'])} of "
                    f"{tryin_numbers.CLOSINGS} are noted.",
                )
            elif lacking and box not in self.errors:
                label = str(self.fields[box].label)
                self.add_error(
                    box,
                    f"{label} is empty, and the line is answered OK. Enter it, or answer "
                    "otherwise.",
                )

    def _explain(self, cleaned: dict[str, Any]) -> None:
        """Ask for words where a number lies outside what is accepted, and it is approved."""
        row = SimpleNamespace(
            **{
                name: cleaned.get(name)
                for name in ("vertical_rest_mm", "vertical_mm", "speaking_mm", "centric")
            }
        )
        tolerance = tryin_numbers.tolerance_of(self.instance.case)
        boxes = {line.key: words_of(line) for line in self._lines()}
        for one in tryin_numbers.said(row, tolerance):
            if one.state == tryin_numbers.WARNED and not cleaned["words"].get(one.line):
                self.add_error(
                    boxes[one.line], f"{one.text} Say in words why it is approved, or answer redo."
                )

    def _ask_open_lines(self, silent: list[CheckLine]) -> None:
        """Name each open line; of many only the first, or the list would be read by nobody."""
        if len(silent) > NAMED_ONE_BY_ONE:
            self.add_error(
                answer_of(silent[0]),
                f"{len(silent)} lines are not answered, this one first: {silent[0].text}. An "
                "approval needs every line; a new record does not.",
            )
            return
        for line in silent:
            self.add_error(answer_of(line), f"Answer: {line.text}.")

    # -- something is made again ------------------------------------------------------------

    def _refuse_sending_back(self, cleaned: dict[str, Any]) -> None:
        again = sending_back.marked(cleaned["answers"])
        if cleaned["outcome"] == TryInOutcome.NEW_RECORD:
            return
        if sending_back.goes_back_to(again) is None:
            self.add_error(
                "outcome",
                "No line says what is made again. Answer a line with redo, choose a new record, "
                "or approve.",
            )
        elif any(sending_back.needs_record(redo) for redo in again):
            self.add_error(
                "outcome",
                "A line marked redo needs a new jaw record. Choose new record, mount again.",
            )

    def values(self) -> dict[str, Any]:
        return {
            name: self.cleaned_data[name]
            for name in (*BOUNDS, "lip_contact", *PATIENT, "outcome", "changes", *JSON)
        }


class WaiveForm(forms.Form):
    """Why a dentist goes on without a try-in."""

    reason = forms.CharField(
        label="Reason for going on without a try-in",
        max_length=200,
        error_messages={"required": "Give the reason why the try-in is waived."},
    )
