"""Both values of a conflict, in the words of the screen."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from datetime import datetime

from labcases.domain.versions import EditConflict
from labcases.views._words import in_words, plain, sentence_case


@dataclass(frozen=True)
class Row:
    """One field on which two people differ."""

    name: str
    label: str
    yours: str
    stored: str


@dataclass(frozen=True)
class Conflict:
    """What ``parts/_conflict.html`` shows."""

    stored_by: str
    stored_at: datetime
    rows: list[Row]
    text: str

    @property
    def clashes(self) -> list[Row]:
        return self.rows


def shown(found: EditConflict, fields: Container[str]) -> Conflict:
    """Both values of the fields that the person had on the page."""
    stored = found.stored
    return Conflict(
        stored_by=str(stored.changed_by or "Somebody else"),
        stored_at=stored.changed_at,
        rows=[
            Row(
                name=clash.field,
                label=sentence_case(clash.label),
                yours=in_words(stored, clash.field, clash.yours),
                stored=in_words(stored, clash.field, clash.stored),
            )
            for clash in found.clashes
            if clash.field in fields
        ],
        text=str(found),
    )


__all__ = ["Conflict", "Row", "in_words", "plain", "shown"]
