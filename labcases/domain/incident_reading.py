"""Who is told of a report, who has read it, and which reports are open."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from django.db.models import QuerySet

from labcases.domain import access
from labcases.enums import Side
from labcases.models import Case, Incident, IncidentRead, User


def mark_read(*, user: User, incidents: Iterable[Incident]) -> None:
    IncidentRead.objects.bulk_create(
        [IncidentRead(user=user, incident=row) for row in incidents], ignore_conflicts=True
    )


def unread(user: User, cases: Collection[Case]) -> dict[int, list[Incident]]:
    """Case -> reports that this person is told of and has not read, the oldest first."""
    rows = _new_to(user).filter(case__in=[case.pk for case in cases])
    return _by_case(_told(user, rows))


def unread_anywhere(user: User) -> list[Incident]:
    """The same over every case that a person sees, also one that has ended."""
    return _told(user, _new_to(user).filter(case__in=access.visible_cases(user)))


def _new_to(user: User) -> QuerySet[Incident]:
    return (
        Incident.objects.filter(struck_at__isnull=True, closed_at__isnull=True)
        .exclude(by=user)
        .exclude(reads__user=user)
        .select_related("by", "case")
    )


def _told(user: User, rows: Iterable[Incident]) -> list[Incident]:
    offices, laboratories = access.houses(user)
    return [row for row in rows if _told_to(row, offices, laboratories)]


def _told_to(row: Incident, offices: set[int], laboratories: set[int]) -> bool:
    return (Side.OFFICE in row.told and row.case.office_id in offices) or (
        Side.LABORATORY in row.told and row.case.laboratory_id in laboratories
    )


def _by_case(rows: Iterable[Incident]) -> dict[int, list[Incident]]:
    found: dict[int, list[Incident]] = {}
    for row in rows:
        found.setdefault(row.case_id, []).append(row)
    return found


def open_of(cases: Collection[Case]) -> dict[int, list[Incident]]:
    """Case -> reports that are neither closed nor struck out, the oldest first."""
    rows = Incident.objects.filter(
        case__in=[case.pk for case in cases], closed_at__isnull=True, struck_at__isnull=True
    ).select_related("by")
    return _by_case(rows)
