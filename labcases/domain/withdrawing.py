"""The patient's code and name taken out of every text of a case.

Codes are chosen by offices, and a short one may be a tooth as well. Such a code is taken out only
where the word "patient" stands before it; a longer one, with a letter in it, wherever it stands as
a word of its own. Lots, digests and what the engine was asked are never touched.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import models

from labcases.domain import case_rows
from labcases.models import (
    Case,
    CheckRun,
    Erasure,
    HistoryEntry,
    MarksCompared,
    MarkText,
    StockLine,
)

NAMELESS = "[name withdrawn]"
LEAST = 4
"""Letters and figures that a code has before it is looked for anywhere in a text."""

_NEVER = frozenset(
    {
        *("sha256", "small_sha256", "sent_sha256", "digest", "said_digest", "mark_digest"),
        *("approved_digest", "inputs", "inputs_digest", "findings", "engine_version"),
        *("content_type", "lot", "base_lot", "template_lot", "liner_lot", "lots", "tracking"),
    }
)
_APART = (HistoryEntry, Erasure, StockLine, CheckRun, MarksCompared, MarkText)


@dataclass(frozen=True)
class Identity:
    """What is looked for, and what stands in its place from then on."""

    code: str
    name: str
    pseudonym: str

    def without(self, value: Any) -> Any:
        """A text, or texts inside lists and tables, with neither code nor name; the rest as is."""
        if isinstance(value, str):
            for pattern, instead in self._patterns():
                value = pattern.sub(rf"\g<1>{instead}", value)
            return value
        if isinstance(value, list):
            return [self.without(one) for one in value]
        if isinstance(value, dict):
            return {key: self.without(one) for key, one in value.items()}
        return value

    def _patterns(self) -> Iterable[tuple[re.Pattern[str], str]]:
        code = re.escape(self.code)
        ahead = r"(?![A-Za-z0-9])"
        yield re.compile(rf"(\bpatient(?: code)?:? ?){code}{ahead}", re.IGNORECASE), self.pseudonym
        if len(self.code) >= LEAST and re.search(r"[A-Za-z]", self.code):
            yield re.compile(rf"((?<![A-Za-z0-9])){code}{ahead}", re.IGNORECASE), self.pseudonym
        for name in self._names():
            yield re.compile(rf"(\b){re.escape(name)}\b", re.IGNORECASE), NAMELESS

    def _names(self) -> Iterable[str]:
        """The whole name, then its last word, where that is long enough to mean somebody."""
        words = self.name.split()
        if words:
            yield self.name.strip()
        if len(words) > 1 and len(words[-1]) >= LEAST:
            yield words[-1]


def from_rows(case: Case, who: Identity) -> int:
    """Take code and name out of the rows of a case; how many rows had them."""
    count = 0
    for model in case_rows.ways():
        if model in _APART or model._meta.auto_created:
            continue
        names = _texts(model)
        for row in case_rows.rows_of(case, model):
            count += _from(row, names, who)
    return count + _from(case, ["hold_reason"], who)


def _from(row: models.Model, names: list[str], who: Identity) -> int:
    less = {
        name: told
        for name in names
        if (told := who.without(getattr(row, name))) != getattr(row, name)
    }
    if not less:
        return 0
    type(row)._base_manager.filter(pk=row.pk).update(**less)
    return 1


def _texts(model: type[models.Model]) -> list[str]:
    """Columns in which a person may have written anything."""
    return [
        field.name
        for field in model._meta.concrete_fields
        if isinstance(field, (models.CharField, models.TextField, models.JSONField))
        and not field.choices
        and field.name not in _NEVER
    ]
