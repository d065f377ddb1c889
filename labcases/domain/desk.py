"""The desk's day list: what goes out, comes in and takes place, and who waits for whom."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import prefetch_related_objects

from labcases.domain import calendars, delivered, notices, review_dates, review_state
from labcases.domain import proposal_reading as proposals
from labcases.domain import question as asking
from labcases.domain.queries import Line
from labcases.domain.review_dates import DueReview
from labcases.enums import AppointmentKind, BoxDirection, Side, Stage
from labcases.enums.dates import Step
from labcases.models import Box
from labcases.templatetags.units import due_date, long_date

# Where a case lies while the office has something to do with it.
_OFFICE_DOES = {
    Stage.DRAFT: "The prescription is a draft: fill it in, sign and send it.",
    Stage.JAW_RECORDS: "Jaw records are to be taken.",
    Stage.TRY_IN: "The try-in and its outcome.",
    Stage.RECEIVED: "The delivery is to be reported.",
}
_LABORATORY_DOES = {
    Stage.SENT: "The case is to be accepted.",
    Stage.RELEASED: "The denture is to be dispatched.",
}

# What the latest day of a stage means to the people who send and take in boxes.
LATEST_WORDS = {
    Step.SENT: "the prescription and its box leave the office",
    Step.MASTER_CAST: "master cast and rims begin",
    Step.JAW_RECORDS: "rims go to the office",
    Step.MOUNTING: "records are back and the mounting begins",
    Step.SET_UP: "the set-up begins",
    Step.POSTERIOR: "the posterior teeth are begun",
    Step.TRY_IN: "the set-up goes to the office for the try-in",
    Step.ANTERIOR: "the anterior teeth are begun",
    Step.FINAL_WAX: "the final wax begins",
    Step.PROCESSING: "processing begins",
    Step.DISPATCHED: "the denture leaves the laboratory",
    Step.RECEIVED: "the denture is at the office",
}
_LEAVES = {
    Step.SENT: Side.OFFICE,
    Step.JAW_RECORDS: Side.LABORATORY,
    Step.TRY_IN: Side.LABORATORY,
    Step.DISPATCHED: Side.LABORATORY,
}
_ARRIVES = {
    Step.JAW_RECORDS: Side.OFFICE,
    Step.MOUNTING: Side.LABORATORY,
    Step.TRY_IN: Side.OFFICE,
    Step.RECEIVED: Side.OFFICE,
}


@dataclass(frozen=True)
class DayEntry:
    """One thing that happens on a day."""

    on: date
    what: str
    line: Line
    kind: str
    leaves: Side | None = None
    arrives: Side | None = None


def days_of(lines: list[Line], start: date, days: int) -> dict[date, list[DayEntry]]:
    """What goes out, comes in and takes place on each day of a span.

    Nothing of a case that rests, or of a patient who has died (``domain/notices.py``).
    """
    end = start + timedelta(days=days - 1)
    found: dict[date, list[DayEntry]] = {start + timedelta(days=n): [] for n in range(days)}
    told = {case.pk for case in notices.sendable([row.case for row in lines])}
    for row in lines:
        for entry in _entries(row) if row.case.pk in told else ():
            if start <= entry.on <= end:
                found[entry.on].append(entry)
    return found


def _entries(row: Line) -> list[DayEntry]:
    entries = []
    if row.case.surgery_on:
        entries.append(DayEntry(row.case.surgery_on, "Surgery and delivery", row, "surgery"))
    for appointment in getattr(row.case, "live_appointments", []):
        entries.append(
            DayEntry(
                appointment.on,
                f"{appointment.get_kind_display()} ({appointment.get_status_display().lower()})",
                row,
                "appointment",
                arrives=Side.OFFICE if appointment.kind == AppointmentKind.DELIVERY else None,
            )
        )
    due = next_review(row)
    if due and not review_state.booked(row.case, due):
        what = f"Review due: {due.review.words.lower()}"
        entries.append(DayEntry(due.on, what, row, "review"))
    entries += [
        DayEntry(
            latest.on,
            f"Latest day: {LATEST_WORDS[latest.step]}",
            row,
            "latest",
            leaves=_LEAVES.get(latest.step),
            arrives=_ARRIVES.get(latest.step),
        )
        for latest in row.plan
        if not latest.reached and not latest.optional
    ]
    return entries


def next_review(row: Line) -> DueReview | None:
    """The next review of a delivered denture."""
    if row.stage not in review_state.REVIEWED:
        return None
    told = review_state.of(row.case)
    return told.next if told else None


def _after_delivery(row: Line, today: date) -> Iterator[Wait]:
    """A review that is due, a liner past its days, and a reline that is decided."""
    told = review_state.of(row.case, today) if row.stage in review_state.REVIEWED else None
    if told is None:
        return
    if told.next and told.next.waits:
        late = ", overdue" if told.next.state == review_dates.LATE else ""
        why = f"Review due {due_date(told.next.on)}{late}: {told.next.review.words.lower()}."
        yield Wait(row, Side.OFFICE, why, page="reviews")
    if told.liner and told.liner.state == review_dates.OVER:
        why = f"{told.liner.liner.words} placed {long_date(told.liner.placed_on)} is past its days."
        yield Wait(row, Side.OFFICE, why, page="reviews")
    if told.waits_for_reline and told.decision:
        why = f"A {told.decision.decision} is decided and not recorded as done."
        yield Wait(row, Side.OFFICE, why, page="reviews")


def boxes_under_way(lines: list[Line], direction: BoxDirection) -> list[Box]:
    """Boxes sent and not yet taken in."""
    return [
        box
        for row in lines
        for box in getattr(row.case, "boxes_under_way", [])
        if box.direction == direction and box.sent_at and not box.trouble
    ]


def boxes_gone(lines: list[Line]) -> list[Box]:
    """Boxes that were reported on their way as lost or not ours, and have not turned up."""
    gone = [box for row in lines for box in getattr(row.case, "boxes_under_way", []) if box.trouble]
    prefetch_related_objects(gone, "items")
    return gone


@dataclass(frozen=True)
class Wait:
    """Somebody waits: for which house, and why."""

    line: Line
    on: Side
    why: str
    page: str = ""
    """The page on which it is answered, where there is one."""
    since: datetime | None = None


def waits(lines: list[Line], today: date | None = None) -> list[Wait]:
    """Who waits for whom, in the order of the lines."""
    return [
        wait for row in lines for wait in _waits(row, today or calendars.today_of(row.case.office))
    ]


def _waits(row: Line, today: date) -> Iterator[Wait]:
    case = row.case
    if case.silent:
        return
    for question in getattr(case, asking.THREADS, []):
        if not question.waits:
            continue
        why = f"A question about {question.about} is open."
        if not question.blocking:
            why += " The case does not wait for it."
        yield Wait(
            row, Side(question.waits_for), why, page="questions", since=question.waiting_since
        )
    for proposal in proposals.waiting(case):
        why = f"Proposal {proposal.number} to the dentist: {proposals.words(proposal)}."
        if not proposal.blocking:
            why += " The case does not wait for it."
        yield Wait(row, Side.OFFICE, why, page="proposals", since=proposal.raised_at)
    if case.on_hold:
        return
    yield from _after_delivery(row, today)
    wax = getattr(case, "final_wax", None)
    shown = getattr(case, "wax_shown", False)
    if row.stage == Stage.FINAL_WAX and wax and shown and not wax.approved_at:
        yield Wait(row, Side.OFFICE, "The final wax is to be approved by the dentist.")
    if row.stage == Stage.FINAL_WAX and shown and getattr(case, "trimmed_since", False):
        yield Wait(row, Side.OFFICE, "The trimming of the cast is to be approved again.")
    before_delivery = case.surgery_on is None or today < case.surgery_on
    if late := delivered.words(case, today):
        yield Wait(row, Side.OFFICE, late, page="delivery")
    elif row.stage in _OFFICE_DOES and not (row.stage == Stage.RECEIVED and before_delivery):
        yield Wait(row, Side.OFFICE, _OFFICE_DOES[row.stage])
    if row.stage in _LABORATORY_DOES:
        yield Wait(row, Side.LABORATORY, _LABORATORY_DOES[row.stage])
