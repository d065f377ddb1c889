"""What the desk says of a case in one line, with the page and the act that it leads to."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from django.urls import reverse

from labcases.domain import box as boxes
from labcases.domain import case as cases
from labcases.domain import complaints, date_moves, desk, differences, open_days, teeth_needed
from labcases.domain.calendars import calendar_of
from labcases.domain.complaints import Told
from labcases.domain.incident_reading import Report
from labcases.domain.queries import Line
from labcases.domain.tooth_dates import name_of
from labcases.enums.dates import Step
from labcases.enums.desk import DeskKind, DeskSection
from labcases.models import Box, DeskRow, User
from labcases.templatetags.units import due_date, long_date, long_time

K = DeskKind


@dataclass(frozen=True)
class Shown:
    """A line of a list: a case, what is said about it, and the one act that it asks for."""

    line: Line
    for_office: bool
    text: str
    url: str
    act: str = ""
    act_url: str = ""

    @property
    def state(self) -> str:
        """What an office reads of a stage is a plain state; the stage stands under it."""
        if self.for_office:
            return f"{self.line.plain_state[:1].upper()}{self.line.plain_state[1:]}"
        return self.line.stage_words


@dataclass(frozen=True)
class UnderWay:
    """A box on the way, with the day by which it should be there."""

    box: Box
    row: Shown
    expected: date | None
    overdue: int


@dataclass(frozen=True)
class Reader:
    """Who reads the desk, on which day, and the offices in which they stand."""

    user: User
    today: date
    offices: frozenset[int]

    def shown(self, row: DeskRow, line: Line) -> Shown:
        """A row of the desk as a line of its list."""
        kind = K(row.kind)
        text, page = self._words(row, line, kind)
        found = self.plain(line, text, page)
        act = _DATES.get(kind, "")
        if not act or not cases.may_change_appointment(self.user, line.case, row.appointment):
            return found
        url = (
            reverse("appointment", args=[line.case.code, row.appointment.pk])
            if row.appointment
            else reverse("dates", args=[line.case.code])
        )
        return replace(found, act=act, act_url=url)

    def plain(self, line: Line, text: str, page: str = "case") -> Shown:
        inside = line.case.office_id in self.offices
        return Shown(line, inside, text, reverse(page, args=[line.case.code]))

    def _words(self, row: DeskRow, line: Line, kind: DeskKind) -> tuple[str, str]:
        """What is said, and the page on which more is told."""
        if row.section == DeskSection.DAYS:
            return desk.day_entry(line, row).what, "case"
        if row.section in (DeskSection.WAITS_OFFICE, DeskSection.WAITS_LABORATORY):
            wait = desk.wait_of(line, row, self.today)
            since = f" Waits since {long_time(wait.since)}." if wait.since else ""
            return f"{wait.why}{since}", wait.page or "case"
        if kind in (K.TEETH_LATE, K.TEETH_OVERDUE):
            return self._teeth(row), "teeth"
        if row.move:
            return f"{date_moves.words(row.move)}, by {row.move.by} {long_time(row.move.at)}.", (
                "dates"
            )
        if row.box:
            gone = f"{differences.gone_words(row.box)} It was sent {row.box.direction} "
            return f"{gone}{long_time(row.box.sent_at)}: {row.box.trouble_note}", "boxes"
        if kind == K.ON_HOLD:
            return line.case.hold_reason, "case"
        return _of_dates(row, line, kind), "dates"

    def _teeth(self, row: DeskRow) -> str:
        """Teeth that come too late for a set-up, or that should have been here."""
        if row.supply is None:
            return ""
        expected = teeth_needed.expected_on(row.supply)
        if row.kind == K.TEETH_LATE:
            return f"Teeth expected {long_date(expected)}, set-up must begin {long_date(row.on)}."
        days = open_days.working_days_between(
            expected or self.today, self.today, calendar_of(row.supply.case.laboratory)
        )
        return (
            f"Ordered from {row.supply.supplier or 'a supplier'} and not here: "
            f"{name_of(row.supply)}, expected {long_date(expected)}, {_working(days)} ago."
        )

    def box(self, row: DeskRow, line: Line) -> UnderWay | None:
        """A box on the way, with a button for those who take them in."""
        box = row.box
        if box is None:
            return None
        shown = self.plain(line, str(box.get_direction_display()), "boxes")
        if boxes.may_take_in(self.user, box):
            url = reverse("box_receive", args=[line.case.code, box.pk])
            shown = replace(shown, act="Take in the box", act_url=url)
        overdue = 0
        if row.on and not line.case.on_hold and row.on < self.today:
            receiver = calendar_of(box.receiver)
            overdue = open_days.working_days_between(row.on, self.today, receiver.whole())
        return UnderWay(box, shown, row.on, overdue)

    def unread(self, line: Line, count: int) -> Shown:
        text = "1 thing is new to you." if count == 1 else f"{count} things are new to you."
        return self.plain(line, text, "questions")

    def incident(self, one: Report, line: Line) -> Shown:
        new = "New: " if one.new else ""
        text = f"{new}{one.row.title}, reported by {one.row.by} {long_time(one.row.at)}."
        return self.plain(line, text, "incidents")

    def complaint(self, one: Told, line: Line) -> Shown:
        """A complaint that is not closed, with the day to tell by."""
        due = complaints.first_due(one)
        by = f" Tell by {due_date(due)} at the latest." if due else ""
        text = f"{one.gravity.label}, known since {long_date(one.row.known_on)}.{by}"
        return self.plain(line, text, "complaints")


_DATES = {
    K.SURGERY: "Move",
    K.APPOINTMENT: "Move",
    K.REVIEW: "Book",
    K.REVIEW_DUE: "Book",
    K.REVIEW_OVERDUE: "Book",
    K.LATE: "Move",
    K.AT_RISK: "Win time",
    K.MISSED: "Move",
    K.NO_DAY: "Book",
}
"""What a line offers to those who book or propose dates."""


def _of_dates(row: DeskRow, line: Line, kind: DeskKind) -> str:
    if kind == K.LATE:
        words = desk.LATEST_WORDS[Step(row.about)]
        by = _working(line.late_days)
        return f"Late by {by}: {words}, at the latest {due_date(row.on)}"
    if kind == K.AT_RISK:
        return (
            f"By the usual days not ready for {due_date(row.on)}. Hurrying can still hold the day "
            f"until {due_date(row.last)}."
        )
    if kind == K.MISSED:
        return (
            f"Even when everybody hurries it comes too late for {due_date(row.on)}: the surgery "
            "day has to move."
        )
    if kind == K.NOT_CONFIRMED:
        return f"The dentist has not confirmed {due_date(row.on)}."
    return "Enter the surgery day; every other date follows it."


def _working(days: int) -> str:
    return "1 working day" if days == 1 else f"{days} working days"
