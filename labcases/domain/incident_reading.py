"""Who is told of a report, who has read it, and which reports are open."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Case as Either
from django.db.models import Exists, OuterRef, Q, QuerySet, When

from labcases.domain import access
from labcases.enums import ENDS, Side
from labcases.models import Case, Incident, IncidentRead, User


def mark_read(*, user: User, incidents: Iterable[Incident]) -> None:
    IncidentRead.objects.bulk_create(
        [IncidentRead(user=user, incident=row) for row in incidents], ignore_conflicts=True
    )


@dataclass(frozen=True)
class Report:
    """An open report, and whether it is new to the person who reads."""

    row: Incident
    new: bool


def first_of(user: User, most: int) -> list[Report]:
    """The first open reports that a desk shows: new ones before others, each the oldest first.

    Of a case that has ended, or whose patient has died, only what is new.
    """
    going = Q(case__silent=False) & ~Q(case__stage__in=ENDS)
    seen = Case.objects.filter(access.seen(user), pk=OuterRef("case"), erased=False)
    # Beginning with the reports: there are few open ones, and very many cases.
    rows = (
        _open(user)
        .filter(Exists(seen))
        .annotate(fresh=Either(When(Q(read=False) & ~Q(by=user), then=0), default=1))
    )
    asked = rows.filter(going | Q(fresh=0)).order_by("fresh", "pk")[:most]
    found = _reports(user, asked)
    shown = [one for one in found if one.new or (one.row.case.is_open and not one.row.case.silent)]
    return sorted(shown, key=lambda one: not one.new)


def open_to(user: User, cases: Collection[Case] | None = None) -> list[Report]:
    """Reports that are neither closed nor struck out, the oldest first.

    Parameters
    ----------
    user : User
        New is what this person is told of, did not report, and has not read.
    cases : collection of Case, optional
        By default every case that the person sees, also one that has ended.
    """
    of = access.visible_cases(user) if cases is None else [case.pk for case in cases]
    return _reports(user, _open(user).filter(case__in=of))


def _open(user: User) -> QuerySet[Incident]:
    return (
        Incident.objects.filter(struck_at__isnull=True, closed_at__isnull=True)
        .annotate(read=Exists(IncidentRead.objects.filter(incident=OuterRef("pk"), user=user)))
        .select_related("by", "case")
    )


def _reports(user: User, rows: Iterable[Any]) -> list[Report]:
    offices, laboratories = access.houses(user)
    return [
        Report(row, row.by_id != user.pk and not row.read and _told_to(row, offices, laboratories))
        for row in rows
    ]


def unread(user: User, case: Case) -> list[Incident]:
    """Reports of a case that this person is told of and has not read, the oldest first."""
    return [one.row for one in open_to(user, [case]) if one.new]


def _told_to(row: Incident, offices: set[int], laboratories: set[int]) -> bool:
    return (Side.OFFICE in row.told and row.case.office_id in offices) or (
        Side.LABORATORY in row.told and row.case.laboratory_id in laboratories
    )


def by_case(reports: Iterable[Report]) -> dict[int, list[Report]]:
    found: dict[int, list[Report]] = {}
    for one in reports:
        found.setdefault(one.row.case_id, []).append(one)
    return found
