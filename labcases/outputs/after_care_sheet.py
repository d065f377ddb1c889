"""After-care sheet: what the patient takes home, with whom to call and when to come back."""

from __future__ import annotations

from typing import Any

from labcases.domain import after_care
from labcases.enums import PaperKind
from labcases.enums.delivery import Liner
from labcases.models import Case, Delivery, User
from labcases.outputs import paper

TEMPLATE = "outputs/after_care_sheet.html"
LINERS = (Liner.CONDITIONER, Liner.SOFT)


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """The text of the office or the built-in one; blanks for days that are not known yet."""
    row: Delivery | None = getattr(case, "delivery", None)
    parts = after_care.parts_of(case.office)
    return {
        **paper.common(case, PaperKind.AFTER_CARE, by, notation),
        "telephone": case.office.emergency_telephone,
        "parts": parts,
        "sources": list(dict.fromkeys(told for part in parts for told in part.sources)),
        "delivery": row,
        "liner": row if row and row.liner_kind in LINERS else None,
    }
