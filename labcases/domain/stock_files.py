"""Taking a file into the tooth stock: looked at first, then all of it or nothing."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from django.utils import timezone

from labcases.domain import history, stock_table
from labcases.domain.stock_table import COLUMNS, Row
from labcases.enums.teeth import StockAct
from labcases.models import Organisation, StockFile, StockLine, ToothSet, User
from labcases.models.stock import IDENTITY

NEW, CHANGED, SAME, REFUSED = "new", "changed", "same", "refused"
ACTS = (REFUSED, NEW, CHANGED, SAME)
BATCH = 500
WHY = "from a file"

_IDENTITY_AT = tuple(COLUMNS.index(name) for name in IDENTITY)
_OTHERS = tuple(name for name in COLUMNS if name not in IDENTITY)
_OTHERS_AT = tuple(COLUMNS.index(name) for name in _OTHERS)
_COUNT_AT = COLUMNS.index("count")


class NotTakenIn(Exception):
    """Nothing was written; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What would happen to one row, or why it is refused."""

    row: Row
    act: str
    said: tuple[str, ...] = ()
    pk: int | None = None
    version: int = 0
    before: tuple[Any, ...] = ()

    @property
    def name(self) -> str:
        values = self.row.values
        return ", ".join(str(values[at]) for at in _IDENTITY_AT if values[at]) if values else ""


@dataclass(frozen=True)
class Plan:
    """Every row of a file with its outcome."""

    outcomes: list[Outcome]

    @property
    def counts(self) -> dict[str, int]:
        found = Counter(one.act for one in self.outcomes)
        return {act: found[act] for act in ACTS}

    @property
    def changes_nothing(self) -> bool:
        counts = self.counts
        return not (counts[NEW] or counts[CHANGED] or counts[REFUSED])

    @property
    def digest(self) -> str:
        """What a person looked at: when the stock changes meanwhile, this does too."""
        told = hashlib.sha256()
        for one in self.outcomes:
            told.update(f"{one.row.number} {one.act} {one.pk} {one.version}\n".encode())
        return told.hexdigest()


def look(*, laboratory: Organisation, content: bytes, by: User) -> StockFile:
    """Keep a file to be looked at; nothing of the stock changes.

    Raises
    ------
    labcases.domain.stock_table.Unreadable
        The file as a whole cannot be read.
    """
    rows = stock_table.read(content)
    with history.turn(laboratory):
        # What the same person looked at before and did not take in is not needed any more.
        laboratory.stock_files.filter(by=by, taken_in_at__isnull=True).delete()
        return StockFile.objects.create(
            laboratory=laboratory, content=content, rows=len(rows), by=by
        )


def plan(file: StockFile) -> Plan:
    """What taking the file in would do now, row by row."""
    stored = {
        row[2 : 2 + len(IDENTITY)]: row
        for row in ToothSet.objects.filter(laboratory=file.laboratory).values_list(
            "pk", "version", *IDENTITY, *_OTHERS
        )
    }
    first: dict[tuple[Any, ...], int] = {}
    outcomes = []
    for row in stock_table.read(bytes(file.content)):
        if row.refusals:
            said = tuple(f"{one.column}: {one.text}" for one in row.refusals)
            outcomes.append(Outcome(row, REFUSED, said))
            continue
        identity = tuple(row.values[at] for at in _IDENTITY_AT)
        if identity in first:
            said = (f"line: The same kind of set stands in row {first[identity]}. Leave one.",)
            outcomes.append(Outcome(row, REFUSED, said))
            continue
        first[identity] = row.number
        outcomes.append(_outcome(row, stored.get(identity)))
    return Plan(outcomes)


def _outcome(row: Row, there: tuple[Any, ...] | None) -> Outcome:
    if there is None:
        return Outcome(row, NEW, (f"{row.values[_COUNT_AT]} on the shelf",))
    pk, version = there[:2]
    before = there[2 + len(IDENTITY) :]
    row, kept = _filled_up(row, before)
    after = tuple(row.values[at] for at in _OTHERS_AT)
    said = tuple(
        f"{name}: {_plain(old)} to {_plain(new)}"
        for name, old, new in zip(_OTHERS, before, after, strict=True)
        if old != new
    )
    return Outcome(row, CHANGED if said else SAME, (*said, *kept), pk, version, before)


def _filled_up(row: Row, before: tuple[Any, ...]) -> tuple[Row, tuple[str, ...]]:
    """An empty cell takes nothing away: the row with what stands there, and a word on each."""
    values, kept = list(row.values), []
    for name, at, old in zip(_OTHERS, _OTHERS_AT, before, strict=True):
        if values[at] in ("", None) and old not in ("", None):
            values[at] = old
            kept.append(f"{name}: stays {_plain(old)}, as the cell is empty")
    return replace(row, values=tuple(values)), tuple(kept)


def _plain(value: Any) -> str:
    return "nothing" if value in ("", None) else stock_table.shown(value)


def take_in(*, file: StockFile, digest: str, by: User) -> dict[str, int]:
    """Write every row of a file that was looked at, or none.

    Returns
    -------
    dict
        How many rows were new, changed and the same.

    Raises
    ------
    NotTakenIn
        It was taken in already, a row is refused, or the stock changed since it was looked at.
    """
    with history.turn(file.laboratory):
        locked = StockFile.objects.select_for_update().get(pk=file.pk)
        if locked.taken_in_at:
            raise NotTakenIn(f"{locked.taken_in_by} took this file in already. Nothing changed.")
        wanted = plan(locked)
        refused = wanted.counts[REFUSED]
        if refused:
            rows = "1 row is" if refused == 1 else f"{refused} rows are"
            raise NotTakenIn(
                f"{rows} refused, so nothing was taken in. Mend the file and choose it again."
            )
        if wanted.digest != digest:
            raise NotTakenIn(
                "The stock changed since you looked at this file. Look at it again: what would "
                "happen now stands below."
            )
        _write(locked.laboratory, wanted.outcomes, by)
        locked.content = b""
        locked.taken_in_at = timezone.now()
        locked.taken_in_by = by
        locked.save()
        return wanted.counts


def _write(laboratory: Organisation, outcomes: Iterable[Outcome], by: User) -> None:
    """In batches, so that no statement grows with the file."""
    batch: list[Outcome] = []
    for one in outcomes:
        if one.act in (NEW, CHANGED):
            batch.append(one)
        if len(batch) == BATCH:
            _write_batch(laboratory, batch, by)
            batch = []
    if batch:
        _write_batch(laboratory, batch, by)


def _write_batch(laboratory: Organisation, batch: list[Outcome], by: User) -> None:
    sets = [
        ToothSet(
            laboratory=laboratory,
            changed_by=by,
            version=one.version + 1,
            **dict(zip(COLUMNS, one.row.values, strict=True)),
        )
        for one in batch
    ]
    ToothSet.objects.bulk_create(
        sets,
        update_conflicts=True,
        unique_fields=["laboratory", *IDENTITY],
        update_fields=[*_OTHERS, "version", "changed_at", "changed_by"],
    )
    StockLine.objects.bulk_create(
        StockLine(
            tooth_set_id=one.pk or row.pk,
            act=StockAct.IMPORTED,
            before=one.before[_OTHERS.index("count")] if one.before else 0,
            after=row.count,
            changes=_changes(one, row),
            why=WHY,
            by=by,
        )
        for one, row in zip(batch, sets, strict=True)
    )


def _changes(one: Outcome, row: ToothSet) -> dict[str, list[Any]]:
    """As the log of a change by hand has them: label of a field -> before and after."""
    if not one.before:
        return {}
    return {
        history.label(row, name): [None if old is None else str(old), history.shown(row, name)]
        for name, old in zip(_OTHERS, one.before, strict=True)
        if name != "count" and old != getattr(row, name)
    }
