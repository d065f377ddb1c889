"""Both values of a conflict, in the words of the screen."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from labcases.domain.versions import Clash, EditConflict
from labcases.outputs import tryin_view
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
                label=_label(clash, fields),
                yours=in_words(stored, clash.field, clash.yours),
                stored=in_words(stored, clash.field, clash.stored),
            )
            for clash in found.clashes
            if clash.field in fields
        ],
        text=str(found),
    )


def _label(clash: Clash, fields: Container[str]) -> str:
    """The words at the field of the form, when the form's own fields were given."""
    field = fields.get(clash.field) if isinstance(fields, Mapping) else None
    return str(getattr(field, "label", "") or "") or sentence_case(clash.label)


def of_lines(row: Row, yours: Any, stored: Any) -> Row:
    """A row of answers to a checklist: only the lines that differ, in their own words."""
    return replace(
        row,
        label="Answers" if row.name == "answers" else "In words",
        yours=tryin_view.differing(yours, stored),
        stored=tryin_view.differing(stored, yours),
    )


__all__ = ["Conflict", "Row", "in_words", "of_lines", "plain", "shown"]
