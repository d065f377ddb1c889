"""A second member of the laboratory compares what was typed with the signed page."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from labcases.domain import history, paper_approvals, prescription
from labcases.domain.access import works_alone
from labcases.domain.prescription import NotReady
from labcases.domain.signed_papers import NotNow, digest_of, lacks, named, only, save_paper
from labcases.enums.signed_papers import PaperState
from labcases.models import Case, Prescription, SignedPaper, User

CONFIRM = "confirm a signed paper"

PAUSE = timedelta(minutes=10)
"""How long one who works alone waits before confirming the own typing (common practice, no
source): long enough to come back to the page with fresh eyes."""


class SecondPersonNeeded(Exception):
    """Who typed a paper does not confirm it."""


def why_not_confirm(user: User, paper: SignedPaper) -> str:
    """Why a person who may confirm papers does not confirm this one; empty when they do."""
    if paper.typed_by_id != user.pk or paper.typed_at is None:
        return ""
    if not works_alone(paper.case.laboratory):
        return "You typed this paper. A second member of the laboratory confirms it."
    left = paper.typed_at + PAUSE - timezone.now()
    if left <= timedelta(0):
        return ""
    minutes = -(-int(left.total_seconds()) // 60)
    return (
        "You typed this paper and work alone here. Take a pause and compare it again in "
        f"{minutes} {'minute' if minutes == 1 else 'minutes'}."
    )


def confirm(*, paper: SignedPaper, version: int, by: User) -> SignedPaper:
    """Confirm what was compared with the page; a prescription is signed by that.

    The caller has checked the password again.

    Raises
    ------
    SecondPersonNeeded
        The person typed it, and is not alone or has not paused yet.
    NotNow
        It is not handed over, somebody else confirmed it, or what was typed has changed since.
    NotReady
        A page was taken out of view, or an answer is missing.
    versions.EditConflict
        Somebody sent it back meanwhile.
    """
    with history.turn(paper.case):
        # Locked like a signature: nobody moves the case while a revision takes it back.
        Case.objects.select_for_update().get(pk=paper.case_id)
        fresh = SignedPaper.objects.select_for_update().get(pk=paper.pk)
        only(fresh, PaperState.WAITING)
        reason = why_not_confirm(by, fresh)
        if reason:
            raise SecondPersonNeeded(reason)
        missing = lacks(fresh)
        if missing:
            raise NotReady(missing)
        if fresh.said_digest != digest_of(fresh):
            raise NotNow(
                "What was typed has changed since it was handed over. Send it back, so that it is "
                "looked through and handed over again."
            )
        confirmed = save_paper(
            fresh,
            act="confirmed",
            version=version,
            by=by,
            reason=named(fresh),
            values={
                "state": PaperState.CONFIRMED,
                "confirmed_by": by,
                "confirmed_at": timezone.now(),
            },
        )
        if confirmed.prescription:
            _sign(confirmed, confirmed.prescription, by)
        else:
            paper_approvals.enter(confirmed, by)
    return confirmed


def _sign(paper: SignedPaper, row: Prescription, by: User) -> None:
    prescription.put_in_force(
        row=row,
        version=row.version,
        by=by,
        act="signed on paper",
        reason=f"revision {row.revision}: {paper.words}",
        values={"signed_name": paper.signed_name, "licence_number": paper.licence_number},
    )


def send_back(*, paper: SignedPaper, version: int, reason: str, by: User) -> SignedPaper:
    """Say what does not agree with the page; it goes back to be typed.

    Raises
    ------
    ValueError
        No reason is given.
    NotNow
        It is not handed over, or confirmed already.
    """
    if not reason.strip():
        raise ValueError("Say what does not agree with the page.")
    only(paper, PaperState.WAITING)
    return save_paper(
        paper,
        act="sent back",
        version=version,
        by=by,
        reason=reason.strip(),
        values={
            "state": PaperState.TYPING,
            "sent_back_by": by,
            "sent_back_at": timezone.now(),
            "sent_back_reason": reason.strip(),
            "said_digest": "",
        },
    )
