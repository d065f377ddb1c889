"""What the rules say of the marks of the last passes, and what was done about each."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from typing import Any

from labcases import notation as numbers
from labcases.domain import calculations, checks, excursions, ledger, opponent, reductions, teeth
from labcases.domain.calculations import AS_SAID, MarkAdvice, SeenMark
from labcases.domain.reductions import Allowed
from labcases.enums import CheckKind, Movement, SetUpAct
from labcases.models import Case, Mark, SetUpEntry, ToothSelection
from labcases.outputs.check_view import to_step
from labcases.templatetags.units import NO_BREAK, tooth_number

WORDS = {
    "reduce": ("Reduce", "on the bench"),
    "re-set": ("Re-set, do not grind", "warning"),
    "mark first": ("Go by the foil", "on the bench"),
    "no depth": ("Go by the foil", "on the bench"),
    "dentist decides": ("The dentist decides", "warning"),
    "ask first": ("Say first", "waiting"),
    "no rule": ("No rule", "warning"),
    "nothing left": ("Nothing left", "done"),
}
"""Kind of a proposal -> its word and status mark."""
_BY_GRINDING = frozenset({WORDS["reduce"][0], WORDS["no depth"][0]})
# Where grinding is not the answer, what the natural tooth does is asked.
_ASKED = frozenset({"re-set", "dentist decides", "no rule"})


@dataclass(frozen=True)
class MarkRow:
    """One mark with its proposal."""

    movement: str
    tooth: str
    opposing: str
    mark: Mark
    """What a reduction is bound to: the mark of the tooth that yields, where that marked."""
    yields: str
    """The tooth that yields, in ISO 3950."""
    word: str
    glyph: str
    text: str
    keep: str
    depth_mm: Decimal | None
    """What is proposed, never more than the interference or the budget."""
    predicted_mm: Decimal | None
    left_mm: Decimal | None
    leaves_mm: Decimal | None
    """What the depth leaves of the budget."""
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    source: str
    natural: str = ""
    """The natural tooth of the pair, in ISO 3950, where only the dentist can decide."""
    done: tuple[SetUpEntry, ...] = ()
    """What was taken off for this mark."""
    allowed: str = ""
    """By which answer the dentist lets more off than the budget."""
    not_ours: str = ""
    """The tooth that yields, in ISO 3950, where it belongs to the opposing denture."""
    kept_off: str = ""
    """Why that tooth is not changed here."""
    said: str = ""
    """What was said of its excursions (``Excursions``), the last word."""
    ask: Any = None
    """The question that one tap asks about it; the page says it."""
    offers: tuple[tuple[str, str], ...] = ()
    """What can be proposed to the dentist about it: address and words; the page says it."""

    @property
    def may_grind(self) -> bool:
        """A denture tooth of this case yields, and grinding is what is proposed."""
        return bool(self.yields) and not self.not_ours and self.word in _BY_GRINDING

    @property
    def asks(self) -> bool:
        """Whether its cusp marks in the excursions too is not known, and nothing is proposed."""
        return self.word == WORDS["ask first"][0]

    @property
    def may_say_otherwise(self) -> bool:
        """What is proposed rests on what was said of its excursions, and not on their passes."""
        return any(text.endswith(AS_SAID) for text in self.assumptions)

    @property
    def beyond(self) -> bool:
        """More than its budget would come off a denture tooth of this case: the dentist may."""
        return bool(
            self.yields
            and not self.not_ours
            and self.left_mm is not None
            and self.word == WORDS["re-set"][0]
        )

    @property
    def over(self) -> str:
        """How much more than its budget was taken off the tooth that yields."""
        left = self.left_mm
        return "" if left is None or left >= 0 else f"{-left:.2f}{NO_BREAK}mm over"


def build_context(case: Case, notation: str) -> dict[str, Any]:
    """``mark_rows`` for the marks of passes that nobody calls as wanted, and what they rest on."""
    found = open_marks(case)
    marks = [
        SeenMark(Movement(mark.entry.movement), mark.tooth, mark.cusps, mark.in_excursions)
        for mark in found.values()
    ]
    clearance, height = (checks.latest(case, kind) for kind in CheckKind)
    selection: ToothSelection | None = getattr(case, "selection", None)
    allowed = reductions.allowed(case)
    prescription = case.prescription
    advice = calculations.mark_advice(
        marks,
        kinds={
            tooth: teeth.kind(prescription, tooth) for tooth in (*numbers.UPPER, *numbers.LOWER)
        },
        made_of=dict.fromkeys(
            teeth.replaced(prescription), selection.material if selection else ""
        ),
        clearance=clearance.run.findings if clearance else None,
        height=height.run.findings if height else None,
        taken_mm=reductions.taken_mm(case),
        allowed_mm={tooth: float(one.total_mm) for tooth, one in allowed.items()},
        excursions=excursions.seen(case),
    )
    done = _done(case)
    return {
        "mark_rows": [_row(one, notation, case, found, done, allowed) for one in advice],
        "marks_seen": bool(marks),
        "marks_rest_on": {"clearance": clearance, "height": height},
    }


def open_marks(case: Case) -> dict[tuple[str, str], Mark]:
    """Marks of the last pass in each movement, unless it was as wanted: movement, tooth -> mark."""
    last = {entry.pk: entry for entry in ledger.last_passes(case).values() if not entry.as_wanted}
    found = {}
    for mark in Mark.objects.filter(entry__in=last):
        mark.entry = last[mark.entry_id]
        mark.entry.case = case
        found[mark.entry.movement, mark.tooth] = mark
    return found


def _done(case: Case) -> dict[int, list[SetUpEntry]]:
    """Mark -> what was taken off for it."""
    found: dict[int, list[SetUpEntry]] = defaultdict(list)
    for entry in ledger.standing(case):
        if entry.act == SetUpAct.REDUCTION and entry.mark_id is not None:
            found[entry.mark_id].append(entry)
    return found


def _row(
    advice: MarkAdvice,
    notation: str,
    case: Case,
    marks: Mapping[tuple[str, str], Mark],
    done: Mapping[int, list[SetUpEntry]],
    allowed: Mapping[str, Allowed],
) -> MarkRow:
    word, glyph = WORDS[advice.kind]
    movement = advice.mark.movement.value
    pair = [
        marks[movement, tooth]
        for tooth in dict.fromkeys((advice.yields or "", advice.mark.tooth, advice.opposing))
        if (movement, tooth) in marks
    ]
    depth_mm, left_mm = _down_to_step(advice.depth_mm), _down(advice.left_mm)

    def told(text: str) -> str:
        return in_numbers(text, advice, notation)

    kept_off = opponent.keeps_off(case, advice.yields) if advice.yields else ""
    return MarkRow(
        movement=str(advice.mark.movement.label),
        tooth=tooth_number(advice.mark.tooth, notation),
        opposing=tooth_number(advice.opposing, notation),
        mark=pair[0],
        yields=advice.yields or "",
        word=word,
        glyph=glyph,
        text=told(advice.text),
        keep=advice.keep,
        depth_mm=depth_mm,
        predicted_mm=_to_step(advice.predicted_mm),
        left_mm=left_mm,
        leaves_mm=None if left_mm is None or depth_mm is None else left_mm - depth_mm,
        cautions=tuple(told(text) for text in advice.cautions),
        assumptions=tuple(told(text) for text in advice.assumptions),
        source=advice.source,
        natural=(advice.natural or "") if advice.kind in _ASKED else "",
        done=tuple(entry for mark in pair for entry in done.get(mark.pk, ())),
        allowed=allowed[advice.yields].words if advice.yields and advice.yields in allowed else "",
        not_ours=advice.yields if kept_off and advice.yields else "",
        kept_off=told(kept_off),
        said=next((mark.in_excursions for mark in pair if mark.in_excursions), ""),
    )


def in_numbers(text: str, advice: MarkAdvice, notation: str) -> str:
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


def _down_to_step(value_mm: float | None) -> Decimal | None:
    """A depth to 0.05 mm as gaps are shown, but never told larger than it is."""
    exact = _down(value_mm)
    if exact is None:
        return None
    step = to_step(float(exact), ROUND_FLOOR)
    return step if step > 0 else exact


def _to_step(value_mm: float | None) -> Decimal | None:
    """As gaps are shown, where there is one."""
    return None if value_mm is None else to_step(value_mm)
