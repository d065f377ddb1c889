"""The dentist's answer to a proposal, and what it carries out in the same act.

``domain/hanging.py`` says what hangs on an answer before it is given.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import F
from django.utils import timezone

from labcases.domain import bench, hanging, history, stages, taking_back
from labcases.domain import proposal_reading as reading
from labcases.domain.proposal_table import TABLE
from labcases.domain.proposing import AnsweredMeanwhile, log
from labcases.enums.proposals import ANSWERS, CARRIED_OUT, ProposalKind, ProposalState
from labcases.models import ArticulatorRecord, Case, Proposal, SignedPaper, User

ANSWER = "approve"

K = ProposalKind
Values = dict[str, Any]


class NotAnswerable(Exception):
    """This answer cannot be given; the text says why and what to do."""


@dataclass(frozen=True)
class Signature:
    """A signature under an answer: name and licence number as typed, the password checked."""

    name: str
    licence_number: str


def answer(
    *,
    proposal: Proposal,
    version: int,
    answer: ProposalState,
    by: User,
    text: str = "",
    number: Decimal | None = None,
    signature: Signature | None = None,
    paper: SignedPaper | None = None,
) -> Proposal:
    """The dentist's answer, and everything that hangs on it, in one act.

    Parameters
    ----------
    proposal, version
        The proposal as it stood on the person's page.
    answer : ProposalState
        Yes, no, or change.
    by : User
        The dentist; with a ``paper`` who compared it.
    text : str
        The dentist's words; needed where a change names no number.
    number : Decimal, optional
        Of a change: the setting, the depth, or the agreed pin value.
    signature : Signature, optional
        Needed where a yes is a signature, with the password checked by the caller.
    paper : SignedPaper, optional
        The confirmed paper that says so.

    Raises
    ------
    AnsweredMeanwhile
        Somebody answered or withdrew it first. The first answer stands.
    NotAnswerable
        It is stale, it lacks a number or words, or nobody signed it.
    """
    if answer not in ANSWERS:
        raise NotAnswerable("Answer yes, no, or change.")
    with history.turn(proposal.case):
        case = Case.objects.select_for_update().get(pk=proposal.case_id)
        row = Proposal.objects.select_for_update().get(pk=proposal.pk)
        row.case = case
        if not row.waits or row.version != version:
            raise AnsweredMeanwhile(row)
        value = _value(row, answer, number, text)
        signed = _signed(row, answer, value, text, signature, paper)
        told = hanging.hangs(row, answer, number=value)
        values: Values = {
            "state": answer,
            "answer": text.strip(),
            "answered_by": None if paper else by,
            "answered_at": timezone.now(),
            "paper": paper,
            "hung": told.sentences,
            **signed,
        }
        if value is not None:
            values["answered_deg" if row.in_deg else "answered_mm"] = value
        Proposal.objects.filter(pk=row.pk).update(
            version=F("version") + 1, changed_at=timezone.now(), changed_by=by, **values
        )
        before, row = reading.words(row), Proposal.objects.get(pk=row.pk)
        row.case = case
        log(
            row,
            "answered on paper" if paper else "answered",
            [before, reading.answer_words(row)],
            by,
            reason=paper.words if paper else "",
        )
        if answer in CARRIED_OUT:
            with history.consequences():
                _carry_out(row, told, by)
    return Proposal.objects.get(pk=row.pk)


def _value(
    row: Proposal, answer: ProposalState, number: Decimal | None, text: str
) -> Decimal | None:
    """The number that counts from now on; nothing where the kind has none, or for a no."""
    if answer not in CARRIED_OUT:
        return None
    found = reading.stale(row)
    if found:
        raise NotAnswerable(
            f"Proposal {row.number} no longer fits the case: {' '.join(found)} Answer no, or let "
            "the laboratory withdraw it and propose it anew."
        )
    limits = reading.limits(row)
    if answer == ProposalState.YES:
        return row.proposed
    if limits is None:
        if not text.strip():
            raise NotAnswerable("Write what is to be changed.")
        return None
    low, high = limits
    if number is None or not low <= number <= high:
        given = "empty" if number is None else reading.shown(row, number)
        raise NotAnswerable(
            f"The number of your change is {given}. Enter {low.normalize():f} to "
            f"{reading.shown(row, high)}."
        )
    if row.kind != K.REDUCTION and number == row.before:
        raise NotAnswerable(
            f"{reading.shown(row, number)} is what stands now. Enter another number, or answer no."
        )
    return number


def _signed(
    row: Proposal,
    answer: ProposalState,
    value: Decimal | None,
    text: str,
    signature: Signature | None,
    paper: SignedPaper | None,
) -> Values:
    """The signature under a new vertical, with the digest of revision and answer."""
    if not TABLE[K(row.kind)].signed or answer not in CARRIED_OUT:
        return {}
    if paper:
        signature = Signature(paper.signed_name, paper.licence_number)
    if signature is None:
        raise NotAnswerable("A new vertical is signed. Type your name and your password again.")
    return {
        "signed_name": signature.name,
        "licence_number": signature.licence_number,
        "digest": digest(row, answer, value, text),
    }


def digest(row: Proposal, answer: ProposalState, value: Decimal | None, text: str) -> str:
    """SHA-256 over the revision in force, what was proposed and what was answered."""
    current = row.case.prescription
    told = {
        "case": row.case.code,
        "revision": current.revision,
        "prescription": current.digest,
        "proposal": row.number,
        "kind": str(row.kind),
        "before": _plain(row.before),
        "proposed": _plain(row.proposed),
        "answer": str(answer),
        "answered": _plain(value),
        "text": text.strip(),
    }
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def _plain(value: Decimal | None) -> str | None:
    """A number in one fixed spelling, the same before and after it was stored."""
    return None if value is None else f"{value.normalize():f}"


def _carry_out(row: Proposal, told: hanging.Hangs, by: User) -> None:
    """What follows from a yes or a change. A natural tooth, and a reduction, follow by being read.

    Call it inside the transaction of the answer.
    """
    why = f"proposal {row.number}, answered by the dentist"
    if row.kind == K.SETTING and row.answered is not None:
        record = ArticulatorRecord.objects.get(case=row.case)
        bench.approve_setting(record=record, field=row.field, value=row.answered, why=why, by=by)
    taking_back.take_back(case=row.case, things=told.things, by=by, why=why)
    if told.moves:
        stages.bring_back(case=row.case, to=told.to, by=by, because=why)
