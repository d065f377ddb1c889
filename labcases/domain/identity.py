"""Whose case it is: frozen while that is in doubt, until two people have read it again."""

from __future__ import annotations

from django.db import IntegrityError, transaction

from labcases import codes
from labcases.domain import access, history
from labcases.enums import IncidentEffect, Side
from labcases.models import Case, IdentityLook, Incident, User
from labcases.reference.incidents import kinds

PEOPLE = 2
"""So many people look again, one of them at the office (common practice, no source)."""


class OtherIdentifiers(Exception):
    """What was read is not this case; the text says which of the two differs."""


class LookedAlready(Exception):
    """The same person looked before; a second pair of eyes is asked for."""


def doubts(case: Case) -> list[Incident]:
    """Reports that say this may be another patient's, and that are not settled yet."""
    frozen = [key for key, kind in kinds().items() if kind.effect == IncidentEffect.FREEZE]
    rows = case.incidents.filter(kind__in=frozen, struck_at__isnull=True, closed_at__isnull=True)
    return [row for row in rows.prefetch_related("looks__by") if not settled(row)]


def settled(incident: Incident) -> bool:
    """Two people, one of them at the office, have read both identifiers again."""
    looks = list(incident.looks.all())
    return len(looks) >= PEOPLE and any(look.side == Side.OFFICE for look in looks)


def lacks(incident: Incident) -> str:
    """What is still needed, in words; empty when nothing is."""
    looks = list(incident.looks.all())
    office = any(look.side == Side.OFFICE for look in looks)
    left = max(PEOPLE - len(looks), 0 if office else 1)
    if not left:
        return ""
    many = "One person has" if left == 1 else "Two people have"
    where = "" if office else (", at the office" if left == 1 else ", one of them at the office")
    return f"{many} still to read case code and patient code again{where}."


def confirm(*, incident: Incident, case_code: str, patient_code: str, by: User) -> IdentityLook:
    """Keep that a person read both identifiers off the things and the chart.

    Raises
    ------
    OtherIdentifiers
        One of them is not this case's: the doubt stands.
    LookedAlready
        The same person looked before.
    """
    case = incident.case
    try:
        read = codes.normalise(case_code)
    except ValueError as wrong:
        raise OtherIdentifiers(str(wrong)) from wrong
    if read != case.code:
        raise OtherIdentifiers(
            f"You read {case_code.strip()}, and that is not the code of this case. Touch nothing "
            "and tell the other house. If you misread it, read it again."
        )
    if patient_code.strip().casefold() != case.patient.code.casefold():
        raise OtherIdentifiers(
            f"You read {patient_code.strip()}, and that is not the patient code of this case. "
            "Touch nothing and tell the other house. If you misread it, read it again."
        )
    office = bool(access.positions(by, case) & access.OFFICE)
    with history.turn(case):
        try:
            with transaction.atomic():
                look = IdentityLook.objects.create(
                    incident=incident, side=Side.OFFICE if office else Side.LABORATORY, by=by
                )
        except IntegrityError:
            raise LookedAlready(
                "You have confirmed this already. Another person reads both codes again."
            ) from None
        history.write(case=case, by=by, act="confirmed", part="identity")
    return look
