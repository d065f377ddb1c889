"""Writes history, and guards it in the database."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from copy import copy
from typing import Any

from django.db import transaction
from django.db.models import Field, Model

from labcases.domain.access import device_words, positions
from labcases.models import Case, ChainHead, HistoryEntry, Organisation, User

_written: ContextVar[list[HistoryEntry] | None] = ContextVar("written", default=None)
_follows: ContextVar[bool] = ContextVar("follows", default=False)
_changed: ContextVar[set[int] | None] = ContextVar("changed", default=None)

# Fields that identify a person: history says that they changed, never the value.
IDENTITY_FIELDS = frozenset({"name", "patient", "patient_name", "mark_text"})


def label(model: type[Model] | Model, field: str) -> str:
    """The words that a reader of the history sees for a field."""
    return str(getattr(model._meta.get_field(field), "verbose_name", field))


def shown(row: Model, field: str) -> Any:
    """A field's value as history stores it: JSON, in the words of the screen."""
    value = getattr(row, field)
    if isinstance(value, (bool, int, dict, list)) or value is None:
        return value
    return str(value)


def differences(before: Model, after: Mapping[str, Any]) -> dict[str, list[Any]]:
    """Fields whose value would change, as label -> [before, after]."""
    found: dict[str, list[Any]] = {}
    for field, value in after.items():
        old = getattr(before, field)
        if old == value:
            continue
        if field in IDENTITY_FIELDS:
            found[label(before, field)] = ["", "changed"]
            continue
        plain = value if isinstance(value, (bool, int, dict, list)) or value is None else str(value)
        found[label(before, field)] = [shown(before, field), plain]
    return found


@contextmanager
def consequences() -> Iterator[None]:
    """What is written in here follows from another act, and is not undone on its own."""
    token = _follows.set(True)
    try:
        yield
    finally:
        _follows.reset(token)


@contextmanager
def noting() -> Iterator[list[HistoryEntry]]:
    """Gather the entries that are written in here, in their order."""
    found: list[HistoryEntry] = []
    token = _written.set(found)
    try:
        yield found
    finally:
        _written.reset(token)


# --- what an undo starts from ------------------------------------------------------------------


def made(row: Model) -> dict[str, Any]:
    """A row that did not stand before."""
    return {"of": row._meta.model_name, "key": row.pk, "version": getattr(row, "version", 1)}


def kept(before: Model, after: Mapping[str, Any], *, version: int) -> dict[str, Any] | None:
    """A row whose fields change: its values before and after, and the version it comes to.

    Nothing where a field identifies a person: such a value is kept nowhere but in its row.
    """
    if IDENTITY_FIELDS & set(after):
        return None
    changed = [field for field, value in after.items() if getattr(before, field) != value]
    then = copy(before)
    for field in changed:
        setattr(then, field, after[field])
    return {
        "of": before._meta.model_name,
        "key": before.pk,
        "version": version,
        "before": {field: raw(before, field) for field in changed},
        "after": {field: raw(then, field) for field in changed},
    }


def raw(row: Model, field: str) -> Any:
    """A field's value as JSON, from which ``Field.to_python`` makes it again."""
    column: Field[Any, Any] = row._meta.get_field(field)  # type: ignore[assignment]
    return None if column.value_from_object(row) is None else column.value_to_string(row)


@contextmanager
def turn(of: Case | Organisation) -> Iterator[None]:
    """The transaction of a change that writes history, begun by waiting for one's turn.

    Everybody who writes history of a laboratory passes here one after the other. The turn is
    taken before any row of the case is locked; otherwise one person could hold a row and wait
    for the turn while another holds the turn and waits for that row.

    Parameters
    ----------
    of : Case or Organisation
        The case that changes, or the laboratory of one that is about to be opened.
    """
    laboratory = of.laboratory_id if isinstance(of, Case) else of.pk
    with turns([laboratory]):
        yield


@contextmanager
def turns(laboratories: Iterable[int]) -> Iterator[None]:
    """The same for a change that writes history of several laboratories, always in one order."""
    with transaction.atomic():
        for key in sorted(set(laboratories)):
            ChainHead.objects.locked(key)
        with _planned_again():
            yield


@contextmanager
def _planned_again() -> Iterator[None]:
    """At the end of the outermost turn, plan again every case of which history was written."""
    if _changed.get() is not None:
        yield
        return
    changed: set[int] = set()
    token = _changed.set(changed)
    try:
        yield
    finally:
        _changed.reset(token)
    if changed:
        # It reads cases as lists do, by modules that write history themselves.
        from labcases.domain import replanning  # noqa: PLC0415

        replanning.refresh(changed)


def write(
    *,
    case: Case,
    by: User,
    act: str,
    part: str,
    changes: Mapping[str, list[Any]] | None = None,
    reason: str = "",
    row: Mapping[str, Any] | None = None,
) -> HistoryEntry:
    """Append one entry. Call it inside ``turn``, with the change itself.

    ``row`` is what an undo of the act starts from (``made``, ``kept``); without it, or in
    what follows from another act, the act is not undone on its own.
    """
    held = positions(by, case)
    entry = HistoryEntry.objects.create(
        case=case,
        by=by,
        position=", ".join(sorted(str(position) for position in held)) + device_words(by),
        act=act,
        part=part,
        changes=dict(changes or {}),
        reason=reason,
        row=None if row is None or _follows.get() else dict(row),
    )
    noted = _written.get()
    if noted is not None:
        noted.append(entry)
    changed = _changed.get()
    if changed is not None:
        changed.add(case.pk)
    return entry


def write_line(*, row: Any, part: str, line: str, by: User, act: str = "entered") -> HistoryEntry:
    """Append that a line of a log was entered, with what it says; an undo starts from its row.

    Parameters
    ----------
    row : a line of a log
        As it was stored.
    part, line : str
        What the line belongs to, and its words.
    by : User
        Who entered it.
    act : str, optional
        What was done, where it is not that the line was entered.
    """
    return write(
        case=row.case, by=by, act=act, part=part, changes={"line": [None, line]}, row=made(row)
    )
