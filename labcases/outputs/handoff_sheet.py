"""Processing handoff: decisions, settings, findings, frozen at the handoff."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from labcases.domain import (
    calculations,
    checks,
    final_wax,
    ledger,
    proposal_reading,
    teeth_needed,
)
from labcases.enums import CheckKind, PaperKind
from labcases.enums.proposals import ANSWERS
from labcases.models import Case, Handoff, Proposal, User
from labcases.outputs import check_view, curing_view, height_view, paper, trimming_view

TEMPLATE = "outputs/handoff_sheet.html"


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """The frozen handoff, or what would be handed over now and is marked as not yet so."""
    handoff = case.handoffs.last()
    return {
        **paper.common(case, PaperKind.HANDOFF, by, notation),
        "handoff": handoff,
        "processed": curing_view.printed(case),
        "wax": getattr(case, "final_wax", None),
        "trimmed_otherwise": final_wax.trimmed_otherwise(case, getattr(case, "final_wax", None)),
        "trimmed": trimming_view.in_words(case, notation),
        "answered": answered(case, handoff.at if handoff else None),
        "record": getattr(case, "articulator", None),
        "mounting": getattr(case, "mounting", None),
        "selection": getattr(case, "selection", None),
        "tooth_lots": teeth_needed.lots(case),
        "balance": ledger.balance(case),
        "try_in": case.try_ins.last(),
        **(_frozen(case, handoff, notation) if handoff else _now(case, notation)),
    }


@dataclass(frozen=True)
class Answered:
    """A proposal that the dentist answered: what, how, by whom and when, and what hung on it.

    ``after`` says that the answer came after this handoff, ``differs`` that the record says
    otherwise than the answer now.
    """

    row: Proposal
    words: str
    said: str
    hung: list[str]
    differs: str
    after: bool


def answered(case: Case, handed_over_at: datetime | None) -> list[Answered]:
    """Every proposal that has an answer, in the order in which they were raised."""
    rows = case.proposals.filter(state__in=ANSWERS).select_related(
        "answered_by", "paper__typed_by", "paper__confirmed_by"
    )
    found = []
    for row in rows:
        row.case = case
        at = row.answered_at
        found.append(
            Answered(
                row=row,
                words=proposal_reading.words(row),
                said=proposal_reading.answer_words(row),
                hung=row.hung,
                differs=proposal_reading.differs(row),
                after=bool(handed_over_at and at and at > handed_over_at),
            )
        )
    return found


def _frozen(case: Case, handoff: Handoff, notation: str) -> dict[str, Any]:
    """Findings as they were frozen. Later changes do not reach them."""
    told, found = handoff.frozen["inputs"], handoff.frozen["findings"]
    clearance = None
    if CheckKind.CLEARANCE in found:
        clearance = check_view.present(
            findings=found[CheckKind.CLEARANCE],
            inputs=told[CheckKind.CLEARANCE],
            prescription=case.prescription,
            notation=notation,
        )
    height = found.get(CheckKind.HEIGHT)
    return {
        "clearance": clearance,
        "height": height_view.rows(height["rows"], notation) if height else [],
        "engine_version": handoff.engine_version,
        "changed": [],
    }


def _now(case: Case, notation: str) -> dict[str, Any]:
    clearance = checks.latest(case, CheckKind.CLEARANCE)
    height = checks.latest(case, CheckKind.HEIGHT)
    return {
        "clearance": check_view.build_context(clearance, notation) if clearance else None,
        "height": height_view.rows(height.run.findings["rows"], notation) if height else [],
        "engine_version": calculations.ENGINE_VERSION,
        "changed": [
            *(clearance.changed if clearance else []),
            *(height.changed if height else []),
        ],
    }
