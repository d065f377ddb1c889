"""What the desk says of a case, and on which days: made from the rows of the case, not stored here.

The words are made of these rows by ``domain/desk.py``, whether they were just made or are kept
(``domain/replanning.py``). Nothing here asks what day it is.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import date, timedelta
from typing import Any

from labcases.domain import (
    delivered,
    notices,
    open_days,
    review_dates,
    review_state,
    teeth_needed,
    transit,
)
from labcases.domain import proposal_reading as proposals
from labcases.domain import question as asking
from labcases.domain.calendars import calendar_of
from labcases.domain.open_days import Calendar
from labcases.domain.outlook import Turning
from labcases.domain.planning import Future, Planner
from labcases.domain.review_dates import DueReview
from labcases.enums import BoxDirection, Side, Stage
from labcases.enums.dates import Step
from labcases.enums.desk import DeskKind, DeskSection
from labcases.models import Case, DeskRow
from labcases.models.desk import ALWAYS, NEVER

S = DeskSection
K = DeskKind
DAY = timedelta(days=1)

# Where a case lies while a house has something to do with it.
OFFICE_DOES = (Stage.DRAFT, Stage.JAW_RECORDS, Stage.TRY_IN, Stage.RECEIVED)
LABORATORY_DOES = (Stage.SENT, Stage.RELEASED)

SETTLED = (Stage.DRAFT, Stage.DELIVERED, Stage.IN_REVIEW)
"""Before sending nobody counts on the surgery day, and after delivery nobody waits for it."""


def of_case(case: Case, planner: Planner) -> list[DeskRow]:
    """Everything that the desk says of a case; nothing of one that has ended."""
    if not case.is_open or case.erased:
        return []
    future = Future([], None) if case.on_hold else planner.future(case)
    ahead = future.ahead
    return [
        *waits(case),
        *days(case, ahead),
        *_boxes(case),
        *_state(case),
        *_moved(case),
        *_late(case, ahead),
        *_outlook(case, future.turning),
        *_teeth(case, ahead),
    ]


def _row(case: Case, section: DeskSection, kind: DeskKind, **more: Any) -> DeskRow:
    return DeskRow(
        case_id=case.pk,
        office_id=case.office_id,
        laboratory_id=case.laboratory_id,
        section=section,
        kind=kind,
        nearest=case.surgery_on or NEVER,
        **more,
    )


def _day_after(on: date, calendar: Calendar) -> date:
    """The next day on which a house is open, be it for half of it."""
    return open_days.open_from(on + DAY, calendar)


# --- who waits for whom ------------------------------------------------------------------------


def waits(case: Case) -> Iterator[DeskRow]:
    """Who waits for whom; nobody in a case of a patient who has died."""
    if case.silent or not case.is_open:
        return
    for question in _questions(case):
        side = Side(question.waits_for)
        yield _wait(case, K.QUESTION, side, question=question)
    for proposal in _proposals(case):
        yield _wait(case, K.PROPOSAL, Side.OFFICE, proposal=proposal)
    if case.on_hold:
        return
    yield from _after_delivery(case)
    stage = Stage(case.stage)
    wax, shown = getattr(case, "final_wax", None), getattr(case, "wax_shown", False)
    if stage == Stage.FINAL_WAX and wax and shown and not wax.approved_at:
        yield _wait(case, K.WAX, Side.OFFICE)
    if stage == Stage.FINAL_WAX and shown and getattr(case, "trimmed_since", False):
        yield _wait(case, K.TRIMMING, Side.OFFICE)
    unreported = delivered.unreported_from(case)
    if unreported:
        yield _wait(case, K.UNREPORTED, Side.OFFICE, first=unreported)
    if stage in OFFICE_DOES and not (stage == Stage.RECEIVED and case.surgery_on is None):
        first = case.surgery_on if stage == Stage.RECEIVED else None
        last = unreported - DAY if unreported else NEVER
        yield _wait(case, K.STAGE, Side.OFFICE, first=first or ALWAYS, last=last)
    if stage in LABORATORY_DOES:
        yield _wait(case, K.STAGE, Side.LABORATORY)


def _questions(case: Case) -> list[Any]:
    return [row for row in getattr(case, asking.THREADS, []) if row.waits]


def _proposals(case: Case) -> list[Any]:
    """As a list has fetched them, or all that the case has."""
    kept: list[Any] | None = getattr(case, "waiting_proposals", None)
    return proposals.waiting(case) if kept is None else kept


def _wait(case: Case, kind: DeskKind, side: Side, **more: Any) -> DeskRow:
    section = S.WAITS_OFFICE if side == Side.OFFICE else S.WAITS_LABORATORY
    return _row(case, section, kind, side=side, **more)


def _after_delivery(case: Case) -> Iterator[DeskRow]:
    """A review that is due, a liner past its days, and a reline that is decided."""
    told = review_state.of(case) if case.stage in review_state.REVIEWED else None
    if told is None:
        return
    for due, last in _next_reviews(told.dues):
        late = due.latest + DAY
        about = {"about": due.review.key, "on": due.on}
        if due.on <= min(due.latest, last):
            on_time = {"first": due.on, "last": min(due.latest, last)}
            yield _wait(case, K.REVIEW_DUE, Side.OFFICE, **about, **on_time)
        if late <= last:
            yield _wait(case, K.REVIEW_OVERDUE, Side.OFFICE, **about, first=late, last=last)
    if told.liner:
        yield _wait(
            case,
            K.LINER,
            Side.OFFICE,
            about=told.liner.liner.key,
            on=told.liner.placed_on,
            first=told.liner.last + DAY,
        )
    if told.waits_for_reline and told.decision:
        yield _wait(case, K.RELINE, Side.OFFICE, about=told.decision.decision)


def _next_reviews(dues: Sequence[DueReview]) -> Iterator[tuple[DueReview, date]]:
    """Each review that will be the next one, and the last day on which it is.

    It is the next one until the day of a later one has come (``review_dates.next_due``).
    """
    kept = (*review_dates.OPEN, review_dates.NOT_NEEDED)
    open_ones = [one for one in dues if one.state in kept]
    for place, due in enumerate(open_ones):
        if due.state == review_dates.NOT_NEEDED:
            continue
        last = min((later.on for later in open_ones[place + 1 :]), default=NEVER + DAY) - DAY
        if due.on <= last or not place:
            yield due, last


# --- what takes place --------------------------------------------------------------------------


def days(case: Case, ahead: Collection[tuple[Step, date]]) -> Iterator[DeskRow]:
    """What takes place on which day, in a case about which anything may be said by itself."""
    if not notices.sendable([case]):
        return
    if case.surgery_on:
        yield _row(case, S.DAYS, K.SURGERY, on=case.surgery_on)
    for appointment in getattr(case, "live_appointments", []):
        about = {"about": appointment.kind, "on": appointment.on}
        yield _row(case, S.DAYS, K.APPOINTMENT, appointment=appointment, **about)
    told = review_state.of(case) if case.stage in review_state.REVIEWED else None
    for place, (due, last) in enumerate(_next_reviews(told.dues if told else [])):
        if not review_state.booked(case, due):
            said = {"about": due.review.key, "first": due.on if place else ALWAYS, "last": last}
            yield _row(case, S.DAYS, K.REVIEW, on=due.on, **said)
    for step, on in ahead:
        yield _row(case, S.DAYS, K.LATEST, on=on, about=step)


def _late(case: Case, ahead: Collection[tuple[Step, date]]) -> Iterator[DeskRow]:
    """Late from the laboratory's next open day after the nearest latest day."""
    if ahead:
        step, on = min(ahead, key=lambda row: row[1])
        first = _day_after(on, calendar_of(case.laboratory))
        yield _row(case, S.LATE, K.LATE, about=step, on=on, first=first)


def _outlook(case: Case, turning: Turning | None) -> Iterator[DeskRow]:
    if turning is None:
        return
    on = case.surgery_on
    if turning.short < turning.missed:
        last = turning.missed - DAY
        yield _row(case, S.AT_RISK, K.AT_RISK, on=on, first=turning.short, last=last)
    yield _row(case, S.MISSED, K.MISSED, on=on, first=turning.missed)


def _state(case: Case) -> Iterator[DeskRow]:
    """What a case rests for, or what is not said of its surgery day."""
    if case.on_hold:
        yield _row(case, S.ON_HOLD, K.ON_HOLD)
    elif case.surgery_on is None:
        yield _row(case, S.NO_DAY, K.NO_DAY)
    elif not case.surgery_confirmed_at and case.stage not in SETTLED:
        yield _row(case, S.NOT_CONFIRMED, K.NOT_CONFIRMED, on=case.surgery_on)


def _moved(case: Case) -> Iterator[DeskRow]:
    """Dates that one house moved and nobody of the other one has seen."""
    for move in getattr(case, "unseen_moves", []):
        yield _row(case, S.MOVED, K.MOVED, side=move.told, move=move)


# --- boxes and teeth ---------------------------------------------------------------------------


def _boxes(case: Case) -> Iterator[DeskRow]:
    """Boxes that were sent and not taken in; overdue from the next open day of the receiver."""
    for box in getattr(case, "boxes_under_way", []):
        if box.trouble:
            yield _row(case, S.BOXES_GONE, K.BOX_GONE, box=box)
            continue
        box.case = case
        expected = transit.expected_on(box)
        if expected is None:
            continue
        inward = box.direction == BoxDirection.TO_LABORATORY
        section = S.BOXES_LABORATORY if inward else S.BOXES_OFFICE
        yield _row(case, section, K.BOX, box=box, on=expected)
        if not case.on_hold:
            first = _day_after(expected, calendar_of(box.receiver))
            yield _row(case, S.BOXES_OVERDUE, K.BOX_OVERDUE, box=box, on=expected, first=first)


def _teeth(case: Case, ahead: Collection[tuple[Step, date]]) -> Iterator[DeskRow]:
    """Teeth that come too late for a set-up, which both houses read, and overdue orders."""
    if case.on_hold:
        return
    bench = calendar_of(case.laboratory)
    orders = [
        (expected, row.pk, row)
        for row in getattr(case, "ordered_teeth", [])
        if (expected := teeth_needed.expected_on(row)) is not None
    ]
    begin = dict(ahead).get(Step.SET_UP)
    if begin and orders and max(orders)[0] > begin:
        yield _row(case, S.TEETH, K.TEETH_LATE, on=begin, supply=max(orders)[2])
    for expected, _key, row in sorted(orders):
        first = _day_after(expected, bench)
        yield _row(case, S.TEETH, K.TEETH_OVERDUE, on=expected, first=first, supply=row)
