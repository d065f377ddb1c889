"""Erasing what was asked to be erased once the time of keeping is over."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import partial

from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone

from labcases.domain import case_rows, history, redacting
from labcases.models import Attachment, Case, Erasure, HistoryEntry, StockLine

#: What stays of a case: who did what and when, why it was erased, and the laboratory's own shelf.
STAYS = (HistoryEntry, Erasure, StockLine)


@dataclass(frozen=True)
class Due:
    """One case whose time of keeping is over, and what of it would go."""

    row: Erasure
    rows: int
    files: int


def due(today: date) -> list[Due]:
    """Cases for which erasure was asked and whose day has come, the earliest first."""
    found = Erasure.objects.filter(erased_at__isnull=True, kept_until__lte=today)
    return [
        Due(row, rows=_count(row.case), files=len(_files(row.case)))
        for row in found.select_related("case__laboratory", "by")
    ]


def erase(row: Erasure) -> Erasure:
    """Erase the rows, pictures and words of a case; its code, dates and the reason stay.

    Files go when the rows are gone for good. Erasing twice does nothing the second time.
    """
    case = row.case
    with history.turn(case):
        row = Erasure.objects.select_for_update().select_related("by", "case").get(pk=row.pk)
        if row.erased_at is not None:
            return row
        files = _files(case)
        Case.objects.filter(pk=case.pk).update(
            surgery_paper=None, hold_reason="", tray_number="", erased=True
        )
        gone = _delete(case)
        row.erased_at, row.erased_rows, row.erased_files = timezone.now(), gone, len(files)
        row.save(update_fields=("erased_at", "erased_rows", "erased_files"))
        history.write(
            case=case,
            by=row.by,
            act="erased",
            part=redacting.PART,
            changes={"rows": [None, gone], "files": [None, len(files)]},
            reason=f"The time of keeping was over on {row.kept_until:%d-%b-%Y}.",
        )
        redacting.redact(
            case=case,
            by=row.by,
            left=lambda _entry: {"changes": {}, "reason": "", "row": None},
            why="The words of every entry went with the case.",
        )
        for name in files:
            transaction.on_commit(partial(default_storage.delete, name))
    return row


def _delete(case: Case) -> int:
    """Delete every row of a case; whether all points somewhere still is asked at the end."""
    gone = 0
    keys = {model: _keys(case, model) for model in _models()}
    for model, found in keys.items():
        if found:
            rows = model._base_manager.filter(pk__in=found)
            gone += rows._raw_delete(rows.db)
    return gone


def _models() -> Iterable[case_rows.Row]:
    return [model for model in case_rows.ways() if model not in STAYS]


def _keys(case: Case, model: case_rows.Row) -> list[int]:
    return list(case_rows.rows_of(case, model).values_list("pk", flat=True))


def _count(case: Case) -> int:
    return sum(len(_keys(case, model)) for model in _models())


def _files(case: Case) -> list[str]:
    rows = Attachment.objects.filter(case=case).values_list("file", "small")
    return [name for pair in rows for name in pair if name]
