"""How a signature on paper reads, wherever it is shown. Reads only."""

from __future__ import annotations

from labcases.enums import PrescriptionStatus
from labcases.enums.signed_papers import OPEN_PAPERS, PaperState
from labcases.models import Case, Prescription, SignedPaper


def of_draft(row: Prescription) -> SignedPaper | None:
    """The paper from which a draft is typed, while it is typed or waits to be confirmed."""
    return row.papers.filter(state__in=OPEN_PAPERS).select_related("typed_by").first()


def of_revision(row: Prescription) -> SignedPaper | None:
    """The paper that a signed revision rests on; nothing where it was signed by a log-in."""
    if row.signed_by_id is not None or row.status == PrescriptionStatus.DRAFT:
        return None
    return (
        row.papers.filter(state=PaperState.CONFIRMED)
        .select_related("typed_by", "confirmed_by")
        .first()
    )


def waiting(case: Case) -> list[SignedPaper]:
    """Papers of a case that are typed or wait to be confirmed, the oldest first."""
    return list(case.signed_papers.filter(state__in=OPEN_PAPERS).select_related("typed_by"))


def signature(row: Prescription) -> str:
    """The words of a revision that was signed on paper; empty for any other."""
    paper = of_revision(row)
    return paper.words if paper else ""
