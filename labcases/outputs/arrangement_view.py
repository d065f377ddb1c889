"""Deviations from the natural arrangement as pages and papers show them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from labcases.domain import arrangement
from labcases.enums.proposals import ProposalState
from labcases.models import Case, Proposal
from labcases.templatetags.units import tooth_number

GLYPHS = {
    ProposalState.WAITING: "waiting",
    ProposalState.YES: "done",
    ProposalState.CHANGE: "done",
    ProposalState.NO: "warning",
    ProposalState.WITHDRAWN: "ended",
}


@dataclass(frozen=True)
class DeviationRow:
    """How a tooth is set otherwise, on whose word, and what the dentist said where asked."""

    tooth: str
    words: str
    wanted_by: str
    by: str
    unasked: bool
    proposal: Proposal | None
    glyph: str
    said: str


def build_context(case: Case, notation: str) -> dict[str, Any]:
    """``deviations``, the oldest first."""
    return {"deviations": [_row(one, notation) for one in arrangement.of(case)]}


def _row(one: arrangement.Deviates, notation: str) -> DeviationRow:
    asked = one.proposal
    state = ProposalState(asked.state) if asked else None
    return DeviationRow(
        tooth=tooth_number(one.tooth, notation),
        words=one.words,
        wanted_by=str(one.wanted_by.label),
        by=str(one.entry.by),
        unasked=one.unasked,
        proposal=asked,
        glyph=GLYPHS[state] if state else "",
        said=str(state.label) if state else "",
    )
