"""What was taken off denture teeth, in the set-up and after processing, and what may still be."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from labcases.domain import calculations, ledger, remount_ledger, teeth
from labcases.domain.calculations import Beyond, HeightRow
from labcases.enums.proposals import ProposalKind
from labcases.models import Case, Proposal


@dataclass(frozen=True)
class Allowed:
    """How much the dentist lets off a tooth altogether, and by which proposal."""

    total_mm: Decimal
    number: int

    @property
    def words(self) -> str:
        return f"allowed by the dentist, proposal {self.number}"


def taken_mm(case: Case) -> dict[str, float]:
    """What was logged as taken off each denture tooth."""
    found: dict[str, float] = defaultdict(float)
    for entry in ledger.standing(case):
        for tooth, taken in ledger.taken_by(entry).items():
            found[tooth] += float(taken)
    for tooth, taken in remount_ledger.corrected(case):
        found[tooth] += float(taken)
    return dict(found)


def budgets(case: Case) -> dict[str, HeightRow]:
    """The height budget of each site as it stands now."""
    return {row.tooth: row for row in calculations.height_budget(case).rows}


def left_mm(case: Case) -> dict[str, Decimal]:
    """What may still come off each denture tooth that has a height budget; minus is over it."""
    taken = taken_mm(case)
    return {
        tooth: Decimal(f"{row.occlusal_budget_mm - taken.get(tooth, 0.0):.2f}")
        for tooth, row in budgets(case).items()
        if row.occlusal_budget_mm is not None
    }


def beyond(case: Case, tooth: str, depth_mm: float) -> Beyond:
    """A depth beyond the budget, read of the case as it stands.

    Raises
    ------
    calculations.CannotCompute
        It is no denture tooth, has no budget, or would be ground through.
    """
    site = next((row for row in case.sites.all() if row.tooth == tooth), None)
    least = site.shell_min_mm if site else None
    return calculations.beyond(
        tooth=tooth,
        kind=teeth.kind(case.prescription, tooth),
        depth_mm=depth_mm,
        row=budgets(case).get(tooth),
        shell_min_mm=None if least is None else float(least),
        taken_mm=taken_mm(case).get(tooth, 0.0),
    )


def measured(found: Beyond) -> dict[str, Any]:
    """What an answer is bound to: the site as it was measured, and what was taken off by then."""
    return {
        "budget_mm": found.budget_mm,
        "shell_left_mm": found.shell_left_mm,
        "shell_min_mm": found.shell_min_mm,
        "taken_mm": found.taken_mm,
    }


def allowed(case: Case) -> dict[str, Allowed]:
    """Tooth -> what the dentist allowed beyond its budget, while the site is as it was then."""
    rows = [
        row
        for row in case.proposals.all()
        if row.kind == ProposalKind.REDUCTION and row.carried_out and row.answered_mm is not None
    ]
    now = budgets(case) if rows else {}
    return {
        row.tooth: Allowed(_total_mm(row), row.number)
        for row in rows
        if _as_it_was(row, now.get(row.tooth))
    }


def _total_mm(row: Proposal) -> Decimal:
    taken = Decimal(str(round(row.bound["taken_mm"], 2)))
    return taken + (row.answered_mm or Decimal("0"))


def _as_it_was(row: Proposal, now: HeightRow | None) -> bool:
    return (
        now is not None
        and now.occlusal_budget_mm == row.bound["budget_mm"]
        and now.shell_left_mm == row.bound["shell_left_mm"]
    )
