"""Cast labels: which case, which jaw, which revision, and when it was poured; never a name."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from labcases.domain import casts
from labcases.enums import PaperKind
from labcases.models import Case, User
from labcases.outputs import paper

TEMPLATE = "outputs/cast_label.html"


@dataclass(frozen=True)
class Label:
    """One cast as its label shows it. Without a pour it carries the day of printing."""

    what: str
    poured_at: datetime | None


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """A label for each cast in use; one for the prescribed arch while no cast is entered."""
    common = paper.common(case, PaperKind.CAST_LABEL, by, notation)
    found = [
        Label(_sentence(casts.name_of(cast)), _poured(cast))
        for cast in casts.standing(case)
        if not casts.is_broken(cast)
    ]
    return {**common, "labels": found or [Label(f"{common['paper'].arch} cast", None)]}


def _poured(cast: Any) -> datetime | None:
    own: datetime | None = cast.poured_at
    return own or (cast.impression.poured_at if cast.impression else None)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
