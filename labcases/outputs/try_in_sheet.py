"""Posterior try-in checklist: goes out with the set-up, comes back with the verdict."""

from __future__ import annotations

from typing import Any

from labcases.domain import ledger
from labcases.enums import PaperKind, TryInWish
from labcases.models import Case, User
from labcases.outputs import paper
from labcases.outputs.lab_slip import tooth_lists
from labcases.reference import try_in_checklist

TEMPLATE = "outputs/try_in_sheet.html"
ANSWERS = ("ok", "change", "redo")


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """Pause points with three boxes a line, and the answers that were recorded."""
    last = case.try_ins.last()
    answers = last.answers if last else {}
    return {
        **paper.common(case, PaperKind.TRY_IN, by, notation),
        "try_in": last,
        "not_possible": case.prescription.try_in == TryInWish.NOT_POSSIBLE,
        "pauses": [
            {
                "title": pause.title,
                "lines": [
                    {
                        "text": line.text,
                        "source": line.source,
                        "boxes": [(answer, answers.get(line.key) == answer) for answer in ANSWERS],
                    }
                    for line in pause.lines
                ],
            }
            for pause in try_in_checklist(case.prescription.arch)
        ],
        "teeth": tooth_lists(case.prescription, notation),
        "balance": ledger.balance(case),
        "record": getattr(case, "articulator", None),
    }
