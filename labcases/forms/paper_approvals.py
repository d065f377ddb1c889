"""Typing what a dentist approved on paper: the day, the try-in, the wax, or a gate."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any, Protocol

from django import forms

from labcases.domain import paper_approvals
from labcases.domain import proposal_reading as reading
from labcases.domain.paper_approvals import answers_of
from labcases.enums.proposals import ANSWERS, ProposalState
from labcases.enums.signed_papers import PaperSays
from labcases.forms.dates import DateField
from labcases.forms.fields import MeasureField
from labcases.forms.paper_delivery import DeliveryPaperForm
from labcases.forms.tryin import TryInForm, WaiveForm
from labcases.models import Case, Proposal


class Typed(Protocol):
    """A form that says what was typed, ready to be kept."""

    def is_valid(self) -> bool: ...

    def said(self) -> dict[str, Any]: ...


class SurgeryPaperForm(forms.Form):
    """The day that the dentist confirms; it moves the surgery when it is another one."""

    surgery_on = DateField(
        label="Surgery and delivery day on the paper",
        error_messages={"required": "Type the surgery day that stands on the paper."},
    )

    def said(self) -> dict[str, Any]:
        return {"surgery_on": self.cleaned_data["surgery_on"].isoformat()}


class TryInPaperForm(TryInForm):
    """The checklist and the outcome as the paper has them."""

    def said(self) -> dict[str, Any]:
        return {name: _as_text(value) for name, value in self.values().items()}


class WaiverPaperForm(WaiveForm):
    def said(self) -> dict[str, Any]:
        return {"reason": self.cleaned_data["reason"]}


class WaxPaperForm(forms.Form):
    """The wax as the laboratory entered it, and the trimming of the cast."""

    approves = forms.BooleanField(
        label="The paper approves the final wax and the trimming of the cast",
        error_messages={"required": "Tick that the paper approves both, or do not type it."},
    )

    def said(self) -> dict[str, Any]:
        return {"approves": True}


class GatePaperForm(forms.Form):
    """Going on without what is open, with the reason that the dentist wrote."""

    to = forms.ChoiceField(
        label="The case goes on to",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose where the case goes on to."},
    )
    reason = forms.CharField(
        label="Reason on the paper",
        max_length=200,
        help_text="It prints on later papers.",
        error_messages={"required": "Type the reason that stands on the paper."},
    )

    def __init__(self, *args: Any, case: Case, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        found = paper_approvals.passable(case)
        self.fields["to"].choices = [(to.value, to.label) for to in found]  # type: ignore[attr-defined]

    def said(self) -> dict[str, Any]:
        return {"to": self.cleaned_data["to"], "reason": self.cleaned_data["reason"]}


class ProposalPaperForm(forms.Form):
    """The answers that the dentist wrote on one paper; a proposal may be left out.

    ``answer_7``, ``number_7`` and ``text_7`` are those of the proposal with the key 7.
    """

    def __init__(self, *args: Any, case: Case, said: Mapping[str, Any], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        told = {one["proposal"]: one for one in answers_of(said)} if said else {}
        self.rows = {row.pk: row for row in reading.waiting(case)}
        for pk, row in self.rows.items():
            self._add(pk, row, told.get(pk, {}))

    def _add(self, pk: int, row: Proposal, told: Mapping[str, Any]) -> None:
        named = f"proposal {row.number}"
        self.fields[f"answer_{pk}"] = forms.ChoiceField(
            label=f"{row.number}. {reading.words(row)}",
            choices=[
                *((one.value, reading.label(row.kind, one)) for one in ANSWERS),
                ("", "Not on this paper"),
            ],
            required=False,
            initial=told.get("answer", ""),
            widget=forms.RadioSelect(attrs={"data-across": True}),
        )
        if reading.limits(row) is not None:
            self.fields[f"number_{pk}"] = MeasureField(
                label=f"The number of a change to {named}",
                max_digits=6,
                decimal_places=2,
                required=False,
                initial=told.get("number", ""),
                help_text="In the unit of the proposal. Only where a change names one.",
            )
        self.fields[f"text_{pk}"] = forms.CharField(
            label=f"The dentist's words on {named}",
            max_length=1000,
            required=False,
            initial=told.get("text", ""),
            widget=forms.Textarea(attrs={"rows": 2}),
        )

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if not any(cleaned.get(f"answer_{pk}") for pk in self.rows):
            raise forms.ValidationError(
                "Choose what is ticked, yes, no, or yes with a change, of each proposal that the "
                "paper answers; at least one."
            )
        for pk, row in self.rows.items():
            answer = cleaned.get(f"answer_{pk}")
            if answer == ProposalState.CHANGE:
                self._check_change(pk, row, cleaned)
            elif not answer and cleaned.get(f"text_{pk}"):
                self.add_error(
                    f"answer_{pk}",
                    f"Words on proposal {row.number} are typed and no answer. Choose what is "
                    "ticked, or empty the words.",
                )
        return cleaned

    def _check_change(self, pk: int, row: Proposal, cleaned: Mapping[str, Any]) -> None:
        limits, number = reading.limits(row), cleaned.get(f"number_{pk}")
        if limits is None:
            if not cleaned.get(f"text_{pk}"):
                self.add_error(
                    f"text_{pk}", "Type what is to be changed, as it stands on the paper."
                )
        elif f"number_{pk}" not in self.errors and (
            number is None or not limits[0] <= number <= limits[1]
        ):
            self.add_error(
                f"number_{pk}",
                f"Type the number of the change: {limits[0].normalize():f} to "
                f"{reading.shown(row, limits[1])}.",
            )

    def said(self) -> dict[str, Any]:
        told = self.cleaned_data
        found = []
        for pk in self.rows:
            answer = told[f"answer_{pk}"]
            if not answer:
                continue
            number = told.get(f"number_{pk}") if answer == ProposalState.CHANGE else None
            found.append(
                {
                    "proposal": pk,
                    "answer": answer,
                    "number": "" if number is None else f"{number.normalize():f}",
                    "text": told[f"text_{pk}"],
                }
            )
        return {"answers": found}


def form_for(
    says: str, case: Case, data: Any = None, said: Mapping[str, Any] | None = None
) -> Typed:
    """The form of one kind of approval, with what was typed before."""
    told = dict(said or {})
    if says == PaperSays.TRY_IN:
        row = case.try_ins.last()
        if row and told:
            for name, value in paper_approvals.try_in_values(told).items():
                setattr(row, name, value)
        return TryInPaperForm(data, instance=row)
    if says == PaperSays.GATE:
        return GatePaperForm(data, case=case, initial=told)
    if says == PaperSays.DELIVERY:
        return DeliveryPaperForm(data, case=case, said=told)
    if says == PaperSays.PROPOSAL:
        return ProposalPaperForm(data, case=case, said=told)
    if says == PaperSays.SURGERY:
        day = told.get("surgery_on")
        return SurgeryPaperForm(
            data, initial={"surgery_on": date.fromisoformat(day) if day else case.surgery_on}
        )
    if says == PaperSays.WAIVER:
        return WaiverPaperForm(data, initial=told)
    return WaxPaperForm(data, initial=told)


def _as_text(value: Any) -> Any:
    """Numbers and choices as text, and nothing as an empty one; answers stay what they are."""
    if value is None:
        return ""
    return str(value) if isinstance(value, (Decimal, str)) else value
