"""Opening a case, its dates, and holding it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils import timezone

from labcases import codes
from labcases.domain import access, date_moves, ending, history, pairs, versions
from labcases.domain.ending import AHEAD
from labcases.domain.versions import EditConflict
from labcases.enums import AppointmentStatus
from labcases.models import (
    Appointment,
    Case,
    Organisation,
    Patient,
    PatientName,
    Prescription,
    SignedPaper,
    User,
)
from labcases.models.date_move import SURGERY


class NotLinked(Exception):
    """The office may not send cases to this laboratory."""


class StillFrozen(Exception):
    """The case stays on hold: the patient has died, or two people look whose case it is."""


def open_case(
    *,
    office: Organisation,
    laboratory: Organisation,
    patient_code: str,
    patient_name: str = "",
    surgery_on: date | None = None,
    by: User,
) -> Case:
    """Open a case with an empty first revision of its prescription.

    Raises
    ------
    NotLinked
        The laboratory has not linked this office.
    """
    if not laboratory.office_links.filter(office=office, active=True).exists():
        raise NotLinked(
            f"{office} is not linked to {laboratory}. Ask the laboratory's manager for a link."
        )
    with history.turn(laboratory):
        patient, _new = Patient.objects.get_or_create(office=office, code=patient_code)
        if patient_name:
            PatientName.objects.update_or_create(patient=patient, defaults={"name": patient_name})
        case = Case.objects.create(
            code=_free_code(),
            office=office,
            laboratory=laboratory,
            patient=patient,
            surgery_on=surgery_on,
            changed_by=by,
        )
        Prescription.objects.create(case=case, revision=1, changed_by=by)
        history.write(case=case, by=by, act="opened", part="case")
    return case


def _free_code() -> str:
    while True:
        code = codes.new_code()
        if not Case.objects.filter(code=code).exists():
            return code


def set_surgery(*, case: Case, version: int, on: date | None, by: User) -> Case:
    """Move the surgery day. It must be confirmed by the dentist again.

    A linked case shares the day, so it moves in the same act and is confirmed again too.
    """
    before = case.surgery_on
    moves = on != before
    confirmation = ("surgery_confirmed_by", "surgery_confirmed_at", "surgery_paper")
    unsaid = dict.fromkeys(confirmation) if moves else {}
    values = {"surgery_on": on, **unsaid}
    with history.turn(case):
        saved = versions.save_row(
            row=case, version=version, by=by, case=case, part="dates", values=values
        )
        other = pairs.goes_along(case) if moves else None
        if other is not None:
            versions.save_row(
                row=other,
                version=other.version,
                by=by,
                case=other,
                part="dates",
                reason=f"moved with case {pairs.named(case)}",
                values=values,
            )
        if before is not None:
            for one in (saved, other) if other else (saved,):
                date_moves.tell(case=one, what=SURGERY, before=before, after=on, by=by)
    return saved


def confirm_surgery(
    *, case: Case, version: int, by: User, paper: SignedPaper | None = None
) -> Case:
    """The dentist confirms the day, or a signed ``paper`` that ``by`` compared says so."""
    if case.surgery_on is None:
        raise ValueError("There is no surgery date to confirm. Enter it first.")
    act = "confirmed on paper" if paper else "confirmed"
    signed = paper.words if paper else ""
    values = {
        "surgery_confirmed_by": None if paper else by,
        "surgery_confirmed_at": timezone.now(),
        "surgery_paper": paper,
    }
    with history.turn(case):
        saved = versions.save_row(
            row=case,
            version=version,
            by=by,
            case=case,
            part="dates",
            act=act,
            reason=signed,
            values=values,
        )
        other = pairs.goes_along(case)
        if other is not None and other.surgery_on == saved.surgery_on:
            versions.save_row(
                row=other,
                version=other.version,
                by=by,
                case=other,
                part="dates",
                act=act,
                reason=f"{signed}{', ' if signed else ''}confirmed with case {pairs.named(case)}",
                values=values,
            )
    return saved


def save_appointment(
    *,
    case: Case,
    appointment: Appointment | None,
    version: int,
    by: User,
    values: Mapping[str, Any],
) -> Appointment:
    """Book, move or close a date beside the surgery day."""
    row = appointment or Appointment(case=case)
    stood = row.on if row.pk and row.status in AHEAD else None
    if row.status == AppointmentStatus.PROPOSED and values.get("status") == "booked":
        # What was proposed is settled by this: the other house hears of it, also on the same day.
        stood = None
    with history.turn(case):
        saved = versions.save_row(
            row=row, version=version, by=by, case=case, part="dates", values=values
        )
        stands = saved.on if saved.status in AHEAD else None
        if saved.status in (*AHEAD, AppointmentStatus.DROPPED):
            date_moves.tell(case=case, what=saved.kind, before=stood, after=stands, by=by)
    return saved


def propose_appointment(*, case: Case, by: User, values: Mapping[str, Any]) -> Appointment:
    """The laboratory's own wish for a date; the office books it."""
    return save_appointment(
        case=case,
        appointment=None,
        version=0,
        by=by,
        values={**values, "status": AppointmentStatus.PROPOSED},
    )


def may_book(user: User, case: Case) -> bool:
    return access.may(user, "book dates", case)


def may_change_appointment(user: User, case: Case, appointment: Appointment | None) -> bool:
    """The office books and moves every date; the laboratory moves what it proposed itself."""
    if may_book(user, case):
        return True
    proposed = appointment is None or appointment.status == AppointmentStatus.PROPOSED
    return proposed and access.may(user, "propose dates", case)


def set_tray_number(*, case: Case, version: int, tray_number: str, by: User) -> Case:
    return versions.save_row(
        row=case,
        version=version,
        by=by,
        case=case,
        part="case",
        values={"tray_number": tray_number},
    )


def hold(*, case: Case, reason: str, by: User, drop_dates: bool = True) -> Case:
    """Put a case on hold; it goes nowhere until it is taken off again.

    Dates that are ahead are dropped at once, unless the case only stands still for a look.
    """
    if not reason.strip():
        raise ValueError("Give the reason why the case is put on hold.")
    with history.turn(case):
        row = _set_hold(case=case, on_hold=True, reason=reason.strip(), by=by)
        if drop_dates:
            ending.drop_appointments(case=row, by=by, why="the case is on hold")
    return row


def resume(*, case: Case, by: User) -> Case:
    """Take a case off hold. Dates that the hold dropped are booked again by people.

    Raises
    ------
    StillFrozen
        The patient has died, or it is in doubt whose case this is.
    """
    rests = ending.keeps_at_rest(case)
    if rests:
        raise StillFrozen(rests)
    return _set_hold(case=case, on_hold=False, reason="", by=by)


def _set_hold(*, case: Case, on_hold: bool, reason: str, by: User) -> Case:
    return versions.save_row(
        row=case,
        version=case.version,
        by=by,
        case=case,
        part="case",
        act="put on hold" if on_hold else "taken off hold",
        values={"on_hold": on_hold, "hold_reason": reason},
    )


__all__ = [
    "EditConflict",
    "NotLinked",
    "StillFrozen",
    "confirm_surgery",
    "hold",
    "may_book",
    "may_change_appointment",
    "open_case",
    "propose_appointment",
    "resume",
    "save_appointment",
    "set_surgery",
    "set_tray_number",
]
