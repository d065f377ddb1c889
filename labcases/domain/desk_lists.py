"""The lists of the desk, from the rows that are kept: the first of each, and how many there are.

However many cases are open, a page asks the same few questions and reads some hundred cases. One
statement finds the rows of all lists and days; one more fetches them with what they are about.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.db import connection
from django.db.models import (
    BooleanField,
    CharField,
    Count,
    ExpressionWrapper,
    F,
    IntegerField,
    Prefetch,
    Q,
    QuerySet,
    Value,
    prefetch_related_objects,
)
from django.db.models.functions import Cast

from labcases.domain import access, calendars, open_days, pairs, queries, stages
from labcases.domain import question as asking
from labcases.domain.desk import moves
from labcases.domain.queries import Line
from labcases.enums import ENDS, Side, Stage
from labcases.enums.desk import DeskKind, DeskSection
from labcases.models import Case, DeskRow, Organisation, Prescription, User

LISTS = tuple(section for section in DeskSection if section != DeskSection.DAYS)
IN_ORDER = ("nearest", "case", "pk")
UNREAD = "unread"

SHOWN_IN_LIST = 10
SHOWN_ON_DAY = 8
"""Lines of each list and of each day on a page that shows all of them."""

PER_PAGE = 50
"""Lines of a list that is shown alone."""


@dataclass(frozen=True)
class Asked:
    """What a page of the desk is to show.

    ``start`` and ``days`` are the span of the day list, ``office`` the key of the one office whose
    cases are wanted, ``show`` one list that is shown alone, from its row ``skip`` on.
    """

    today: date
    start: date
    days: int
    on_day: int = SHOWN_ON_DAY
    office: int | None = None
    show: str = ""
    skip: int = 0

    @property
    def end(self) -> date:
        return self.start + timedelta(days=self.days - 1)


@dataclass
class DayCount:
    """How much takes place on a day, counted from the reader's own house."""

    entries: int = 0
    out: int = 0
    back: int = 0
    surgeries: int = 0
    booked: int = 0


@dataclass
class Found:
    """What a page of the desk shows: rows by list and by day, counts, and the lines of cases."""

    rows: dict[str, list[DeskRow]] = field(default_factory=dict)
    days: dict[date, list[DeskRow]] = field(default_factory=dict)
    counts: Counter[str] = field(default_factory=Counter)
    day_counts: dict[date, DayCount] = field(default_factory=dict)
    unread: dict[int, int] = field(default_factory=dict)
    lines: dict[int, Line] = field(default_factory=dict)


# --- which rows --------------------------------------------------------------------------------


def visible_rows(user: User, office: int | None = None) -> QuerySet[DeskRow]:
    """Rows of the cases that a person sees, of one office where it is named."""
    rows = DeskRow.objects.filter(_of_houses(user, ""))
    return rows.filter(office=office) if office else rows


def _of_houses(user: User, way: str) -> Q:
    """The rule of ``access.visible_cases``; one house alone is asked for in a way of its own."""
    offices, laboratories = access.houses(user)
    wanted = Q(pk__in=())
    for name, keys in (("office", offices), ("laboratory", laboratories)):
        if len(keys) == 1:
            wanted |= Q(**{f"{way}{name}": next(iter(keys))})
        elif keys:
            wanted |= Q(**{f"{way}{name}__in": keys})
    return wanted


def _for_reader(section: DeskSection, offices: Collection[int], laboratories: Collection[int]) -> Q:
    """Whose rows of a list a person reads: some are for one house alone."""
    if section == DeskSection.MOVED:
        return Q(side=Side.OFFICE, office__in=offices) | Q(
            side=Side.LABORATORY, laboratory__in=laboratories
        )
    if section == DeskSection.TEETH and offices:
        # Overdue orders are the laboratory's own business.
        return ~Q(kind=DeskKind.TEETH_OVERDUE) | Q(laboratory__in=laboratories)
    return Q()


def find(user: User, asked: Asked, *, also: Iterable[int] = ()) -> Found:
    """Everything on a page of the desk.

    Parameters
    ----------
    user : User
        Who reads.
    asked : Asked
        The span, the filters, and the list that is shown alone.
    also : iterable of int
        Keys of cases about which something else is said, with ended ones among them.
    """
    houses = access.houses(user)
    every = visible_rows(user, asked.office)
    holding = every.filter(first__lte=asked.today, last__gte=asked.today)
    lists = {
        section: holding.filter(_for_reader(section, *houses), section=section) for section in LISTS
    }
    on_days = holding.filter(section=DeskSection.DAYS)
    found = Found()
    parts = [
        *(_part(rows, _limits(section, asked)) for section, rows in lists.items()),
        *(_part(on_days.filter(on=day), _day_limits(day, asked)) for day in _span(asked)),
        _unread(user, asked),
        _counted(holding.filter(_wanted(houses))),
        _counted_days(on_days.filter(on__range=(asked.start, asked.end)), _in_office(houses[0])),
    ]
    keys, cases = [], set(also)
    for what, key, number, kind, about, on in _union(part for part in parts if part is not None):
        if what == "row":
            keys.append(key)
            cases.add(number)
        elif what == UNREAD:
            found.unread[key] = found.unread.get(key, 0) + number
            cases.add(key)
        elif what == "days":
            day = found.day_counts.setdefault(date.fromisoformat(on), DayCount())
            _count(day, kind, about, number, Side.OFFICE if key else Side.LABORATORY)
        else:
            found.counts[kind] = number
    _read(found, user, keys, cases, asked)
    return found


def _span(asked: Asked) -> list[date]:
    return [asked.start + timedelta(days=number) for number in range(asked.days)]


def _limits(section: DeskSection, asked: Asked) -> tuple[int, int]:
    """From which row to which; none of a list beside the one that is shown alone."""
    if not asked.show:
        return 0, SHOWN_IN_LIST
    return (asked.skip, asked.skip + PER_PAGE) if asked.show == section else (0, 0)


def _day_limits(day: date, asked: Asked) -> tuple[int, int]:
    if asked.show == DeskSection.DAYS:
        return (asked.skip, asked.skip + PER_PAGE) if day == asked.start else (0, 0)
    return (0, 0) if asked.show else (0, asked.on_day)


TEXT = CharField(max_length=30)
NUMBER = IntegerField()
EMPTY = {name: Value("", TEXT) for name in ("no_kind", "no_about", "no_day")}
"""Every part of the union has six columns: what it is, two numbers, three words."""


def _part(rows: QuerySet[DeskRow], limits: tuple[int, int]) -> QuerySet[Any] | None:
    first, last = limits
    if first == last:
        return None
    told = rows.order_by(*IN_ORDER).annotate(what=Value("row", TEXT), **EMPTY)
    return told.values_list("what", "pk", "case", *EMPTY)[first:last]


def _counted(rows: QuerySet[DeskRow]) -> QuerySet[Any]:
    """How many rows each list has."""
    told: QuerySet[Any] = rows.order_by().values("section").annotate(number=Count("pk"))
    told = told.annotate(what=Value("list", TEXT), key=Value(0, NUMBER), **EMPTY)
    return told.values_list("what", "key", "number", "section", "no_about", "no_day")


def _wanted(houses: tuple[set[int], set[int]]) -> Q:
    """Rows of all lists, of some only those that a person reads."""
    own = {section: _for_reader(section, *houses) for section in LISTS}
    plain = [section for section, rule in own.items() if not rule]
    wanted = Q(section__in=plain)
    for section, rule in own.items():
        if rule:
            wanted |= Q(rule, section=section)
    return wanted


def _in_office(offices: Collection[int]) -> Any:
    """Whether a row is read from the side of the office."""
    inside = Q(office__in=offices) if offices else Q(pk__isnull=True)
    return Cast(ExpressionWrapper(inside, BooleanField()), NUMBER)


def _counted_days(rows: QuerySet[DeskRow], in_office: Any) -> QuerySet[Any]:
    """How many rows of each kind each day has, apart by the house that reads them."""
    told: QuerySet[Any] = rows.order_by().annotate(key=in_office, day=Cast("on", TEXT))
    told = told.values("key", "kind", "about", "day").annotate(number=Count("pk"))
    told = told.annotate(what=Value("days", TEXT))
    return told.values_list("what", "key", "number", "kind", "about", "day")


def _unread(user: User, asked: Asked) -> QuerySet[Any] | None:
    """Threads of open cases in which something is new to a person, the nearest surgery first."""
    if asked.show not in ("", UNREAD):
        return None
    rows: QuerySet[Any] = asking.threads(user)
    rows = rows.filter(_of_houses(user, "case__"), ~Q(case__stage__in=ENDS))
    if asked.office:
        rows = rows.filter(case__office=asked.office)
    new = rows.filter(unread_count__gt=0).order_by(
        F("case__surgery_on").asc(nulls_last=True), "case", "pk"
    )
    told = new.annotate(what=Value(UNREAD, TEXT), **EMPTY)
    most = PER_PAGE if asked.show else SHOWN_IN_LIST
    found: QuerySet[Any] = told.values_list("what", "case", "unread_count", *EMPTY)[:most]
    return found


def _union(parts: Iterable[QuerySet[Any]]) -> list[tuple[Any, ...]]:
    """The rows of all parts, each with its own order and limit, by one statement.

    Django puts no limited query into a union on SQLite; as a table of its own each may stand there.
    """
    told: list[str] = []
    values: list[Any] = []
    for number, part in enumerate(parts):
        statement, more = part.query.sql_with_params()
        told.append(f"SELECT * FROM ({statement}) AS part_{number}")  # noqa: S608  (Django's own)
        values += more
    with connection.cursor() as cursor:
        cursor.execute(" UNION ALL ".join(told), values)
        return list(cursor.fetchall())


def _count(day: DayCount, kind: str, about: str, number: int, house: Side) -> None:
    """What leaves the reader's own house goes out; what arrives there comes in."""
    leaves, arrives = moves(kind, about)
    day.entries += number
    day.out += number if leaves == house else 0
    day.back += number if arrives == house else 0
    day.surgeries += number if kind == DeskKind.SURGERY else 0
    day.booked += number if kind == DeskKind.APPOINTMENT else 0


# --- what they are about -----------------------------------------------------------------------

BESIDE = (
    *("box__sent_by", "box__trouble_by", "appointment", "supply", "question", "proposal"),
    "move__by",
)
SAID_OF_ALL = (DeskKind.LATE, DeskKind.QUESTION, DeskKind.PROPOSAL)
"""Rows that every line of a case is drawn by, whatever list it stands in."""

_NAMED = ("case", "revision", "status", "arch")


def _read(
    found: Found, user: User, keys: Collection[int], cases: Collection[int], asked: Asked
) -> None:
    """Fetch the rows with what they are about, and their cases as lines."""
    wanted = Q(pk__in=keys) | Q(case__in=cases, kind__in=SAID_OF_ALL)
    rows = list(DeskRow.objects.filter(wanted).select_related(*BESIDE).order_by(*IN_ORDER))
    read = {case.pk: case for case in fetch(cases, user)}
    of_case: dict[int, list[DeskRow]] = {key: [] for key in read}
    shown = set(keys)
    for row in rows:
        if row.case_id not in read:
            continue
        row.case = read[row.case_id]
        for beside in (row.box, row.supply):
            if beside is not None:
                beside.case = row.case
        of_case[row.case_id].append(row)
        if row.pk not in shown:
            continue
        if row.section == DeskSection.DAYS and row.on:
            found.days.setdefault(row.on, []).append(row)
        else:
            found.rows.setdefault(row.section, []).append(row)
    found.lines = {key: line(read[key], of_case[key], asked.today) for key in read}


def fetch(keys: Collection[int], user: User) -> list[Case]:
    """Cases with what a line of the desk reads, by three questions whatever the number."""
    rows = list(queries.with_columns(Case.objects.filter(pk__in=keys)).annotate(**pairs.columns()))
    prefetch_related_objects(rows, Prefetch("prescriptions", Prescription.objects.only(*_NAMED)))
    # One object for each house, so that its days are read and counted once.
    houses: dict[int, Organisation] = {}
    for case in rows:
        pairs.keep(case)
        case.office = houses.setdefault(case.office_id, case.office)
        case.laboratory = houses.setdefault(case.laboratory_id, case.laboratory)
    calendars.fetch((), [*access.organisations(user), *houses.values()])
    return rows


def line(case: Case, rows: Collection[DeskRow], today: date) -> Line:
    """The line of a case from the rows that are kept of it."""
    questions = [row.question for row in rows if row.question]
    proposals = [row.proposal for row in rows if row.proposal]
    waiting = queries.waiting(questions, proposals)
    late = next((row for row in rows if row.kind == DeskKind.LATE and row.holds(today)), None)
    days = (
        open_days.working_days_between(late.on, today, calendars.calendar_of(case.laboratory))
        if late and late.on
        else 0
    )
    return Line(
        case=case,
        stage=Stage(case.stage),
        plain_state=stages.plain_state(case),
        late_days=days,
        waits_for=waiting[0].on if waiting else None,
        waiting=waiting,
        plan=[],
        next_latest=None,
        proposals=len(proposals),
    )
