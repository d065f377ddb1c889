"""What the rules say of the marks in the set-up log, beside the passes that have them."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from typing import Any

from labcases import notation as numbers
from labcases.domain import calculations, checks, ledger, opponent, teeth
from labcases.domain.calculations import MarkAdvice, SeenMark
from labcases.enums import CheckKind
from labcases.models import Case, ToothSelection
from labcases.outputs.check_view import to_step
from labcases.templatetags.units import NO_BREAK, tooth_number

WORDS = {
    "reduce": ("Reduce", "on the bench"),
    "re-set": ("Re-set, do not grind", "warning"),
    "mark first": ("By foil", "on the bench"),
    "no depth": ("By foil", "on the bench"),
    "dentist decides": ("The dentist decides", "warning"),
    "no rule": ("No rule", "warning"),
    "nothing left": ("Nothing left", "done"),
}
"""Kind of a proposal -> its word and status mark."""


@dataclass(frozen=True)
class MarkRow:
    """One mark with its proposal."""

    movement: str
    tooth: str
    opposing: str
    word: str
    glyph: str
    text: str
    keep: str
    depth_mm: Decimal | None
    predicted_mm: Decimal | None
    left_mm: Decimal | None
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    source: str
    not_ours: str = ""
    """The tooth that yields, in ISO 3950, where it belongs to the opposing denture."""
    kept_off: str = ""
    """Why that tooth is not changed here."""
    ask: Any = None
    """The question that one tap asks about it; the page says it."""

    @property
    def over(self) -> str:
        """How much more than its budget was taken off the tooth that yields."""
        left = self.left_mm
        return "" if left is None or left >= 0 else f"{-left:.2f}{NO_BREAK}mm over"


def build_context(case: Case, notation: str) -> dict[str, Any]:
    """``mark_rows`` for the marks of passes that were not as wanted, and what they rest on."""
    marks = seen(case)
    clearance, height = (checks.latest(case, kind) for kind in CheckKind)
    selection: ToothSelection | None = getattr(case, "selection", None)
    advice = calculations.mark_advice(
        marks,
        kinds={
            tooth: teeth.kind(case.prescription, tooth)
            for tooth in (*numbers.UPPER, *numbers.LOWER)
        },
        made_of=dict.fromkeys(
            teeth.replaced(case.prescription), selection.material if selection else ""
        ),
        clearance=clearance.run.findings if clearance else None,
        height=height.run.findings if height else None,
        taken_mm=taken_mm(case),
    )
    return {
        "mark_rows": [_row(one, notation, case) for one in advice],
        "marks_seen": bool(marks),
        "marks_rest_on": {"clearance": clearance, "height": height},
    }


def seen(case: Case) -> list[SeenMark]:
    """Marks of the last pass in each movement, where it was not as wanted."""
    return [
        SeenMark(movement, tooth)
        for movement, entry in ledger.last_passes(case).items()
        if entry.as_wanted is False
        for tooth in entry.teeth
    ]


def taken_mm(case: Case) -> dict[str, float]:
    """What was logged as taken off each denture tooth."""
    found: dict[str, float] = defaultdict(float)
    for entry in ledger.standing(case):
        for tooth, off_mm in ledger.taken_by(entry).items():
            found[tooth] += float(off_mm)
    return dict(found)


def _row(advice: MarkAdvice, notation: str, case: Case) -> MarkRow:
    word, glyph = WORDS[advice.kind]

    def told(text: str) -> str:
        return _in_numbers(text, advice, notation)

    kept_off = opponent.keeps_off(case, advice.yields) if advice.yields else ""
    return MarkRow(
        movement=str(advice.mark.movement.label),
        tooth=tooth_number(advice.mark.tooth, notation),
        opposing=tooth_number(advice.opposing, notation),
        word=word,
        glyph=glyph,
        text=told(advice.text),
        keep=advice.keep,
        depth_mm=_to_step(advice.depth_mm),
        predicted_mm=_to_step(advice.predicted_mm),
        left_mm=_down(advice.left_mm),
        cautions=tuple(told(text) for text in advice.cautions),
        assumptions=tuple(told(text) for text in advice.assumptions),
        source=advice.source,
        not_ours=advice.yields if kept_off and advice.yields else "",
        kept_off=told(kept_off),
    )


def _in_numbers(text: str, advice: MarkAdvice, notation: str) -> str:
    """A sentence with teeth as the reader numbers them."""
    named = {tooth for tooth in (advice.mark.tooth, advice.opposing, advice.yields) if tooth}
    # Whole numbers of their own only: 0.16 mm is no tooth.
    return re.sub(
        rf"(?<![\d.])(?:{'|'.join(sorted(named))})(?!\d|\.\d)",
        lambda found: tooth_number(found.group(), notation),
        text,
    )


def _down(value_mm: float | None) -> Decimal | None:
    """What may be taken is never told larger than it is."""
    if value_mm is None:
        return None
    return Decimal(f"{value_mm:.6f}").quantize(Decimal("0.01"), rounding=ROUND_FLOOR)


def _to_step(value_mm: float | None) -> Decimal | None:
    """As gaps are shown, where there is one."""
    return None if value_mm is None else to_step(value_mm)
