"""What the numbers of a try-in say: freeway space, speaking space, centric in the mouth.

The dentist decides; a number outside what is accepted asks for words and refuses nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Protocol

from labcases.domain import calculations
from labcases.domain.cautions import PRACTICE
from labcases.enums.tryin import Closing
from labcases.templatetags.units import mm

CLOSINGS = 3
"""How often centric is closed in the mouth (common practice, no source)."""

ACCEPTED, TOLD, WARNED = "accepted", "told", "warned"


class Numbers(Protocol):
    """A try-in, stored or as it is typed."""

    @property
    def vertical_rest_mm(self) -> Decimal | None: ...
    @property
    def vertical_mm(self) -> Decimal | None: ...
    @property
    def speaking_mm(self) -> Decimal | None: ...
    @property
    def centric(self) -> list[list[str]]: ...


@dataclass(frozen=True)
class Said:
    """One thing that numbers say: of which line of the checklist, how bad, and from where."""

    line: str
    label: str
    text: str
    state: str
    source: str

    @property
    def glyph(self) -> str:
        return {ACCEPTED: "done", TOLD: "not yet", WARNED: "warning"}[self.state]

    @property
    def word(self) -> str:
        return {ACCEPTED: "Accepted", TOLD: "To mind", WARNED: "Look again"}[self.state]


def said(row: Numbers, tolerance_mm: Decimal) -> list[Said]:
    """Everything that the numbers say, in the order of the checklist.

    Parameters
    ----------
    row : Numbers
        The try-in.
    tolerance_mm : Decimal
        Within which the laboratory takes two records as one.
    """
    found = [_centric(row.centric, tolerance_mm), _freeway(row), _speaking(row)]
    return [one for one in found if one is not None]


def _freeway(row: Numbers) -> Said | None:
    if row.vertical_rest_mm is None or row.vertical_mm is None:
        return None
    judged = calculations.freeway(row.vertical_rest_mm, row.vertical_mm)
    if judged is None:
        return None
    return Said(
        "vertical",
        "Freeway space",
        judged.text,
        WARNED if judged.alarm else ACCEPTED,
        judged.source,
    )


def _speaking(row: Numbers) -> Said | None:
    if row.speaking_mm is None:
        return None
    judged = calculations.speaking(row.speaking_mm)
    if judged is None:
        return None
    state = WARNED if judged.alarm else ACCEPTED if judged.band == "no alarm" else TOLD
    return Said("speaking", "Closest speaking space", judged.text, state, judged.source)


def _centric(closings: Sequence[Sequence[str]], tolerance_mm: Decimal) -> Said | None:
    if not closings:
        return None
    off = [pair for pair in closings if off_mm(pair) > tolerance_mm]
    if off:
        state, words = WARNED, f"off by more than {mm(tolerance_mm)}: a new jaw record is usual"
    elif len(closings) < CLOSINGS:
        state, words = TOLD, f"{len(closings)} of {CLOSINGS} closings are noted"
    else:
        state, words = ACCEPTED, f"all within {mm(tolerance_mm)}"
    told = ", ".join(closing_words(pair) for pair in closings)
    return Said(
        "centric_mouth",
        "Centric in the mouth",
        f"{told}: {words}.",
        state,
        f"within what the laboratory takes as one record; {PRACTICE}",
    )


def off_mm(pair: Sequence[str]) -> Decimal:
    """How far a closing was off; the same place is 0."""
    where, much = pair
    return Decimal(0) if where == Closing.SAME else Decimal(much or "0")


def closing_words(pair: Sequence[str]) -> str:
    where, much = pair
    if where == Closing.SAME:
        return "same"
    return f"{mm(much)} {Closing(where).label.lower()}"


def tolerance_of(case: Any) -> Decimal:
    """Within which the laboratory of a case takes two records as one."""
    tolerance: Decimal = case.laboratory.records_agree_mm
    return tolerance
