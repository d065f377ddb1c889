"""Dates of the demonstration: appointments booked, surgery days confirmed."""

from __future__ import annotations

from datetime import timedelta

from labcases.domain import case as cases
from labcases.domain.calendars import calendar_of
from labcases.domain.open_days import open_until
from labcases.enums import AppointmentKind, AppointmentStatus
from labcases.management.walk import Walk


def book(walk: Walk, kind: AppointmentKind, days_before_surgery: int) -> None:
    case = walk.reload()
    if case.surgery_on is None:
        return
    on = case.surgery_on - timedelta(days=days_before_surgery)
    on = open_until(on, calendar_of(case.office))
    cases.save_appointment(
        case=case,
        appointment=None,
        version=0,
        by=walk.hands.office_desk,
        values={"kind": kind, "on": on, "status": AppointmentStatus.BOOKED, "note": ""},
    )


def confirm(walk: Walk) -> None:
    case = walk.reload()
    cases.confirm_surgery(case=case, version=case.version, by=walk.hands.dentist)
