"""Writes history, and guards it in the database."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from django.db import transaction
from django.db.models import Model

from labcases.domain.access import positions
from labcases.models import Case, ChainHead, HistoryEntry, Organisation, User

# Fields that identify a person: history says that they changed, never the value.
IDENTITY_FIELDS = frozenset({"name", "patient", "patient_name"})


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
    with transaction.atomic():
        ChainHead.objects.locked(laboratory)
        yield


def write(
    *,
    case: Case,
    by: User,
    act: str,
    part: str,
    changes: Mapping[str, list[Any]] | None = None,
    reason: str = "",
) -> HistoryEntry:
    """Append one entry. Call it inside ``turn``, with the change itself."""
    held = positions(by, case)
    return HistoryEntry.objects.create(
        case=case,
        by=by,
        position=", ".join(sorted(str(position) for position in held)),
        act=act,
        part=part,
        changes=dict(changes or {}),
        reason=reason,
    )
