"""The desk's day list: what goes out, comes in and takes place, and who waits for whom."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import prefetch_related_objects

from labcases.domain import calendars, delivered, desk_rows, notices, review_state
from labcases.domain import proposal_reading as proposals
from labcases.domain.queries import Line
from labcases.domain.review_dates import DueReview
from labcases.enums import AppointmentKind, BoxDirection, Side, Stage
from labcases.enums.dates import Step
from labcases.enums.desk import DeskKind
from labcases.models import Box, Case, DeskRow, Proposal, Question
from labcases.reference.reviews import liners, reviews
from labcases.templatetags.units import due_date, long_date

_STAGE_WORDS = {
    Stage.DRAFT: "The prescription is a draft: fill it in, sign and send it.",
    Stage.JAW_RECORDS: "Jaw records are to be taken.",
    Stage.TRY_IN: "The try-in and its outcome.",
    Stage.RECEIVED: "The delivery is to be reported.",
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
LEAVES = {
    Step.SENT: Side.OFFICE,
    Step.JAW_RECORDS: Side.LABORATORY,
    Step.TRY_IN: Side.LABORATORY,
    Step.DISPATCHED: Side.LABORATORY,
}
ARRIVES = {
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
        today = calendars.today_of(row.case.office)
        for one in _entries(row) if row.case.pk in told else ():
            if one.on is not None and start <= one.on <= end and one.holds(today):
                found[one.on].append(day_entry(row, one))
    return found


def _entries(line: Line) -> Iterator[DeskRow]:
    ahead = [(row.step, row.on) for row in line.plan if not row.reached and not row.optional]
    return desk_rows.days(line.case, ahead)


def next_review(row: Line) -> DueReview | None:
    """The next review of a delivered denture."""
    if row.stage not in review_state.REVIEWED:
        return None
    told = review_state.of(row.case)
    return told.next if told else None


def moves(kind: str, about: str) -> tuple[Side | None, Side | None]:
    """Which house something leaves on a day, and in which one it arrives."""
    if kind == DeskKind.LATEST:
        return LEAVES.get(Step(about)), ARRIVES.get(Step(about))
    delivery = kind == DeskKind.APPOINTMENT and about == AppointmentKind.DELIVERY
    return None, Side.OFFICE if delivery else None


def day_entry(line: Line, row: DeskRow) -> DayEntry:
    """What a row says of its day."""
    what, kind = "Surgery and delivery", DeskKind(row.kind)
    if kind == DeskKind.APPOINTMENT and (date_of := row.appointment):
        what = f"{date_of.get_kind_display()} ({date_of.get_status_display().lower()})"
    elif kind == DeskKind.REVIEW:
        what = f"Review due: {reviews()[row.about].words.lower()}"
    elif kind == DeskKind.LATEST:
        what = f"Latest day: {LATEST_WORDS[Step(row.about)]}"
    return DayEntry(row.on or date.max, what, line, kind.value, *moves(kind, row.about))


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
    blocking: bool = True
    """The case does not go on before it is answered."""


def waits(lines: list[Line], today: date | None = None) -> list[Wait]:
    """Who waits for whom, in the order of the lines."""
    return [
        wait_of(line, row, on)
        for line in lines
        for on in (today or calendars.today_of(line.case.office),)
        for row in desk_rows.waits(line.case)
        if row.holds(on)
    ]


_PAGES = {
    DeskKind.QUESTION: "questions",
    DeskKind.PROPOSAL: "proposals",
    DeskKind.REVIEW_DUE: "reviews",
    DeskKind.REVIEW_OVERDUE: "reviews",
    DeskKind.LINER: "reviews",
    DeskKind.RELINE: "reviews",
    DeskKind.UNREPORTED: "delivery",
}


def wait_of(line: Line, row: DeskRow, today: date) -> Wait:
    """What a row says of who waits, on a day on which it holds."""
    kind = DeskKind(row.kind)
    since, blocking = None, True
    if row.question:
        since, blocking = row.question.waiting_since, row.question.blocking
    elif row.proposal:
        since, blocking = row.proposal.raised_at, row.proposal.blocking
    why, page = _why(line.case, row, kind, today), _PAGES.get(kind, "")
    return Wait(line, Side(row.side), why, page=page, since=since, blocking=blocking)


def _why(case: Case, row: DeskRow, kind: DeskKind, today: date) -> str:
    asked: Question | Proposal | None = row.question or row.proposal
    if asked:
        why = (
            f"A question about {asked.about} is open."
            if isinstance(asked, Question)
            else f"Proposal {asked.number} to the dentist: {proposals.words(asked)}."
        )
        return why if asked.blocking else f"{why} The case does not wait for it."
    if kind in (DeskKind.REVIEW_DUE, DeskKind.REVIEW_OVERDUE):
        late = ", overdue" if kind == DeskKind.REVIEW_OVERDUE else ""
        return f"Review due {due_date(row.on)}{late}: {reviews()[row.about].words.lower()}."
    if kind == DeskKind.LINER and row.on:
        return f"{liners()[row.about].words} placed {long_date(row.on)} is past its days."
    if kind == DeskKind.RELINE:
        return f"A {row.about} is decided and not recorded as done."
    if kind == DeskKind.WAX:
        return "The final wax is to be approved by the dentist."
    if kind == DeskKind.TRIMMING:
        return "The trimming of the cast is to be approved again."
    if kind == DeskKind.UNREPORTED:
        return delivered.words(case, today)
    return _STAGE_WORDS[Stage(case.stage)]
