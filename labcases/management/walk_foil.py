"""Passes with foil of a case on its way."""

from __future__ import annotations

from collections.abc import Iterable

from labcases.domain import passes
from labcases.domain.passes import Marked
from labcases.models import Case, SetUpEntry, User


def foil(
    case: Case, by: User, movement: str, marks: Iterable[str | Marked], as_wanted: bool | None
) -> SetUpEntry:
    """Log a pass; a tooth alone is one whose strength nobody looked at."""
    return passes.log_pass(
        case=case,
        by=by,
        movement=movement,
        marks=[one if isinstance(one, Marked) else Marked(one) for one in marks],
        as_wanted=as_wanted,
    )
