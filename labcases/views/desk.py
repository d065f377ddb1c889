"""The desk: a week or a month, day by day, what is late or at risk, and who waits for whom."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from labcases.domain import access, calendars, complaints, desk_lists, people
from labcases.domain import incident_reading as incidents
from labcases.domain.desk_lists import PER_PAGE, SHOWN_IN_LIST, UNREAD, Asked, DayCount, Found
from labcases.enums.desk import DeskSection
from labcases.models import Organisation, User
from labcases.views._desk_asked import COMPLAINTS, INCIDENTS, OTHERS, Wanted, read_asked
from labcases.views._desk_lines import Reader, Shown, UnderWay
from labcases.views._lookup import person
from labcases.views._pages import Pager

S = DeskSection
BOXES = (S.BOXES_OVERDUE, S.BOXES_LABORATORY, S.BOXES_OFFICE)
FIRST = (S.LATE, S.MISSED, S.AT_RISK, S.MOVED, S.TEETH, S.BOXES_OVERDUE, S.BOXES_GONE)
"""Lists that stand before the days; the others come after them."""

IDS = {S.TEETH: "teeth-awaited"}
"""Where a list has another name on the page than in the address."""


@dataclass(frozen=True)
class Listed:
    """A list of the desk: the first of its lines, how many there are, and where they all stand."""

    key: str
    id: str
    title: str
    rows: list[Any]
    total: int
    url: str
    of_boxes: bool = False
    more: bool = False

    @property
    def left(self) -> int:
        """How many more there are, where that is known."""
        return max(0, self.total - len(self.rows))


@dataclass
class Day:
    """One day of the span, with its entries and what goes out and comes in."""

    date: date
    today: bool
    current: bool
    counts: DayCount
    more_url: str
    entries: list[Shown] = field(default_factory=list)
    open: bool = True

    @property
    def url(self) -> str:
        return f"#{self.date.isoformat()}"

    @property
    def shut(self) -> str:
        """A day on which the reader's house is closed and nothing happens."""
        return "" if self.counts.entries or self.open else "Closed"

    @property
    def left(self) -> int:
        return self.counts.entries - len(self.entries)

    @property
    def out(self) -> int:
        return self.counts.out

    @property
    def back(self) -> int:
        return self.counts.back

    @property
    def surgeries(self) -> int:
        return self.counts.surgeries

    @property
    def booked(self) -> int:
        return self.counts.booked


@require_safe
def desk(request: HttpRequest) -> HttpResponse:
    """One week; ``?week=``, ``?month=`` or ``?from=`` shows another span, ``?show=`` one list.

    ``?office=`` keeps to the cases of one office.
    """
    user = person(request)
    houses = access.organisations(user)
    today = calendars.today_of(houses[0]) if houses else timezone.localdate()
    offices = frozenset(one.pk for one in people.offices(user))
    choices = people.sending_offices(user)
    wanted = read_asked(request, today, choices)
    reader = Reader(user, today, offices)
    found, others = _found(user, wanted, reader, choices)
    lists = _lists(found, reader, wanted, others)
    shown = {one.key: one.rows for one in lists}
    days = _days(user, found, reader, wanted)
    context = {
        "page_title": wanted.title,
        "wanted": wanted,
        "refusal": wanted.refusal,
        "start": wanted.start,
        "offices": choices,
        "days": days,
        "lists": lists,
        "first": [one for one in lists if one.key in OTHERS[:2] or one.key in FIRST],
        "then": [one for one in lists if one.key == UNREAD or one.key not in (*OTHERS, *FIRST)],
        "alone": next((one for one in lists if one.key == wanted.show), None),
        "alone_days": [day for day in days if day.date == wanted.start],
        "pager": _pager(found, wanted),
        "any_case": bool(found.lines) or desk_lists.visible_rows(user).exists(),
        "opens_cases": bool(offices),
        **{name: shown.get(key, []) for name, key in NAMES.items()},
    }
    return render(request, "desk/desk.html", context)


NAMES = {
    "late": S.LATE,
    "missed": S.MISSED,
    "at_risk": S.AT_RISK,
    "moved": S.MOVED,
    "teeth": S.TEETH,
    "boxes_overdue": S.BOXES_OVERDUE,
    "boxes_gone": S.BOXES_GONE,
    "waits_for_office": S.WAITS_OFFICE,
    "waits_for_laboratory": S.WAITS_LABORATORY,
    "on_hold": S.ON_HOLD,
    "boxes_in": S.BOXES_LABORATORY,
    "boxes_out": S.BOXES_OFFICE,
    "unconfirmed": S.NOT_CONFIRMED,
    "dateless": S.NO_DAY,
    "unread": UNREAD,
    "incidents": INCIDENTS,
    "complaints": COMPLAINTS,
}


def _found(
    user: User, wanted: Wanted, reader: Reader, houses: list[Organisation]
) -> tuple[Found, dict[str, list[Shown]]]:
    """The rows of the desk, and beside them what was reported and complained of."""

    def shows(key: str) -> bool:
        return wanted.show == key or not (wanted.show or wanted.is_month)

    reports = incidents.first_of(user, wanted.most + 1) if shows(INCIDENTS) else []
    told = complaints.open_to(user, PER_PAGE) if shows(COMPLAINTS) else []
    asked = Asked(
        today=reader.today,
        start=wanted.start,
        days=wanted.days,
        on_day=wanted.on_day,
        office=wanted.office.pk if wanted.office else None,
        show=wanted.show,
        skip=wanted.skip,
        lists=bool(wanted.show) or not wanted.is_month,
        houses=houses,
    )
    also = {*(one.row.case_id for one in reports), *(one.row.case_id for one in told)}
    found = desk_lists.find(user, asked, also=also)
    lines = {
        key: line
        for key, line in found.lines.items()
        if wanted.office is None or line.case.office_id == wanted.office.pk
    }
    return found, {
        INCIDENTS: [
            reader.incident(one, lines[one.row.case_id])
            for one in reports
            if one.row.case_id in lines
        ],
        COMPLAINTS: [
            reader.complaint(one, lines[one.row.case_id])
            for one in told
            if one.row.case_id in lines
        ],
        UNREAD: [reader.unread(found.lines[key], count) for key, count in found.unread.items()],
    }


def _lists(
    found: Found, reader: Reader, wanted: Wanted, others: dict[str, list[Shown]]
) -> list[Listed]:
    """The lists that have anything in them, in the order of the page."""
    titles = {
        INCIDENTS: "Something went wrong",
        COMPLAINTS: "Complaints",
        UNREAD: "New in questions",
    }
    lists = []
    for key, rows in others.items():
        shown = rows[: wanted.most]
        ident = "new-questions" if key == UNREAD else key
        more = len(rows) > len(shown) or (key == UNREAD and len(rows) == SHOWN_IN_LIST)
        if rows:
            lists.append(
                Listed(key, ident, titles[key], shown, len(shown), wanted.url(show=key), more=more)
            )
    for section in desk_lists.LISTS:
        total = found.counts[section]
        rows_of: list[Shown | UnderWay] = []
        for row in found.rows.get(section, []):
            line = found.lines[row.case_id]
            one = reader.box(row, line) if section in BOXES else reader.shown(row, line)
            if one is not None:
                rows_of.append(one)
        if total:
            ident, title = IDS.get(section, section.value), str(section.label)
            url = wanted.url(show=section.value)
            lists.append(Listed(section.value, ident, title, rows_of, total, url, section in BOXES))
    return lists


def _days(user: User, found: Found, reader: Reader, wanted: Wanted) -> list[Day]:
    own = [calendars.calendar_of(house) for house in access.organisations(user)]
    days = []
    for on in wanted.span:
        day = Day(
            date=on,
            today=on == reader.today,
            current=on == wanted.on,
            counts=found.day_counts.get(on, DayCount()),
            more_url=wanted.url(show=S.DAYS.value, **{"from": f"{on:%d-%b-%Y}"}),
            open=any(one.is_open(on) for one in own) if own else on.weekday() < 5,
        )
        day.entries = [
            reader.shown(row, found.lines[row.case_id]) for row in found.days.get(on, [])
        ]
        days.append(day)
    return days


def _pager(found: Found, wanted: Wanted) -> Pager | None:
    """Addresses of the neighbouring pages of a list that is shown alone."""
    if not wanted.show or wanted.show in OTHERS:
        return None
    total = found.counts[wanted.show]
    if wanted.show == S.DAYS:
        total = found.day_counts.get(wanted.start, DayCount()).entries
    if total <= PER_PAGE:
        return None
    last = min(total, wanted.skip + PER_PAGE)
    return Pager(
        earlier=wanted.url(page=wanted.page - 1) if wanted.page > 1 else "",
        later=wanted.url(page=wanted.page + 1) if last < total else "",
        shown=f"{min(total, wanted.skip + 1)} to {last} of {total}",
    )
