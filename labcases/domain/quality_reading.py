"""Reads what the page of a laboratory's quality counts, by a handful of questions."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Count, Exists, F, OuterRef, QuerySet, Sum
from django.utils import timezone

from labcases.domain import calendars, quality
from labcases.domain.quality import Days, Individuals, Move, Path, Share
from labcases.enums import Side, Stage
from labcases.enums.boxes import BoxDirection
from labcases.enums.remount import RemountAct
from labcases.models import (
    BoxItem,
    Case,
    Delivery,
    HistoryEntry,
    Organisation,
    Question,
    Remake,
    RemountEntry,
)

_STAGES = {str(stage.label): stage for stage in Stage}


@dataclass(frozen=True)
class Reading:
    """The first pin reading after the processing of a case."""

    code: str
    office: int
    on: date
    rise_mm: Decimal


@dataclass(frozen=True)
class OfOffice:
    """What is counted of the cases of one office, or of all together.

    ``questions`` and ``missing`` are of the prescriptions that were sent in the period, ``remade``
    of the dentures that were delivered in it, ``days`` of the cases that were dispatched in it.
    """

    name: str
    questions: Share
    missing: Share
    remade: Share
    days: Days


@dataclass(frozen=True)
class Quality:
    """What a laboratory's work of a period says."""

    readings: tuple[Reading, ...]
    chart: Individuals | None
    all: OfOffice
    offices: tuple[OfOffice, ...]
    stages: dict[Stage, Days]


def read(
    laboratory: Organisation, *, since: date, until: date, office: int | None = None
) -> Quality:
    """Count the work of a laboratory.

    Parameters
    ----------
    laboratory : Organisation
        Whose work.
    since, until : date
        The first and the last day of the period.
    office : int, optional
        The key of the one office whose cases are wanted.
    """
    # A half day for a whole one, so that the days of the stages add up.
    calendar = calendars.calendar_of(laboratory).whole()
    paths = ways(laboratory, since, until, office)
    sent = [path for path in paths if _within(path.first(Stage.SENT), since, until)]
    gone = [path for path in paths if _within(path.last(Stage.DISPATCHED), since, until)]
    asked, missing = _asked(sent), _missing(sent)
    delivered = _delivered(laboratory, since, until, office)
    names = _names({path.office for path in paths} | {of for of, _again in delivered})

    def of(name: str, key: int | None) -> OfOffice:
        here = [path for path in sent if key in (None, path.office)]
        again = [remade for place, remade in delivered if key in (None, place)]
        return OfOffice(
            name,
            Share(sum(asked[path.case] for path in here), len(here)),
            Share(sum(missing[path.case] for path in here), len(here)),
            Share(sum(again), len(again)),
            quality.days_of([path for path in gone if key in (None, path.office)], calendar),
        )

    readings = _readings(laboratory, since, until, office)
    return Quality(
        readings=readings,
        chart=quality.limits([float(one.rise_mm) for one in readings]),
        all=of("All offices", None),
        offices=tuple(of(name, key) for key, name in names.items()),
        stages=quality.stages_of(gone, calendar),
    )


def _within(day: date | None, since: date, until: date) -> bool:
    return day is not None and since <= day <= until


def ways(laboratory: Organisation, since: date, until: date, office: int | None) -> list[Path]:
    """The ways of the cases that moved in the period, each from its beginning."""
    moves = HistoryEntry.objects.filter(laboratory=laboratory, part="stage")
    moved = moves.filter(at__date__gte=since, at__date__lte=until).order_by().values("case")
    rows = moves.filter(case__in=moved)
    if office is not None:
        rows = rows.filter(case__office=office)
    return _paths(rows)


def way_of(case: Case) -> Path:
    """The way of one case so far."""
    found = _paths(HistoryEntry.objects.filter(case=case, part="stage"))
    return found[0] if found else Path(case.pk, case.office_id, ())


def _paths(rows: QuerySet[HistoryEntry]) -> list[Path]:
    found: dict[tuple[int, int], list[Move]] = {}
    told = rows.order_by("sequence").values_list("case", "case__office", "at", "changes")
    for case, place, at, changes in told:
        stage = _STAGES.get(str(changes.get("stage", ["", ""])[-1]))
        if stage is not None:
            found.setdefault((case, place), []).append(Move(timezone.localdate(at), stage))
    return [Path(case, place, tuple(way)) for (case, place), way in found.items()]


def _readings(
    laboratory: Organisation, since: date, until: date, office: int | None
) -> tuple[Reading, ...]:
    rows = RemountEntry.objects.filter(
        case__laboratory=laboratory,
        act=RemountAct.PIN_READ,
        rise_mm__isnull=False,
        struck_at__isnull=True,
    )
    if office is not None:
        rows = rows.filter(case__office=office)
    first: dict[str, Reading] = {}
    told = rows.order_by("at", "id").values_list("case__code", "case__office", "at", "rise_mm")
    for code, place, at, rise in told:
        first.setdefault(code, Reading(code, place, timezone.localdate(at), rise))
    return tuple(one for one in first.values() if since <= one.on <= until)


def _asked(paths: Iterable[Path]) -> Counter[int]:
    """Questions of the laboratory, case by case."""
    rows = Question.objects.filter(
        case__in=[path.case for path in paths], asked_from=Side.LABORATORY
    )
    return Counter(dict(rows.order_by().values_list("case").annotate(Count("pk"))))


def _missing(paths: Iterable[Path]) -> Counter[int]:
    """Things that stood on the list of a box and were not in it, case by case."""
    rows = BoxItem.objects.filter(
        box__case__in=[path.case for path in paths],
        box__direction=BoxDirection.TO_LABORATORY,
        received_count__lt=F("count"),
    )
    lacking = rows.order_by().values_list("box__case")
    return Counter(dict(lacking.annotate(gone=Sum(F("count") - F("received_count")))))


def _delivered(
    laboratory: Organisation, since: date, until: date, office: int | None
) -> list[tuple[int, bool]]:
    """Of each denture that was delivered in the period its office, and whether it was remade."""
    rows = Delivery.objects.filter(
        case__laboratory=laboratory, delivered_on__gte=since, delivered_on__lte=until
    )
    if office is not None:
        rows = rows.filter(case__office=office)
    again = Exists(Remake.objects.filter(old=OuterRef("case")))
    return list(rows.order_by("pk").annotate(again=again).values_list("case__office", "again"))


def _names(keys: Collection[int]) -> dict[int, str]:
    rows = Organisation.objects.filter(pk__in=keys).order_by("name", "pk")
    return dict(rows.values_list("pk", "name"))
