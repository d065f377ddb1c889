"""Posterior try-in checklist: goes out with the set-up, comes back with the verdict."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from labcases.domain import bench_check, ledger, tryin_numbers
from labcases.enums import PaperKind, TryInWish
from labcases.models import Case, User
from labcases.outputs import paper, tryin_view
from labcases.reference.checklists import Pause, bench_pauses, mouth_pauses

TEMPLATE = "outputs/try_in_sheet.html"
ANSWERS = ("ok", "change", "redo")
BENCH_ANSWERS = ("yes", "no")

BLANKS: tuple[tuple[str, str], ...] = (
    ("Vertical at rest", "mm"),
    ("Vertical between the two marks, teeth together", "mm"),
    ("Freeway space (rest less teeth together)", "mm"),
    ("Closest speaking space", "mm"),
    ("Incisal display at rest", "mm"),
    ("Incisal display smiling", "mm"),
    ("Midline offset, to the patient's ☐ right ☐ left", "mm"),
    ("Change of length wanted, ☐ longer ☐ shorter ☐ none", "mm"),
)
"""What is read in the mouth and on the patient's own front teeth, with its unit."""

CLOSING = "Closing {}: ☐ same ☐ forward ☐ behind ☐ right ☐ left, off by"


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """Pause points with their boxes, blanks for the numbers, and what was recorded already."""
    last = case.try_ins.last()
    arch = case.prescription.arch
    check = bench_check.shown(case)
    return {
        **paper.common(case, PaperKind.TRY_IN, by, notation),
        "try_in": last,
        "not_possible": case.prescription.try_in == TryInWish.NOT_POSSIBLE,
        "answers": ANSWERS,
        "bench_answers": BENCH_ANSWERS,
        "bench": answered_pauses(
            bench_pauses(arch),
            BENCH_ANSWERS,
            check.answers if check else last.answers if last else {},
            check.words if check else {},
        ),
        "bench_check": check,
        "pauses": answered_pauses(
            mouth_pauses(arch),
            ANSWERS,
            last.answers if last else {},
            last.words if last else {},
        ),
        "numbers": tryin_view.numbers(last) if last and last.outcome else [],
        "said": tryin_numbers.said(last, tryin_numbers.tolerance_of(case)) if last else [],
        "blanks": BLANKS,
        "closings": [CLOSING.format(number) for number in range(1, tryin_numbers.CLOSINGS + 1)],
        "balance": ledger.balance(case),
        "record": getattr(case, "articulator", None),
    }


def answered_pauses(
    pauses: Iterable[Pause],
    choices: tuple[str, ...],
    answers: Mapping[str, str],
    words: Mapping[str, str],
) -> list[dict[str, Any]]:
    """Pauses for ``outputs/_pause.html``: each line with a box for each choice."""
    return [
        {
            "title": pause.title,
            "lines": [
                {
                    "text": line.text,
                    "words": words.get(line.key, ""),
                    "boxes": [answers.get(line.key) == answer for answer in choices],
                }
                for line in pause.lines
            ],
        }
        for pause in pauses
    ]
