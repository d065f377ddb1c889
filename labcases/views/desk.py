"""The desk: a week, day by day, and who waits for whom."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from labcases.domain import (
    access,
    calendars,
    complaints,
    date_moves,
    differences,
    people,
    queries,
    tooth_dates,
    transit,
)
from labcases.domain import box as boxes
from labcases.domain import desk as day_list
from labcases.domain import incident_reading as incidents
from labcases.domain import question as questions
from labcases.domain.complaints import Told
from labcases.domain.desk import DayEntry, Wait
from labcases.domain.incident_reading import Report
from labcases.domain.queries import Line
from labcases.enums import BoxDirection, Side, Stage
from labcases.forms.dates import EARLIEST_YEAR, LATEST_YEAR, read_date
from labcases.models import Box, DateMove, User
from labcases.templatetags.units import due_date, long_date, long_time
from labcases.views._lookup import person

WEEK = 7


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


@dataclass
class Day:
    """One day of the week, with its entries and what goes out and comes in."""

    date: date
    today: bool
    current: bool
    entries: list[Shown] = field(default_factory=list)
    out: int = 0
    back: int = 0
    surgeries: int = 0
    booked: int = 0
    open: bool = True

    @property
    def url(self) -> str:
        return f"#{self.date.isoformat()}"

    @property
    def shut(self) -> str:
        """A day on which the reader's house is closed and nothing happens."""
        return "" if self.entries or self.open else "Closed"


@require_safe
def desk(request: HttpRequest) -> HttpResponse:
    """One week; ``?week=2026-W48`` or ``?from=25-Nov-2026`` shows another."""
    user = person(request)
    today = timezone.localdate()
    asked, refusal = _asked(request, today)
    start = asked - timedelta(days=asked.weekday())
    reports = incidents.open_to(user)
    told = complaints.open_to(user)
    news = [one.row.case_id for one in reports if one.new]
    every = queries.open_lines(user, also=[*news, *(one.row.case_id for one in told)])
    lines = [row for row in every if row.case.is_open]
    offices = {one.pk for one in people.offices(user)}
    waits = [_wait(row, offices) for row in day_list.waits(lines)]
    boxes_in, boxes_out = (
        _boxes(user, lines, offices, way)
        for way in (BoxDirection.TO_LABORATORY, BoxDirection.TO_OFFICE)
    )
    unread = questions.unread(user, [row.case for row in lines])
    moved = date_moves.unseen(user, [row.case for row in lines])
    context = {
        "page_title": "Desk",
        "refusal": refusal,
        "asked": asked,
        "start": start,
        "end": start + timedelta(days=WEEK - 1),
        "week": start.isocalendar().week,
        "earlier": _week_url(start - timedelta(days=WEEK)),
        "later": _week_url(start + timedelta(days=WEEK)),
        "is_this_week": start <= today < start + timedelta(days=WEEK),
        "days": _days(user, lines, offices, start, today=today, asked=asked),
        "late": [_late(row, offices) for row in lines if row.late_days],
        "unread": [
            _unread(row, offices, unread[row.case.pk]) for row in lines if row.case.pk in unread
        ],
        "moved": _moved(moved, lines, offices),
        "incidents": _incidents(reports, every, offices),
        "complaints": _complaints(told, every, offices),
        "waits_for_office": [shown for side, shown in waits if side == Side.OFFICE],
        "waits_for_laboratory": [shown for side, shown in waits if side == Side.LABORATORY],
        "on_hold": [
            _plain(row, offices, row.case.hold_reason) for row in lines if row.case.on_hold
        ],
        "boxes_in": boxes_in,
        "boxes_out": boxes_out,
        "boxes_gone": _gone(lines, offices),
        "teeth": [
            _plain(row, offices, text, "teeth") for row, text in _teeth(lines, offices, today)
        ],
        "boxes_overdue": [row for row in (*boxes_in, *boxes_out) if row.overdue],
        "dateless": [_dateless(row, offices) for row in lines if _is_dateless(row)],
        "unconfirmed": [_unconfirmed(row, offices) for row in lines if _is_unconfirmed(row)],
        "any_case": bool(lines),
        "opens_cases": bool(offices),
    }
    return render(request, "desk/desk.html", context)


def _teeth(lines: list[Line], offices: set[int], today: date) -> Iterator[tuple[Line, str]]:
    """Teeth that come too late for a set-up; for the laboratory also every overdue order."""
    for row in lines:
        if row.case.on_hold:
            continue
        if text := tooth_dates.too_late(row.case, row.plan, today):
            yield row, text
        if row.case.office_id not in offices or row.case.laboratory_id in offices:
            for text in tooth_dates.overdue(row.case, today):
                yield row, text


def _asked(request: HttpRequest, today: date) -> tuple[date, str]:
    """The day that the address names, and what is wrong with it if it names none."""
    week, day = request.GET.get("week", "").strip(), request.GET.get("from", "").strip()
    try:
        if week:
            year, number = week.upper().split("-W")
            asked = date.fromisocalendar(int(year), int(number), 1)
            if not EARLIEST_YEAR < asked.year < LATEST_YEAR:
                raise ValidationError(
                    f"{week} lies outside of {EARLIEST_YEAR + 1} to {LATEST_YEAR - 1}.", code="year"
                )
            return asked, ""
        if day:
            return read_date(day) or today, ""
    except ValidationError as error:
        return today, f"{' '.join(error.messages)} This week is shown."
    except ValueError:
        return today, f"There is no week {week}. Write it like 2026-W48. This week is shown."
    return today, ""


def _week_url(start: date) -> str:
    year, week, _weekday = start.isocalendar()
    return f"{reverse('desk')}?week={year}-W{week:02d}"


def _plain(row: Line, offices: set[int], text: str, page: str = "case") -> Shown:
    return Shown(
        line=row,
        for_office=row.case.office_id in offices,
        text=text,
        url=reverse(page, args=[row.case.code]),
    )


def _days(
    user: User, lines: list[Line], offices: set[int], start: date, *, today: date, asked: date
) -> list[Day]:
    own = [calendars.calendar_of(house) for house in access.organisations(user)]
    found = []
    for on, entries in day_list.days_of(lines, start, WEEK).items():
        day = Day(
            date=on,
            today=on == today,
            current=on == asked,
            open=any(one.is_open(on) for one in own) if own else on.weekday() < 5,
        )
        for entry in entries:
            in_office = entry.line.case.office_id in offices
            _count(day, entry, Side.OFFICE if in_office else Side.LABORATORY)
            day.entries.append(_plain(entry.line, offices, entry.what))
        found.append(day)
    return found


def _count(day: Day, entry: DayEntry, house: Side) -> None:
    """What leaves the reader's own house goes out; what arrives there comes in."""
    day.out += entry.leaves == house
    day.back += entry.arrives == house
    day.surgeries += entry.kind == "surgery"
    day.booked += entry.kind == "appointment"


def _late(row: Line, offices: set[int]) -> Shown:
    days = "1 working day" if row.late_days == 1 else f"{row.late_days} working days"
    text = f"Late by {days}"
    if row.next_latest:
        words = day_list.LATEST_WORDS[row.next_latest.step]
        text += f": {words}, at the latest {due_date(row.next_latest.on)}"
    return _plain(row, offices, text, "dates")


def _wait(wait: Wait, offices: set[int]) -> tuple[Side, Shown]:
    why = f"{wait.why} Waits since {long_time(wait.since)}." if wait.since else wait.why
    return wait.on, _plain(wait.line, offices, why, wait.page or "case")


def _unread(row: Line, offices: set[int], count: int) -> Shown:
    text = "1 thing is new to you." if count == 1 else f"{count} things are new to you."
    return _plain(row, offices, text, "questions")


def _moved(rows: list[DateMove], lines: list[Line], offices: set[int]) -> list[Shown]:
    """Dates that the other house moved and nobody here has seen."""
    of_case = {row.case.pk: row for row in lines}
    return [
        _plain(
            of_case[one.case_id],
            offices,
            f"{date_moves.words(one)}, by {one.by} {long_time(one.at)}.",
            "dates",
        )
        for one in rows
    ]


def _incidents(reports: list[Report], lines: list[Line], offices: set[int]) -> list[Shown]:
    """Open reports, those that this person has not read first; of an ended case only those."""
    of_case = {row.case.pk: row for row in lines}
    shown = [
        one for one in reports if one.new or (one.row.case.is_open and not one.row.case.silent)
    ]
    return [
        _plain(
            of_case[one.row.case_id],
            offices,
            f"{'New: ' if one.new else ''}{one.row.title}, reported by {one.row.by} "
            f"{long_time(one.row.at)}.",
            "incidents",
        )
        for one in sorted(shown, key=lambda one: not one.new)
    ]


def _complaints(told: list[Told], lines: list[Line], offices: set[int]) -> list[Shown]:
    """Complaints that are not closed, also of cases that have ended, with the day to tell by."""
    of_case = {row.case.pk: row for row in lines}
    found = []
    for one in told:
        due = complaints.first_due(one)
        by = f" Tell by {due_date(due)} at the latest." if due else ""
        text = f"{one.gravity.label}, known since {long_date(one.row.known_on)}.{by}"
        found.append(_plain(of_case[one.row.case_id], offices, text, "complaints"))
    return found


def _dateless(row: Line, offices: set[int]) -> Shown:
    return _plain(row, offices, "Enter the surgery day; every other date follows it.", "dates")


def _is_dateless(row: Line) -> bool:
    return row.case.surgery_on is None and not row.case.on_hold


def _is_unconfirmed(row: Line) -> bool:
    """From sending to delivery the day is a promise that the dentist has to confirm."""
    case, settled = row.case, (Stage.DRAFT, Stage.DELIVERED, Stage.IN_REVIEW)
    open_day = case.surgery_on and not case.surgery_confirmed_at and not case.on_hold
    return bool(open_day and row.stage not in settled)


def _unconfirmed(row: Line, offices: set[int]) -> Shown:
    text = f"The dentist has not confirmed {due_date(row.case.surgery_on)}."
    return _plain(row, offices, text, "dates")


def _boxes(
    user: User, lines: list[Line], offices: set[int], direction: BoxDirection
) -> list[UnderWay]:
    """Boxes on the way, with a button for those who take them in."""
    of_case = {row.case.pk: row for row in lines}
    found = []
    for one in day_list.boxes_under_way(lines, direction):
        row = of_case[one.case_id]
        shown = _plain(row, offices, str(one.get_direction_display()), "boxes")
        if boxes.may_take_in(user, one):
            url = reverse("box_receive", args=[row.case.code, one.pk])
            shown = Shown(row, shown.for_office, shown.text, shown.url, "Take in the box", url)
        found.append(UnderWay(one, shown, transit.expected_on(one), transit.overdue_days(one)))
    return found


def _gone(lines: list[Line], offices: set[int]) -> list[Shown]:
    """Boxes that are lost or not ours, with what is known of them."""
    of_case = {row.case.pk: row for row in lines}
    return [
        _plain(
            of_case[one.case_id],
            offices,
            f"{differences.gone_words(one)} It was sent {one.direction} {long_time(one.sent_at)}: "
            f"{one.trouble_note}",
            "boxes",
        )
        for one in day_list.boxes_gone(lines)
    ]
