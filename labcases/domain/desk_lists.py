"""The lists of the desk, from the rows that are kept: the first of each, and how many there are.

However many cases are open, a page asks the same few questions and reads some hundred cases. One
statement finds the rows of all lists and days; one more fetches them with what they are about.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.core.exceptions import EmptyResultSet
from django.db import connection
from django.db.models import (
    BooleanField,
    CharField,
    Count,
    Exists,
    ExpressionWrapper,
    F,
    IntegerField,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Value,
    When,
    prefetch_related_objects,
)
from django.db.models import Case as Either
from django.db.models.functions import Cast, Coalesce

from labcases.domain import access, calendars, open_days, pairs, queries, stages
from labcases.domain import question as asking
from labcases.domain.desk import moves
from labcases.domain.queries import Line
from labcases.enums import ENDS, PrescriptionStatus, Side, Stage
from labcases.enums.desk import DeskKind, DeskSection
from labcases.models import Case, DeskRow, Organisation, Prescription, User

LISTS = tuple(section for section in DeskSection if section != DeskSection.DAYS)
IN_ORDER = ("nearest", "case", "pk")
UNREAD = "unread"

SHOWN_IN_LIST = 8
SHOWN_ON_DAY = 6
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
    lists: bool = True
    """Whether the first lines of each list are wanted beside the days."""
    houses: Sequence[Organisation] = ()
    """Houses that are read already, so that they need not be asked for again."""

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
    rows = DeskRow.objects.filter(access.seen(user))
    return rows.filter(office=office) if office else rows


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
    # The first rows are found in their order, and counted by the days on which they hold: each by
    # an index of its own, so that the first day is kept out of the search for the former.
    in_order = every.alias(begun=Coalesce("first", "last")).filter(
        begun__lte=asked.today, last__gte=asked.today
    )
    own: dict[DeskSection, Q] = {
        section: Q(_for_reader(section, *houses), section=section) for section in LISTS
    }
    on_days = in_order.filter(section=DeskSection.DAYS)
    found = Found()
    parts = [
        *(_part(in_order.filter(own[one]), _limits(one, asked)) for one in LISTS),
        *(_part(on_days.filter(on=day), _day_limits(day, asked)) for day in _span(asked)),
        _unread(user, asked),
        *_counted(holding, own),
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
        return (0, SHOWN_IN_LIST) if asked.lists else (0, 0)
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


def _counted(rows: QuerySet[DeskRow], own: Mapping[DeskSection, Q]) -> Iterator[QuerySet[Any]]:
    """How many rows each list has: all together, but for those with a rule of their own."""
    apart = (DeskSection.MOVED, DeskSection.TEETH)
    together = Q(section__in=[section for section in own if section not in apart])
    for wanted in (together, *(own[section] for section in apart)):
        told: QuerySet[Any] = rows.filter(wanted).order_by().values("section")
        told = told.annotate(number=Count("pk"))
        told = told.annotate(what=Value("list", TEXT), key=Value(0, NUMBER), **EMPTY)
        yield told.values_list("what", "key", "number", "section", "no_about", "no_day")


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
    if asked.show not in ("", UNREAD) or not asked.lists:
        return None
    rows: QuerySet[Any] = asking.threads(user)
    seen = Case.objects.filter(access.seen(user), pk=OuterRef("case")).exclude(stage__in=ENDS)
    # Beginning with the threads: there are few open ones, and very many cases.
    rows = rows.filter(Exists(seen.filter(office=asked.office) if asked.office else seen))
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
        try:
            statement, more = part.query.sql_with_params()
        except EmptyResultSet:
            # Of somebody without a house; nothing can be asked.
            continue
        told.append(f"SELECT * FROM ({statement}) AS part_{number}")  # noqa: S608  (Django's own)
        values += more
    if not told:
        return []
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


def _read(
    found: Found, user: User, keys: Collection[int], cases: Collection[int], asked: Asked
) -> None:
    """Fetch the rows with what they are about, and their cases as lines."""
    wanted = Q(pk__in=keys) | Q(case__in=cases, kind__in=SAID_OF_ALL)
    rows = list(DeskRow.objects.filter(wanted).select_related(*BESIDE).order_by(*IN_ORDER))
    prefetch_related_objects([row.box for row in rows if row.kind == DeskKind.BOX_GONE], "items")
    read = {case.pk: case for case in fetch(cases, user, asked.houses)}
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


def fetch(keys: Collection[int], user: User, houses: Iterable[Organisation] = ()) -> list[Case]:
    """Cases with what a line of the desk reads, by two or three questions whatever the number.

    ``houses`` are those that the caller has read; the others are asked for. Each is one object, so
    that its days are read and counted once.
    """
    signed = _in_force()
    rows = list(
        Case.objects.filter(pk__in=keys)
        .select_related("patient", "delivery")
        .annotate(
            **pairs.columns(),
            arch_in_force=Subquery(signed.values("arch")[:1]),
            status_in_force=Subquery(signed.values("status")[:1]),
        )
    )
    kept = {house.pk: house for house in (*access.organisations(user), *houses)}
    wanted = {key for case in rows for key in (case.office_id, case.laboratory_id)} - set(kept)
    kept |= Organisation.objects.in_bulk(list(wanted)) if wanted else {}
    for case in rows:
        pairs.keep(case)
        case.office, case.laboratory = kept[case.office_id], kept[case.laboratory_id]
        force = {name: getattr(case, f"{name}_in_force") for name in ("arch", "status")}
        said = Prescription(case=case, revision=1, **force)
        # As if it had been fetched: a line says the arch, and whether a draft is signed.
        case.__dict__["_prefetched_objects_cache"] = {"prescriptions": [said]}
    shown = {key for case in rows for key in (case.office_id, case.laboratory_id)}
    own = access.organisations(user)
    calendars.fetch((), [*own, *(house for key, house in kept.items() if key in shown)])
    return rows


def _in_force() -> QuerySet[Prescription]:
    """The revision in force of a case first: the last signed one, or the first draft."""
    signed = Either(When(status=PrescriptionStatus.SIGNED, then=0), default=1)
    return Prescription.objects.filter(case=OuterRef("pk")).order_by(signed, "-revision")


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
