"""What an open report keeps a case from going on for: a new cast, a tooth in place of one."""

from __future__ import annotations

from collections.abc import Iterator

from labcases import notation
from labcases.domain import teeth, teeth_needed
from labcases.domain.gates.missing import MANAGER, Missing
from labcases.enums.teeth import TeethState
from labcases.models import Case, Incident

BROKEN_CAST, PERFORATED = "broken-cast", "perforated-tooth"
HOLDING = (BROKEN_CAST, PERFORATED)
REPORTED = "holding_report"
"""Where a list keeps whether such a report of a case is open, so that it asks no further."""


def cast_replaced(case: Case) -> Iterator[Missing]:
    """While a report of a broken cast is open, a new cast of that arch is entered first."""
    for row in _open(case, BROKEN_CAST)[:1]:
        arch = _arch(case, row)
        new = [cast for cast in case.casts.all() if cast.at > row.at and cast.struck_at is None]
        if not any(arch in ("", cast.arch) for cast in new):
            yield Missing(
                f"A report says that a cast{f' of the {arch} arch' if arch else ''} broke, and no "
                "new one is entered since. Enter and inspect the new cast, or close the report "
                "with what was done.",
                "casts",
                passable=MANAGER,
            )


def tooth_replaced(case: Case) -> Iterator[Missing]:
    """While a report of a tooth that was ground through is open, one in its place is here."""
    for tooth in dict.fromkeys(t for row in _open(case, PERFORATED) for t in row.teeth):
        there = next((row for row in teeth_needed.standing(case) if row.tooth == tooth), None)
        part = "posterior" if notation.is_posterior(tooth) else "anterior"
        where = f"{notation.arch_of(tooth)}-{part}"
        if there is None:
            yield Missing(
                f"Tooth {tooth} was ground through, and none in its place is entered. Take one "
                "from stock, order it, or say that it is here; or close the report with what was "
                "done.",
                "teeth",
                where,
                MANAGER,
            )
        elif there.state == TeethState.ORDERED:
            yield Missing(
                f"Tooth {tooth} is {teeth_needed.on_its_way(there)}.", "teeth", where, MANAGER
            )


def _open(case: Case, kind: str) -> list[Incident]:
    if not getattr(case, REPORTED, True):
        return []
    return [row for row in case.incidents.all() if row.kind == kind and row.is_open]


def _arch(case: Case, row: Incident) -> str:
    """The arch of the cast that was chosen, or else the one that the report names."""
    if row.cast:
        return row.cast.arch
    own = case.prescription.arch
    return {"own": own, "opposing": teeth.other_arch(own)}.get(row.answer, "")
