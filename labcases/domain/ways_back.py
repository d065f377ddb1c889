"""The ways in which an act is taken back, each for the row that its entry names.

Called by ``domain/undo.py``, which has asked who may and whether the case has gone on.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.apps import apps
from django.core.exceptions import FieldDoesNotExist
from django.db import models
from django.db.models import F
from django.utils import timezone

from labcases.domain import (
    box,
    date_moves,
    ending,
    files,
    history,
    pairs,
    proposal_reading,
    proposing,
    question,
    stages,
    striking,
)
from labcases.domain import case as cases
from labcases.domain.acts import Way
from labcases.enums import AppointmentStatus, PrescriptionStatus, Stage
from labcases.models import (
    Appointment,
    Attachment,
    Box,
    Case,
    HistoryEntry,
    Prescription,
    Proposal,
    Question,
    User,
)

Changes = dict[str, list[Any]]
MISTAKE = "entered by mistake, undone"

#: What somebody says of a row, with the fields that go with it. An undo by another person brings
#: the values back and leaves this open, to be said again.
SAID_BY = {
    "surgery_confirmed_by": ("surgery_confirmed_at",),
    "acknowledged_by": ("acknowledged",),
    "approved_by": (
        *("approved_at", "approved_digest", "trimming_approved", "approved_photographs"),
        "approved_trims",
    ),
    "second_look_by": ("second_look_at",),
}

#: Stages that a case enters without anything else happening: no box leaves, no dentist is asked.
STEPS = frozenset(
    {
        *(Stage.ACCEPTED, Stage.TRAY, Stage.MASTER_CAST, Stage.JAW_RECORDS, Stage.MOUNTING),
        *(Stage.SETTINGS, Stage.SET_UP, Stage.FINAL_WAX, Stage.REMOUNT, Stage.FINISHING),
        Stage.IN_REVIEW,
    }
)


class CannotUndo(Exception):
    """The act stays; the text says why and what to do."""


def take(way: Way, entry: HistoryEntry, by: User) -> Changes:
    """Take an act back, and tell what changed by that."""
    row = _row(entry)
    return _TAKES[way](entry, row, by)


def _row(entry: HistoryEntry) -> models.Model:
    told = entry.row or {}
    model = apps.get_model("labcases", told["of"])
    row: models.Model | None = (
        model._default_manager.select_for_update().filter(pk=told["key"]).first()
    )
    if row is None:
        raise CannotUndo("What it changed is no longer there.")
    return row


# --- values ------------------------------------------------------------------------------------


def _restore(entry: HistoryEntry, row: models.Model, by: User) -> Changes:
    told = entry.row or {}
    if isinstance(row, Prescription) and row.status != PrescriptionStatus.DRAFT:
        raise CannotUndo(f"Revision {row.revision} is signed and does not change. Make a revision.")
    _unchanged(entry, row)
    _not_shared(told, row)
    _not_frozen(told, row)
    if "before" not in told:
        return _taken_away(entry, row)
    values = {field: _value(row, field, raw) for field, raw in told["before"].items()}
    for said_by, fields in SAID_BY.items():
        if said_by in values and values[said_by] not in (None, by):
            for field in (said_by, *fields):
                values.pop(field, None)
    changes = history.differences(row, values)
    type(row)._default_manager.filter(pk=row.pk).update(
        **values, version=F("version") + 1, changed_at=timezone.now(), changed_by=by
    )
    if isinstance(row, Case | Appointment):
        was = {field: getattr(row, field) for field in values}
        date_moves.tell_undone(case=entry.case, row=row, was=was, by=by)
    return changes


def _not_shared(told: dict[str, Any], row: models.Model) -> None:
    """Refuse to give one of two linked cases a surgery day, or a word on it, of its own."""
    if not isinstance(row, Case) or not {"surgery_on", "surgery_confirmed_by"} & {
        *told.get("before", {})
    }:
        return
    other = pairs.goes_along(row)
    if other is not None:
        raise CannotUndo(
            f"Linked case {pairs.named(other)} has the same surgery day. Change the day itself: "
            "that does it for both."
        )


def _not_frozen(told: dict[str, Any], row: models.Model) -> None:
    """Keep a case at rest whose patient has died, or while nobody knows whose it is."""
    if not isinstance(row, Case) or told.get("before", {}).get("on_hold") != str(False):
        return
    rests = ending.keeps_at_rest(row)
    if rests:
        raise CannotUndo(rests)


def _value(row: models.Model, field: str, raw: Any) -> Any:
    """A field's value as it was before it became JSON."""
    try:
        column: Any = row._meta.get_field(field)
    except FieldDoesNotExist:
        raise CannotUndo(
            "The record has another shape since the program was updated. Change it by hand."
        ) from None
    if raw is None:
        return None
    if column.is_relation:
        found = column.related_model._default_manager.filter(pk=raw).first()
        if found is None:
            raise CannotUndo("What stood there before is no longer there. Change it by hand.")
        return found
    return column.to_python(raw)


def _unchanged(entry: HistoryEntry, row: models.Model) -> None:
    """Refuse where somebody changed the row since, and show what stands there now."""
    told = entry.row or {}
    after = {field: _value(row, field, raw) for field, raw in told.get("after", {}).items()}
    now = {field: getattr(row, field) for field in after}
    differs = {field: value for field, value in now.items() if value != after[field]}
    # The row of a case holds several things: only those that the act changed count.
    if not differs and (isinstance(row, Case) or getattr(row, "version", 1) == told["version"]):
        return
    who = getattr(row, "changed_by", None) or "Somebody"
    stands = "; ".join(
        f"{history.label(row, field)} is now {_shown(row, field) or 'empty'}" for field in differs
    )
    raise CannotUndo(
        f"{who} changed it since{f': {stands}' if stands else ''}. Look at it, and change it by "
        "hand."
    )


def _shown(row: models.Model, field: str) -> str:
    value = history.shown(row, field)
    return "yes" if value is True else "no" if value is False else str(value or "")


def _taken_away(entry: HistoryEntry, row: models.Model) -> Changes:
    """A row that did not stand before goes; its values stay in the entry that made it."""
    try:
        row.delete()
    except models.ProtectedError:
        raise CannotUndo("Something else stands on it by now. Change it by hand.") from None
    return {label: [after, None] for label, (_before, after) in entry.changes.items()}


# --- dates, boxes, questions -------------------------------------------------------------------


def _drop(entry: HistoryEntry, row: Appointment, by: User) -> Changes:
    _unchanged(entry, row)
    before = history.shown(row, "status")
    cases.save_appointment(
        case=entry.case,
        appointment=row,
        version=row.version,
        by=by,
        values={"status": AppointmentStatus.DROPPED},
    )
    return {history.label(row, "status"): [before, AppointmentStatus.DROPPED.value]}


def _unpack(entry: HistoryEntry, row: Box, _by: User) -> Changes:
    if row.sent_at:
        raise CannotUndo("This box has left. Tell the house that it goes to.")
    _unchanged(entry, row)
    contents = ", ".join(str(item) for item in row.items.all())
    try:
        box.unpack(box=row)
    except models.ProtectedError:
        raise CannotUndo("A question was asked about this box. Answer it first.") from None
    return {"contents": [contents, None]}


def _withdraw(_entry: HistoryEntry, row: Question | Proposal, by: User) -> Changes:
    if isinstance(row, Proposal):
        return _withdraw_proposal(row, by)
    if row.said or row.closed_at:
        raise CannotUndo("Something was said about this question since. Go on in its thread.")
    question.close(question=row, by=by, reason="asked by mistake")
    return {row.about: [row.text, None]}


def _withdraw_proposal(row: Proposal, by: User) -> Changes:
    try:
        proposing.withdraw(proposal=row, reason="raised by mistake", by=by)
    except proposing.AnsweredMeanwhile as told:
        raise CannotUndo(f"Proposal {row.number} no longer waits for an answer.") from told
    return {f"proposal {row.number}": [proposal_reading.words(row), None]}


# --- lines of logs, pictures ---------------------------------------------------------------------


def _strike(entry: HistoryEntry, row: Any, by: User) -> Changes:
    if row.struck_at:
        raise CannotUndo("The line is struck out already.")
    told = entry.changes.get("line") or entry.changes.get("record")
    line = str(told[1]) if told else f"{entry.act[:1].upper()}{entry.act[1:]}"
    striking.strike_out(row=row, part=entry.part, line=line, reason=MISTAKE, by=by)
    return {"line": [line, "struck out"]}


def _reinstate(entry: HistoryEntry, row: Any, _by: User) -> Changes:
    written = (
        type(row)
        ._default_manager.filter(pk=row.pk, struck_at__isnull=False, struck_by=entry.by)
        .update(struck_at=None, struck_by=None, struck_reason="")
    )
    if not written:
        raise CannotUndo("The line stands, or somebody else has struck it out since.")
    line = next(iter(entry.changes.values()))[0]
    return {"line": ["struck out", line]}


def _take_out(_entry: HistoryEntry, row: Attachment, by: User) -> Changes:
    if row.removed_at:
        raise CannotUndo("It is out of view already.")
    files.take_out(attachment=row, reason="added by mistake", by=by)
    return {"what": [row.words, "out of view"]}


def _put_back(_entry: HistoryEntry, row: Attachment, _by: User) -> Changes:
    try:
        files.put_back(attachment=row)
    except files.NotAccepted as refused:
        raise CannotUndo(str(refused)) from None
    return {"what": ["out of view", row.words]}


# --- stages --------------------------------------------------------------------------------------


def stage_why_not(entry: HistoryEntry) -> str:
    """Why a move of this kind is never undone, where more than the stage changed."""
    after = (entry.row or {}).get("after", {})
    if after.get("stage") in STEPS:
        return ""
    return "More than the stage changed with this move. Take the case on or back by its own ways."


def _step_back(entry: HistoryEntry, row: Case, _by: User) -> Changes:
    told = entry.row or {}
    before, after = (
        {field: _value(row, field, raw) for field, raw in told[when].items()}
        for when in ("before", "after")
    )
    if row.stage != after["stage"] or row.stage_since != after["stage_since"]:
        now = row.get_stage_display().lower()
        raise CannotUndo(f"The case now stands at {now}. Look at it again before you go on.")
    stages.step_back(case=row, to=Stage(before["stage"]), since=before["stage_since"])
    return {"stage": [Stage(row.stage).label, Stage(before["stage"]).label]}


_TAKES: dict[Way, Callable[[HistoryEntry, Any, User], Changes]] = {
    Way.RESTORE: _restore,
    Way.DROP: _drop,
    Way.STRIKE: _strike,
    Way.REINSTATE: _reinstate,
    Way.WITHDRAW: _withdraw,
    Way.UNPACK: _unpack,
    Way.TAKE_OUT: _take_out,
    Way.PUT_BACK: _put_back,
    Way.STEP_BACK: _step_back,
}
