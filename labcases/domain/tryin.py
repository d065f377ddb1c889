"""Recording a try-in and sending back what is made again; going on without one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils import timezone

from labcases.domain import gates, history, sending_back, versions
from labcases.enums import TryInOutcome
from labcases.models import Case, SignedPaper, TryIn, User


def record(
    *,
    case: Case,
    version: int,
    by: User,
    values: Mapping[str, Any],
    paper: SignedPaper | None = None,
) -> TryIn:
    """The dentist's verdict on the last try-in, bound to the revision in force.

    Where something is made again, the case goes back and what stood on it no longer counts.
    With a signed ``paper`` it is what the paper says, and ``by`` compared it.

    Raises
    ------
    ValueError
        No try-in is out.
    labcases.domain.sending_back.TooLate
        Something is to be made again, and the case is at processing or later.
    labcases.domain.versions.EditConflict
        Somebody recorded it first.
    """
    row = case.try_ins.last()
    if row is None:
        raise ValueError("No try-in has been sent out for this case.")
    with history.turn(case):
        fresh = Case.objects.select_for_update().get(pk=case.pk)
        told = sending_back.follows(
            fresh, outcome=values["outcome"], answers=values.get("answers", row.answers)
        )
        if told:
            sending_back.refuse_late(fresh)
        saved = versions.save_row(
            row=row,
            version=version,
            by=by,
            case=fresh,
            part="try-in",
            act="recorded on paper" if paper else "recorded",
            reason=paper.words if paper else "",
            values={
                **values,
                "revision": fresh.prescription.revision,
                "paper": paper,
                "decided_by": None if paper else by,
                "decided_at": timezone.now(),
                "sent_back_to": told.to if told else "",
            },
        )
        if told:
            sending_back.send_back(case=fresh, told=told, number=saved.number, by=by)
    case.refresh_from_db()
    return saved


class NothingToWaive(Exception):
    """The prescription asks for no try-in, or the try-in was approved already."""


def waive(*, case: Case, by: User, reason: str, paper: SignedPaper | None = None) -> TryIn:
    """The dentist goes on without a try-in, with a reason that prints on later papers.

    Raises
    ------
    ValueError
        No reason was given.
    NothingToWaive
        No try-in is wanted, or the last one is approved or waived for this revision.
    """
    if not reason.strip():
        raise ValueError("Give the reason why the try-in is waived.")
    if not list(gates.try_in_answered(case)):
        raise NothingToWaive("No try-in is open on this case, so there is none to waive.")
    last = case.try_ins.last()
    with history.turn(case):
        row = last if last and not last.outcome else TryIn(case=case, number=_next(case))
        return versions.save_row(
            row=row,
            version=row.version,
            by=by,
            case=case,
            part="try-in",
            act="waived on paper" if paper else "waived",
            reason=paper.words if paper else reason.strip(),
            values={
                "revision": case.prescription.revision,
                "outcome": TryInOutcome.WAIVED,
                "changes": reason.strip(),
                "paper": paper,
                "decided_by": None if paper else by,
                "decided_at": timezone.now(),
            },
        )


def _next(case: Case) -> int:
    return case.try_ins.count() + 1
