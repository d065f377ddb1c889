"""Raising and withdrawing proposals to the dentist; ``proposal_answer`` has the answer.

A natural tooth is only ever the place of a finding: no number reaches its row.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from django.db.models import F
from django.utils import timezone

from labcases.domain import history, reductions, teeth, vertical
from labcases.domain import proposal_reading as reading
from labcases.domain.calculations import CannotCompute
from labcases.domain.proposal_table import AGREED_MM, SETTINGS
from labcases.enums import OpposingTooth, PrescriptionStatus
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.models import Case, Proposal, User
from labcases.templatetags.units import deg, mm

RAISE = "raise a proposal"
PART = "proposal"

K = ProposalKind


class NotProposable(Exception):
    """It cannot be proposed as the case stands; the text says why and what to do."""


class AnsweredMeanwhile(Exception):
    """Somebody answered or withdrew it first. ``stored`` is what stands now."""

    def __init__(self, stored: Proposal) -> None:
        self.stored = stored
        who = stored.withdrawn_by or stored.answerer
        what = "withdrew" if stored.state == ProposalState.WITHDRAWN else "answered"
        super().__init__(
            f"{who} {what} proposal {stored.number} first: {reading.answer_words(stored)}. Nothing "
            "of yours was saved."
        )


def why_not(case: Case, kind: ProposalKind) -> str:
    """Why nothing of this kind is proposed now; empty when it may be."""
    if case.prescription.status != PrescriptionStatus.SIGNED:
        return "The prescription is not signed yet, so nothing is proposed beside it."
    late = reading.too_late(case, kind)
    if late:
        return f"{late} Ask a question instead."
    if kind == K.SETTING and getattr(case, "articulator", None) is None:
        return "There is no articulator record yet. Enter it first."
    return ""


def raise_proposal(
    *,
    case: Case,
    kind: ProposalKind,
    why: str,
    by: User,
    field: str = "",
    tooth: str = "",
    number: Decimal | None = None,
    basis: str = "",
    blocking: bool = True,
) -> Proposal:
    """Propose something to the dentist. The case waits for the answer unless told otherwise.

    Parameters
    ----------
    case : Case
        Whose.
    kind : ProposalKind
        Which of the kinds; it says which of the following count.
    why : str
        The reason, or what was found, in words.
    by : User
        Who proposes.
    field : str
        The setting.
    tooth : str
        ISO 3950: a denture tooth, or a natural one as the place of a finding.
    number : Decimal, optional
        The setting in its unit; the depth in mm; the agreed pin value in mm. Never for a tooth
        as the place of a finding.
    basis : str
        What a change of a setting rests on.
    blocking : bool
        Whether the case waits.

    Raises
    ------
    NotProposable
        Not for this case as it stands.
    """
    with history.turn(case):
        fresh = Case.objects.select_for_update().get(pk=case.pk)
        reason = why_not(fresh, kind)
        if reason:
            raise NotProposable(reason)
        values = _VALUES[kind](fresh, field, tooth, number)
        last = fresh.proposals.last()
        row = Proposal.objects.create(
            case=fresh,
            kind=kind,
            number=last.number + 1 if last else 1,
            why=why,
            basis=basis if kind == K.SETTING else "",
            blocking=blocking,
            raised_by=by,
            changed_by=by,
            **{**values, "bound": {**reading.bound_to(fresh), **values.get("bound", {})}},
        )
        log(row, "raised", [None, reading.words(row)], by, reason=why)
    return row


Values = dict[str, Any]


def _setting(case: Case, field: str, _tooth: str, number: Decimal | None) -> Values:
    if field not in SETTINGS:
        raise NotProposable("Choose the setting that is to change.")
    setting, unit = SETTINGS[field], "deg" if field.endswith("_deg") else "mm"
    show = deg if unit == "deg" else mm
    before = getattr(case.articulator, field)
    low, high = setting.hard
    if number is None or not low <= number <= high:
        given = "empty" if number is None else show(number)
        raise NotProposable(
            f"The {setting.label} is {given}. Enter {low.normalize():f} to {show(high)}."
        )
    if number == before:
        raise NotProposable(
            f"The {setting.label} is {show(before)} already. Enter what it is to become."
        )
    return {"field": field, f"before_{unit}": before, f"proposed_{unit}": number}


def _reduction(case: Case, _field: str, tooth: str, number: Decimal | None) -> Values:
    if teeth.kind(case.prescription, tooth) != OpposingTooth.DENTURE or tooth not in (
        teeth.posterior_sites(case.prescription)
    ):
        raise NotProposable(
            f"{tooth or 'Nothing'} is no posterior denture tooth of this case. A reduction is "
            "proposed for a denture tooth only; adjusting natural teeth is the dentist's decision."
        )
    try:
        found = reductions.beyond(case, tooth, float(number or 0))
    except CannotCompute as refused:
        raise NotProposable(str(refused)) from refused
    left = Decimal(str(round(found.left_mm, 2)))
    if number is not None and number <= left:
        raise NotProposable(
            f"{mm(number)} at {tooth} is within its height budget ({mm(left)} left), so it needs "
            "no proposal."
        )
    return {
        "tooth": tooth,
        "before_mm": left,
        "proposed_mm": number,
        "bound": reductions.measured(found),
    }


def _natural(case: Case, _field: str, tooth: str, _number: Decimal | None) -> Values:
    """The place of a finding, and nothing else: no number reaches the row."""
    if teeth.kind(case.prescription, tooth) != OpposingTooth.NATURAL:
        raise NotProposable(
            f"{tooth or 'Nothing'} is no natural tooth that stands once the denture is set. Choose "
            "the natural tooth at which something was found."
        )
    return {"tooth": tooth}


def _vertical(case: Case, _field: str, _tooth: str, number: Decimal | None) -> Values:
    before = vertical.agreed_mm(case)
    low, high = AGREED_MM
    if number is None or number == before or not low <= number <= high:
        given = "empty" if number is None else mm(number)
        raise NotProposable(
            f"The new agreed pin value is {given}, and {mm(before)} is agreed. Enter another value "
            f"from {mm(low)} to {mm(high)}."
        )
    return {"before_mm": before, "proposed_mm": number}


def _arrangement(case: Case, _field: str, tooth: str, _number: Decimal | None) -> Values:
    if tooth not in teeth.replaced(case.prescription):
        raise NotProposable(
            f"{tooth or 'Nothing'} is no denture tooth of this case. Choose the tooth that is set "
            "otherwise than the natural one."
        )
    return {"tooth": tooth}


_VALUES: Mapping[ProposalKind, Callable[[Case, str, str, Decimal | None], Values]] = {
    K.SETTING: _setting,
    K.REDUCTION: _reduction,
    K.NATURAL: _natural,
    K.VERTICAL: _vertical,
    K.ARRANGEMENT: _arrangement,
}


def withdraw(*, proposal: Proposal, reason: str, by: User) -> Proposal:
    """The laboratory takes a proposal back that nobody has answered.

    Raises
    ------
    ValueError
        No reason is given.
    AnsweredMeanwhile
        It is answered, or was withdrawn.
    """
    if not reason.strip():
        raise ValueError("Give the reason why the proposal is withdrawn.")
    with history.turn(proposal.case):
        written = Proposal.objects.filter(pk=proposal.pk, state=ProposalState.WAITING).update(
            state=ProposalState.WITHDRAWN,
            withdrawn_by=by,
            withdrawn_reason=reason.strip(),
            closed_at=timezone.now(),
            version=F("version") + 1,
            changed_by=by,
        )
        row = Proposal.objects.get(pk=proposal.pk)
        if not written:
            raise AnsweredMeanwhile(row)
        log(row, "withdrawn", [reading.words(row), "withdrawn"], by, reason=reason.strip())
    return row


def log(row: Proposal, act: str, said: list[Any], by: User, reason: str = "") -> None:
    """One line of the case's history about a proposal. Call it inside ``history.turn``."""
    history.write(
        case=row.case,
        by=by,
        act=act,
        part=PART,
        changes={f"proposal {row.number}": said},
        reason=reason,
        row=history.made(row),
    )
