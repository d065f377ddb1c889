"""How a delivered denture stands: the next review, its liner, the reline, and what was decided."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from labcases.domain import calendars, review_dates
from labcases.domain.review_dates import DueReview, LinerAge, RelineWindow
from labcases.enums import AppointmentKind, Stage
from labcases.enums.case import ENDED_EARLY
from labcases.enums.reviews import Decision, ReviewAct
from labcases.models import Case, ReviewEntry
from labcases.reference.reviews import Sign, signs

REVIEWED = (Stage.DELIVERED, Stage.IN_REVIEW)
"""Stages in which a review can be due."""

TO_BE_DONE = (Decision.RELINE, Decision.REBASE)


@dataclass(frozen=True)
class AfterDelivery:
    """A delivered denture as it stands on a day.

    ``decision`` is the last one, ``done`` the reline or rebase that followed it.
    """

    delivered_on: date
    dues: list[DueReview]
    next: DueReview | None
    liner: LinerAge | None
    window: RelineWindow
    decision: ReviewEntry | None
    done: ReviewEntry | None

    @property
    def waits_for_reline(self) -> bool:
        """A reline or rebase is decided, and nobody recorded that it is done."""
        return bool(self.decision and self.decision.decision in TO_BE_DONE and self.done is None)


def delivered_on(case: Case) -> date | None:
    row = getattr(case, "delivery", None)
    found: date | None = row.delivered_on if row else None
    return found


def standing(case: Case) -> list[ReviewEntry]:
    """Lines that stand, by their day and then as they were entered."""
    rows = [row for row in case.review_entries.all() if row.struck_at is None]
    return sorted(rows, key=lambda row: (row.happened_on, row.pk))


def last(case: Case, act: ReviewAct) -> ReviewEntry | None:
    return next((row for row in reversed(standing(case)) if row.act == act), None)


def of(case: Case, today: date | None = None) -> AfterDelivery | None:
    """How the denture stands; nothing before the day of delivery is known."""
    delivered = delivered_on(case)
    if delivered is None:
        return None
    today = today or calendars.today_of(case.office)
    lines = standing(case)
    # Decisions follow each other as they were entered, also on one day.
    decisions = sorted((row for row in lines if row.act == ReviewAct.DECISION), key=_entered)
    decision = decisions[-1] if decisions else None
    dues = review_dates.due(
        delivered_on=delivered,
        today=today,
        held={row.review for row in lines if row.act == ReviewAct.SEEN},
        closed=calendars.calendar_of(case.office),
        not_needed={review_dates.BEFORE_RELINE} if made_again(case, decision) else (),
    )
    done = [row for row in lines if decision and row.act == ReviewAct.DONE and row.pk > decision.pk]
    return AfterDelivery(
        delivered,
        dues,
        review_dates.next_due(dues),
        liner_in_use(case, lines, today),
        review_dates.reline_window(delivered),
        decision,
        done[-1] if done else None,
    )


def made_again(case: Case, decision: ReviewEntry | None) -> bool:
    """A remake is decided, and the case that it is made in stands."""
    return (
        decision is not None
        and decision.decision == Decision.REMAKE
        and any(one.case.stage not in ENDED_EARLY for one in case.remakes.all())
    )


def _entered(row: ReviewEntry) -> int:
    return int(row.pk)


def liner_in_use(case: Case, lines: list[ReviewEntry], today: date) -> LinerAge | None:
    """The liner under the denture, since delivery or since a review; a reline ends it."""
    row = getattr(case, "delivery", None)
    kind = getattr(row, "liner_kind", "")
    placed: date | None = getattr(row, "liner_placed_on", None) or delivered_on(case)
    for line in lines:
        if line.act == ReviewAct.LINER:
            kind, placed = line.liner, line.happened_on
        elif line.act == ReviewAct.DONE:
            kind = ""
    return review_dates.liner_age(kind, placed, today) if placed else None


def speaks_for(keys: list[str]) -> dict[str, list[Sign]]:
    """What was seen, by the decision that it speaks for; the dentist decides."""
    found: dict[str, list[Sign]] = {}
    for key in keys:
        if sign := signs().get(key):
            found.setdefault(sign.speaks_for, []).append(sign)
    return found


def booked(case: Case, due: DueReview) -> bool:
    """Whether a date for a review is booked while this one is on time."""
    rows = getattr(case, "live_appointments", None)
    if rows is None:
        rows = case.appointments.exclude(status="dropped")
    return any(
        row.kind == AppointmentKind.REVIEW and due.earliest <= row.on <= due.latest for row in rows
    )
