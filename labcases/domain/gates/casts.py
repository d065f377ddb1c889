"""A cast that broke: nothing goes on without a new one."""

from __future__ import annotations

from collections.abc import Iterator

from labcases.domain import teeth
from labcases.domain.gates.missing import MANAGER, Missing
from labcases.models import Case, Incident

BROKEN_CAST = "broken-cast"
REPORTED = "broken_cast_reported"
"""Where a list keeps whether such a report of a case is open, so that it asks no further."""


def cast_replaced(case: Case) -> Iterator[Missing]:
    """While a report of a broken cast is open, a new cast of that arch is entered first."""
    if not getattr(case, REPORTED, True):
        return
    reports = [row for row in case.incidents.all() if row.kind == BROKEN_CAST and row.is_open]
    for row in reports[:1]:
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


def _arch(case: Case, row: Incident) -> str:
    """The arch of the cast that was chosen, or else the one that the report names."""
    if row.cast:
        return row.cast.arch
    own = case.prescription.arch
    return {"own": own, "opposing": teeth.other_arch(own)}.get(row.answer, "")
