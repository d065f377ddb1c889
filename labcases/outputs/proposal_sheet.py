"""Proposals to the dentist on paper: what is proposed, what hangs on it, and boxes to tick."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from labcases.domain import hanging
from labcases.domain import proposal_reading as reading
from labcases.domain.hanging import Hangs
from labcases.domain.proposal_table import TABLE
from labcases.enums import PaperKind
from labcases.enums.proposals import ANSWERS, ProposalKind, ProposalState
from labcases.models import Case, Proposal, User
from labcases.outputs import paper

TEMPLATE = "outputs/proposal_sheet.html"


@dataclass(frozen=True)
class Sheet:
    """One proposal that waits."""

    row: Proposal
    words: str
    stale: list[str]
    hangs: list[Hangs]
    unit: str
    limits: str
    change: str
    signed: bool


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """Every proposal that waits, and below them what was answered before."""
    rows = list(case.proposals.select_related("raised_by", "answered_by", "paper"))
    for row in rows:
        row.case = case
    return {
        **paper.common(case, PaperKind.PROPOSALS, by, notation),
        "sheets": [_sheet(row) for row in rows if row.waits],
        "answered": [
            {"row": row, "words": reading.words(row), "said": reading.answer_words(row)}
            for row in rows
            if row.state in ANSWERS
        ],
    }


def _sheet(row: Proposal) -> Sheet:
    limits = reading.limits(row)
    return Sheet(
        row=row,
        words=reading.words(row),
        stale=reading.stale(row),
        hangs=[hanging.hangs(row, one) for one in (ProposalState.YES, ProposalState.NO)],
        unit="" if limits is None else "deg" if row.in_deg else "mm",
        limits=""
        if limits is None
        else f"{limits[0].normalize():f} to {reading.shown(row, limits[1])}",
        change=reading.label(row.kind, ProposalState.CHANGE),
        signed=TABLE[ProposalKind(row.kind)].signed,
    )
