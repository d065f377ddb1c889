"""Proposing something to the dentist, answering it, and withdrawing it."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any, cast

from django import forms
from django.http import HttpRequest

from labcases import notation as numbers
from labcases.domain import proposal_reading as reading
from labcases.domain import reductions, teeth, vertical
from labcases.domain.proposal_answer import Signature
from labcases.domain.proposal_table import AGREED_MM, SETTINGS, TABLE
from labcases.enums import OpposingTooth
from labcases.enums.proposals import (
    ANSWERS,
    CARRIED_OUT,
    ProposalBasis,
    ProposalKind,
    ProposalState,
)
from labcases.forms.fields import MeasureField
from labcases.forms.signature import PasswordForm
from labcases.models import Case, Proposal, User
from labcases.templatetags.units import mm

K = ProposalKind
LONGEST = 1000


class ProposeForm(forms.Form):
    """One kind of proposal: its own boxes, the reason, and whether the case goes on meanwhile.

    Parameters
    ----------
    kind : ProposalKind
        Which.
    case : Case
        Whose teeth and settings are offered.
    notation : str
        How the reader numbers teeth.
    """

    why = forms.CharField(
        max_length=LONGEST,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="No names of patients: the patient's code is enough.",
    )
    aside = forms.BooleanField(
        label="The case goes on meanwhile: it does not wait for the answer", required=False
    )

    def __init__(self, *args: Any, kind: ProposalKind, case: Case, notation: str, **kw: Any):
        super().__init__(*args, **kw)
        self.kind = kind
        label, empty = _WHY[kind]
        self.fields["why"].label = label
        self.fields["why"].error_messages["required"] = empty
        own = _boxes(kind, case, notation)
        self.fields.update(own)
        self.order_fields([*own, "why", "aside"])

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        number: Decimal | None = cleaned.get("to")
        in_deg = cleaned.get("field", "").endswith("_deg")
        if in_deg and number is not None and number != round(number, 1):
            self.add_error("to", f"{number} deg is finer than an articulator shows. Enter tenths.")
        return cleaned

    def proposed(self) -> dict[str, Any]:
        """What ``domain.proposing.raise_proposal`` takes."""
        told = self.cleaned_data
        return {
            "kind": self.kind,
            "why": told["why"],
            "blocking": not told["aside"],
            "field": told.get("field", ""),
            "tooth": told.get("tooth", ""),
            "basis": told.get("basis", ""),
            "number": next(
                (told[name] for name in ("to", "depth_mm", "agreed_mm") if name in told), None
            ),
        }


_WHY = {
    K.SETTING: ("Why", "Say why the setting is to change."),
    K.REDUCTION: ("Why", "Say why the tooth is to be reduced beyond its budget."),
    K.NATURAL: ("What was found", "Write what was found at this tooth."),
    K.VERTICAL: ("Why", "Say why the vertical is to change."),
    K.ARRANGEMENT: (
        "How it is set, and why otherwise than the natural tooth",
        "Say how the tooth is set otherwise than the natural one, and why.",
    ),
}


def _tooth(label: str, found: Iterable[str], notation: str, empty: str) -> forms.ChoiceField:
    rows = [(one, f"{numbers.show(one, notation)}, {numbers.name(one)}") for one in found]
    return forms.ChoiceField(
        label=label,
        choices=[("", "Choose one"), *rows],
        error_messages={"required": empty, "invalid_choice": empty},
    )


def _of_budget(left: Decimal) -> str:
    """How a tooth stands to its height budget now: "0.3 mm of its budget left"."""
    return f"{mm(left)} of its budget left" if left >= 0 else f"{mm(-left)} over its budget"


def natural_teeth(case: Case) -> list[str]:
    """Natural teeth of both arches that stand once the denture is set."""
    return [
        tooth
        for tooth in (*numbers.UPPER, *numbers.LOWER)
        if teeth.kind(case.prescription, tooth) == OpposingTooth.NATURAL
    ]


def _boxes(kind: ProposalKind, case: Case, notation: str) -> dict[str, forms.Field]:
    row = case.prescription
    if kind == K.SETTING:
        return _setting_boxes(case)
    if kind == K.REDUCTION:
        left = reductions.left_mm(case)
        box = _tooth(
            "Denture tooth", left, notation, "Choose a denture tooth that has a height budget."
        )
        box.choices = [
            (one, f"{words}: {_of_budget(left[one])}" if one in left else words)
            for one, words in cast(Iterable[tuple[str, str]], box.choices)
        ]
        return {
            "tooth": box,
            "depth_mm": MeasureField(
                unit="mm",
                bounds=("0.01", "5"),
                max_digits=6,
                decimal_places=2,
                label="How much is to come off, beside what is off already",
            ),
        }
    if kind == K.NATURAL:
        return {
            "tooth": _tooth(
                "Natural tooth",
                natural_teeth(case),
                notation,
                "Choose the natural tooth at which it was found.",
            )
        }
    if kind == K.VERTICAL:
        low, high = (f"{one:f}" for one in AGREED_MM)
        now = vertical.agreed_mm(case)
        return {
            "agreed_mm": MeasureField(
                unit="mm",
                bounds=(low, high),
                max_digits=6,
                decimal_places=2,
                label="Agreed pin value, from pin zero",
                help_text=f"Agreed now: {mm(now)}. More raises the vertical.",
            )
        }
    return {
        "tooth": _tooth(
            "Denture tooth",
            teeth.replaced(row),
            notation,
            "Choose the tooth that is set otherwise.",
        )
    }


def _setting_boxes(case: Case) -> dict[str, forms.Field]:
    record = getattr(case, "articulator", None)

    def offered(field: str) -> str:
        label, unit = SETTINGS[field].label, "deg" if field.endswith("_deg") else "mm"
        now = "" if record is None else f", {getattr(record, field).normalize():f} {unit} now"
        return f"{label[:1].upper()}{label[1:]}{now}"

    return {
        "field": forms.ChoiceField(
            label="Setting",
            choices=[("", "Choose one"), *((field, offered(field)) for field in SETTINGS)],
            error_messages={"required": "Choose the setting that is to change."},
        ),
        "to": MeasureField(
            max_digits=6,
            decimal_places=2,
            label="What it is to become",
            help_text="Angles in degrees, distances in mm.",
        ),
        "basis": forms.ChoiceField(
            label="What it rests on",
            choices=ProposalBasis,
            widget=forms.RadioSelect,
            error_messages={"required": "Say what the change rests on."},
        ),
    }


class AnswerForm(forms.Form):
    """The dentist's yes, no or change, to the version that stood on the page."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    answer = forms.ChoiceField(
        label="Your answer",
        choices=[(one.value, one.label) for one in ANSWERS],
        widget=forms.RadioSelect(attrs={"data-across": True}),
        error_messages={"required": "Answer yes, no, or yes with a change."},
    )
    text = forms.CharField(
        label="In your words",
        max_length=LONGEST,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, proposal: Proposal, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.add_boxes(proposal)

    def add_boxes(self, proposal: Proposal) -> None:
        """The box for another number, where the kind has one."""
        self.proposal = proposal
        self.fields["answer"].choices = [  # type: ignore[attr-defined]
            (one.value, reading.label(proposal.kind, one)) for one in ANSWERS
        ]
        limits = reading.limits(proposal)
        if limits is not None:
            low, high = (f"{one.normalize():f}" for one in limits)
            self.fields["number"] = MeasureField(
                unit="deg" if proposal.in_deg else "mm",
                bounds=(low, high),
                max_digits=5 if proposal.in_deg else 6,
                decimal_places=1 if proposal.in_deg else 2,
                required=False,
                label="Your number, for a yes with a change",
                help_text=f"{low} to {high} {'deg' if proposal.in_deg else 'mm'}.",
            )
        if limits is None:
            self.fields["text"].help_text = "A change needs your words."
        front = ["version", "answer", *(["number"] if limits is not None else []), "text"]
        self.order_fields([*front, *(name for name in self.fields if name not in front)])

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if cleaned.get("answer") != ProposalState.CHANGE:
            return cleaned
        if "number" not in self.fields:
            if not cleaned.get("text"):
                self.add_error("text", "Write what is to be changed.")
        elif cleaned.get("number") is None and "number" not in self.errors:
            self.add_error("number", "Enter your number, for a yes with a change.")
        return cleaned

    def answered(self) -> dict[str, Any]:
        """What ``domain.proposal_answer.answer`` takes."""
        told = self.cleaned_data
        answer = ProposalState(told["answer"])
        number: Decimal | None = told.get("number") if answer == ProposalState.CHANGE else None
        return {"answer": answer, "text": told["text"], "number": number}

    def signature(self) -> Signature | None:
        return None


class SignedAnswerForm(AnswerForm, PasswordForm):
    """An answer that is a signature: the password again, name and licence number as typed."""

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

    def __init__(
        self, request: HttpRequest, user: User, *args: Any, proposal: Proposal, **kwargs: Any
    ) -> None:
        PasswordForm.__init__(self, request, user, *args, **kwargs)
        self.add_boxes(proposal)
        self.initial.setdefault("signed_name", user.full_name)
        self.initial.setdefault("licence_number", user.licence_number)
        self.order_fields([*(n for n in self.fields if n != "password"), "password"])

    def signature(self) -> Signature | None:
        told = self.cleaned_data
        if told["answer"] not in CARRIED_OUT:
            return None
        return Signature(told["signed_name"], told["licence_number"])


def answer_form(
    request: HttpRequest, user: User, proposal: Proposal, data: Any = None
) -> AnswerForm:
    """The form that answers a proposal; with the password where a yes is a signature."""
    initial = {"version": proposal.version}
    if TABLE[K(proposal.kind)].signed:
        return SignedAnswerForm(request, user, data, proposal=proposal, initial=initial)
    return AnswerForm(data, proposal=proposal, initial=initial)


class WithdrawForm(forms.Form):
    """Why the laboratory takes a proposal back."""

    reason = forms.CharField(
        max_length=200,
        label="Why it is withdrawn",
        error_messages={"required": "Give the reason why the proposal is withdrawn."},
    )
