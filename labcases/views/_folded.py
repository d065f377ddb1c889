"""One part of a case, folded to a line: its state, what it says, and where it is opened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from django.db.models import Model
from django.urls import reverse

from labcases.domain import history
from labcases.models import Case
from labcases.templatetags.units import NO_BREAK
from labcases.views._words import in_words, sentence_case, split_unit

Pairs = list[dict[str, str]]


@dataclass(frozen=True)
class Part:
    """One folded line; ``pairs`` stand in it when it is unfolded."""

    id: str
    title: str
    url: str
    line: str
    done: bool | None = None
    word: str = ""
    stale: bool = False
    mark: str = ""
    fresh: int = 0
    pairs: Pairs = field(default_factory=list)

    @property
    def glyph(self) -> str:
        """Nothing for parts that are never finished, such as the history."""
        if self.mark:
            return self.mark
        if self.done is None:
            return ""
        return "done" if self.done else "not yet"


def pairs(row: Model, fields: Sequence[str]) -> Pairs:
    """Label and value of the filled fields of a row, with units."""
    found = []
    for name in fields:
        label = history.label(row, name)
        value = in_words(row, name, getattr(row, name))
        if not value:
            continue
        label, unit = split_unit(label)
        shown = f"{value}{NO_BREAK}{unit}" if unit else sentence_case(value)
        found.append({"label": sentence_case(label), "value": shown})
    return found


def url_of(name: str, case: Case) -> str:
    return reverse(name, args=[case.code])


def many(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"
