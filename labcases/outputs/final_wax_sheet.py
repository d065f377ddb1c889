"""Final-wax checklist: both lists with boxes, the wax in mm beside the record, the decisions."""

from __future__ import annotations

from typing import Any

from labcases.domain import final_wax, undoing, wax_measures
from labcases.enums import PaperKind
from labcases.enums.wax import WaxAnswer, WaxList
from labcases.models import Case, User
from labcases.outputs import paper, trimming_view
from labcases.outputs.try_in_sheet import answered_pauses
from labcases.reference.checklists import wax_checklist

TEMPLATE = "outputs/final_wax_sheet.html"
ANSWERS = ("yes", "no", "not asked")


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """The lists as they are answered, or blank; measurements, decisions, cautions, approval."""
    wax = getattr(case, "final_wax", None)
    arch = case.prescription.arch
    return {
        **paper.common(case, PaperKind.FINAL_WAX, by, notation),
        "wax": wax,
        "answers": ANSWERS,
        "lists": [
            {
                "title": which.label,
                "pauses": answered_pauses(
                    wax_checklist(which, arch),
                    tuple(WaxAnswer.values),
                    wax.answers if wax else {},
                    wax.words if wax else {},
                ),
            }
            for which in WaxList
        ],
        "compared": wax_measures.compared(case, wax),
        "cautions": final_wax.cautions(case, wax),
        "photographs": final_wax.photographs(case),
        "views_lacking": final_wax.views_lacking(case),
        "approval_stands": undoing.wax_approval_stands(case)
        and not final_wax.trimmed_otherwise(case, wax),
        "trimmed": trimming_view.in_words(case, notation),
    }
