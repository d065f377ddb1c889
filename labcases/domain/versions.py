"""Saving rows that two people may have open at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from django.db import IntegrityError, models, transaction
from django.utils import timezone

from labcases.domain import history
from labcases.models import Case, User
from labcases.models.base import Versioned


@dataclass(frozen=True)
class Clash:
    """One field that both people changed or that would be overwritten."""

    field: str
    label: str
    yours: Any
    stored: Any


class EditConflict(Exception):
    """Somebody else saved first. Holds the stored row and both values of each field."""

    def __init__(self, stored: Versioned, yours: Mapping[str, Any]) -> None:
        self.stored = stored
        self.yours = dict(yours)
        self.clashes = [
            Clash(field, history.label(stored, field), value, getattr(stored, field))
            for field, value in yours.items()
            if getattr(stored, field) != value
        ]
        who = stored.changed_by or "Somebody else"
        super().__init__(
            f"{who} saved this part while you had it open. Nothing of yours is lost: compare "
            "both values below, keep what is right and save again."
        )


Row = TypeVar("Row", bound=Versioned)


def save_row(
    *,
    row: Row,
    version: int,
    by: User,
    case: Case,
    part: str,
    act: str = "changed",
    reason: str = "",
    values: Mapping[str, Any],
) -> Row:
    """Store changed fields if nobody came first, with one history entry.

    Parameters
    ----------
    row : Versioned
        The stored row, or one without primary key that is to be created.
    version : int
        The version that the person started from; ignored for a new row.
    by : User
        Who saves.
    case : Case
        Whose history the entry joins.
    part, act, reason : str
        The words of the history entry.
    values : mapping
        Field name -> new value, already cleaned.

    Returns
    -------
    Versioned
        The row as it now stands. A save that changes nothing writes nothing.

    Raises
    ------
    EditConflict
        ``version`` is no longer the stored one. Nothing was written.
    """
    with history.turn(case):
        model = type(row)
        if row.pk is None:
            for field, value in values.items():
                setattr(row, field, value)
            row.changed_by = by
            changes = {
                history.label(row, field): [None, history.shown(row, field)]
                for field in values
                if field not in history.IDENTITY_FIELDS
                and history.shown(row, field) not in ("", None)
            }
            try:
                with transaction.atomic():
                    row.save(force_insert=True)
            except IntegrityError:
                raise EditConflict(_who_came_first(row), values) from None
            history.write(
                case=case,
                by=by,
                act="entered" if act == "changed" else act,
                part=part,
                changes=changes,
                reason=reason,
                row=history.made(row),
            )
            return row
        stored = model._default_manager.select_for_update().get(pk=row.pk)
        changes = history.differences(stored, values)
        if not changes:
            return stored
        if stored.version != version:
            raise EditConflict(stored, values)
        written = model._default_manager.filter(pk=row.pk, version=version).update(
            version=models.F("version") + 1,
            changed_at=timezone.now(),
            changed_by=by,
            **values,
        )
        if not written:
            raise EditConflict(model._default_manager.get(pk=row.pk), values)
        history.write(
            case=case,
            by=by,
            act=act,
            part=part,
            changes=changes,
            reason=reason,
            row=history.kept(stored, values, version=version + 1),
        )
        return model._default_manager.get(pk=row.pk)


def _who_came_first(row: Versioned) -> Versioned:
    """The stored row that stands where a new one was to go: one a case, or one a key."""
    keys: tuple[str, ...] = next(
        (
            tuple(constraint.fields)
            for constraint in row._meta.constraints
            if isinstance(constraint, models.UniqueConstraint) and constraint.condition is None
        ),
        ("case",),
    )
    return (
        type(row)._default_manager.filter(**{key: getattr(row, key) for key in keys}).latest("pk")
    )
