"""What follows when a case stands still or ends: dates dropped, things to be returned."""

from __future__ import annotations

from datetime import date, timedelta

from django.db import models
from django.utils import timezone

from labcases.domain import identity, inventory, versions
from labcases.enums import ENDED_EARLY, AppointmentStatus
from labcases.models import Appointment, Case, User

AHEAD = (AppointmentStatus.PROPOSED, AppointmentStatus.BOOKED)


def drop_appointments(*, case: Case, by: User, why: str) -> list[Appointment]:
    """Drop every date that is still ahead, one history entry each.

    Call it inside the transaction of what ends or holds the case.
    """
    rows = case.appointments.select_for_update().filter(status__in=AHEAD)
    return [
        versions.save_row(
            row=row,
            version=row.version,
            by=by,
            case=case,
            part="dates",
            act="dropped",
            reason=why,
            values={"status": AppointmentStatus.DROPPED},
        )
        for row in rows
    ]


def keeps_at_rest(case: Case) -> str:
    """Why nobody takes a case off hold now, in words; empty where somebody may."""
    if case.silent:
        return (
            "A report says that the patient has died, and the case stays at rest. If that is "
            "wrong, strike the report out first."
        )
    doubts = identity.doubts(case)
    return f"{doubts[0].title}. {identity.lacks(doubts[0])}" if doubts else ""


# -- what comes back ---------------------------------------------------------------------------


def to_be_returned(case: Case) -> list[inventory.Held]:
    """What lies at the laboratory as far as boxes tell, while the case rests or after it ended.

    A box to the office that takes a thing along takes it off this list.
    """
    ended = case.stage in ENDED_EARLY
    if not (ended or case.on_hold):
        return []
    rows = case.boxes.prefetch_related("items")
    return [held for held in inventory.inventory(rows) if held.laboratory or held.under_way]


# -- how old a cast may be ---------------------------------------------------------------------

CAST_AGE_DAYS = 56
"""Natural teeth drift and break; older than 8 weeks at surgery (common practice, no source)."""


def cast_age_days(case: Case, surgery_on: date | None) -> int | None:
    """Days from the last impression of the denture's arch to surgery; nothing where unknown."""
    taken = case.impressions.filter(arch=case.prescription.arch, struck_at__isnull=True).aggregate(
        last=models.Max("taken_at")
    )["last"]
    if taken is None or surgery_on is None:
        return None
    return (surgery_on - timezone.localdate(taken)) // timedelta(days=1)
