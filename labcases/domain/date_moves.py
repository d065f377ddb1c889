"""Dates that one house moved: told to the other one until somebody there has seen them."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date
from typing import Any

from django.db.models import Q
from django.utils import timezone

from labcases.domain import access, history
from labcases.domain.ending import AHEAD
from labcases.enums import Side
from labcases.models import Appointment, Case, DateMove, User
from labcases.models.date_move import SURGERY
from labcases.templatetags.units import due_date

ACT = "see a moved date"


def tell(*, case: Case, what: str, before: date | None, after: date | None, by: User) -> None:
    """Tell the other house; call it in the turn of what moves the date.

    A date that moves again before anybody saw it is told once, from where it stood at first; one
    that comes back there is not told at all. Of a person who stands in both houses nobody else is
    to be told.
    """
    if before == after:
        return
    held = access.positions(by, case)
    sides = {
        Side.LABORATORY: bool(held & access.OFFICE),
        Side.OFFICE: bool(held & access.LABORATORY),
    }
    for side, moved_here in sides.items():
        if moved_here and not all(sides.values()):
            _tell(case, what, before, after, by, side)


def _tell(
    case: Case, what: str, before: date | None, after: date | None, by: User, side: Side
) -> None:
    unseen = case.date_moves.filter(seen_at=None, told=side, what=what, after=before)
    last = unseen.order_by("id").last()
    if last is None:
        DateMove.objects.create(case=case, what=what, before=before, after=after, by=by, told=side)
    elif last.before == after:
        last.delete()
    else:
        last.after, last.by, last.at = after, by, timezone.now()
        last.save(update_fields=["after", "by", "at"])


def tell_undone(*, case: Case, row: Case | Appointment, was: dict[str, Any], by: User) -> None:
    """Tell a date that stands as before again; ``was`` are the columns as they were undone."""
    if isinstance(row, Case) and "surgery_on" in was:
        row.refresh_from_db(fields=["surgery_on"])
        tell(case=case, what=SURGERY, before=was["surgery_on"], after=row.surgery_on, by=by)
    elif isinstance(row, Appointment) and {"on", "status"} & set(was):
        stood = row.on if row.status in AHEAD else None
        row.refresh_from_db()
        stands = row.on if row.status in AHEAD else None
        tell(case=case, what=row.kind, before=stood, after=stands, by=by)


def sides_of(user: User, case: Case) -> set[Side]:
    """The houses of a case for which a person can say that they have seen something."""
    held = access.positions(user, case)
    houses = ((Side.OFFICE, access.OFFICE), (Side.LABORATORY, access.LABORATORY))
    return {side for side, house in houses if held & house}


def unseen(user: User, cases: Collection[Case]) -> list[DateMove]:
    """Moves of these cases that a person's house was told and nobody there has seen."""
    offices, laboratories = access.houses(user)
    rows = DateMove.objects.filter(case__in=[case.pk for case in cases], seen_at=None)
    mine = Q(told=Side.OFFICE, case__office__in=offices) | Q(
        told=Side.LABORATORY, case__laboratory__in=laboratories
    )
    return list(rows.filter(mine).select_related("by", "case"))


def see(*, case: Case, user: User) -> int:
    """Say that one's house has seen every move of a case; how many were new to it."""
    with history.turn(case):
        rows = case.date_moves.select_for_update().filter(
            seen_at=None, told__in=sides_of(user, case)
        )
        found = list(rows)
        for row in found:
            row.seen_by, row.seen_at = user, timezone.now()
            row.save(update_fields=["seen_by", "seen_at"])
        if found:
            history.write(
                case=case,
                by=user,
                act="seen",
                part="dates",
                changes={"moved dates": ["", "; ".join(words(row) for row in found)]},
            )
    return len(found)


def words(row: DateMove) -> str:
    """Surgery moved from Thu 26-Mar-2026 to Thu 2-Apr-2026."""
    if row.after is None:
        return f"{row.words} of {due_date(row.before)} dropped"
    if row.before is None:
        return f"{row.words} set for {due_date(row.after)}"
    return f"{row.words} moved from {due_date(row.before)} to {due_date(row.after)}"


def said(rows: Iterable[DateMove]) -> list[tuple[DateMove, str]]:
    """Each move with its words, the last one first."""
    return [(row, words(row)) for row in sorted(rows, key=lambda row: (row.at, row.pk))[::-1]]
