"""Remount sheet: the pin after processing, contacts before and after, what was corrected."""

from __future__ import annotations

from typing import Any

from labcases.domain import remount_ledger
from labcases.enums import PaperKind
from labcases.models import Case, RemountCheck, User
from labcases.outputs import paper, remount_view
from labcases.reference import safety
from labcases.reference.remount import remount_checklist

TEMPLATE = "outputs/remount_sheet.html"


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """The remount as it stands; blanks to write on where nothing is logged."""
    check: RemountCheck | None = getattr(case, "remount_check", None)
    return {
        **paper.common(case, PaperKind.REMOUNT, by, notation),
        **remount_view.build_context(case, notation),
        "lines": [line for line in remount_view.lines(case, notation) if not line.struck][::-1],
        "logged": bool(remount_ledger.standing(case)),
        "check": check,
        "answers": ("Yes", "No"),
        "safety_first": safety.first(),
        "safety": safety.at("remount"),
        "pauses": [
            {
                "title": pause.title,
                "lines": [
                    {
                        "text": line.text,
                        "words": check.words.get(line.key, "") if check else "",
                        "boxes": [
                            bool(check and check.answers.get(line.key) == answer)
                            for answer in ("yes", "no")
                        ],
                    }
                    for line in pause.lines
                ],
            }
            for pause in remount_checklist()
        ],
    }
