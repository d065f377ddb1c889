"""Striking a line out: it is never erased, and it says by whom and why."""

from __future__ import annotations

from typing import Any, TypeVar

from django.db import models
from django.utils import timezone

from labcases.domain import history
from labcases.models import (
    Cast,
    CastLook,
    CheckRecord,
    Complaint,
    ComplaintEntry,
    DeviceStatement,
    Disinfection,
    Impression,
    Incident,
    Piece,
    ProcessingStep,
    ReleaseLot,
    RemountEntry,
    ReviewEntry,
    Settlement,
    SetUpEntry,
    TakenRecord,
    UsedMaterial,
    User,
)


class AlreadyStruck(Exception):
    """The line was struck out before."""


Line = TypeVar(
    "Line",
    SetUpEntry,
    CheckRecord,
    Impression,
    Cast,
    CastLook,
    Piece,
    Settlement,
    TakenRecord,
    Disinfection,
    Incident,
    ProcessingStep,
    UsedMaterial,
    RemountEntry,
    ReviewEntry,
    DeviceStatement,
    ReleaseLot,
    Complaint,
    ComplaintEntry,
)


def strike_out(*, row: Line, part: str, line: str, reason: str, by: User) -> Line:
    """Strike a line out, with a reason; it stays readable.

    Parameters
    ----------
    row : a line of a log
        The line.
    part, line : str
        Words of the history entry: what the line belongs to, and what it says.
    reason : str
        Why, in the words of the person.
    by : User
        Who strikes it out.

    Raises
    ------
    AlreadyStruck
        Somebody struck it out before.
    ValueError
        No reason is given.
    """
    if not reason.strip():
        raise ValueError("Give the reason why the line is struck out.")
    rows: models.Manager[Any] = type(row)._default_manager
    with history.turn(row.case):
        written = rows.filter(pk=row.pk, struck_at__isnull=True).update(
            struck_at=timezone.now(), struck_by=by, struck_reason=reason.strip()
        )
        if not written:
            raise AlreadyStruck("This line was struck out already.")
        history.write(
            case=row.case,
            by=by,
            act="struck out",
            part=part,
            changes={"line": [line, "struck out"]},
            reason=reason.strip(),
            row=history.made(row),
        )
    row.refresh_from_db()
    return row
