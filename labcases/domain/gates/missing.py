"""One missing thing, and who may go on without it."""

from __future__ import annotations

from dataclasses import dataclass

MANAGER = "pass a manager's gate"
DENTIST = "pass a dentist's gate"
PASSES = frozenset({MANAGER, DENTIST})


@dataclass(frozen=True)
class Missing:
    """One thing that is missing: the sentence, and where it is mended.

    ``part`` names a page and ``field`` a form field on it; ``passable`` is the act
    of the access table that may go on without it, with a reason.
    """

    text: str
    part: str
    field: str = ""
    passable: str | None = None
