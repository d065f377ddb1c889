"""A patient asks to be erased: what is closed at once, what is kept for the law, and until when.

Regulation (EU) 2016/679, Article 17(3)(b), (c) and (e), lifts erasure where law, public health or
claims need the data; Regulation (EU) 2017/745, Annex XIII section 4, asks for 10 years and more.
So a request does three things now: it closes the cases to work, it puts a pseudonym in place of
the patient code and takes the name out, and it says on which day the rest goes
(``domain/erasing_due.py``). Not legal advice, check locally.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from datetime import date

from django.utils import timezone

from labcases import codes
from labcases.domain import access, history, paper_offices, redacting, retention
from labcases.domain.redacting import PART
from labcases.domain.withdrawing import Identity, from_rows
from labcases.enums import AskedBy
from labcases.models import (
    Attachment,
    Case,
    Erasure,
    HistoryEntry,
    MarkText,
    Patient,
    PatientName,
    User,
)

ASK, ASK_ON_PAPER = "ask for erasure", "ask for erasure on paper"
PREFIX = "PSEUDONYM-"
TAKEN_OUT = "Withdrawn from view: erasure was asked for."


class Restricted(Exception):
    """Somebody works on a case that is closed to work."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(
            f"Case {codes.grouped(code)} is restricted: erasure was asked for. What is kept for "
            "the law stands here, and nothing else is done with it."
        )


class NotErased(Exception):
    """The request is not taken in; the text says why, and what to do."""


def may_ask(user: User, case: Case) -> bool:
    """The dentist of the office; for an office on paper the manager of the laboratory."""
    if access.may(user, ASK, case):
        return True
    return access.may(user, ASK_ON_PAPER, case) and paper_offices.is_on_paper(case.office)


def cases_of(patient: Patient) -> list[Case]:
    """Every case under the code of a patient, as far as it is not gone yet."""
    return list(
        Case.objects.filter(patient=patient, erased=False)
        .select_related("office", "laboratory", "patient")
        .order_by("pk")
    )


def still_open(patient: Patient) -> list[Case]:
    """Cases that somebody works on: on a bench a denture needs its two identifiers."""
    return [case for case in cases_of(patient) if case.is_open]


def ask(
    *, case: Case, by: User, asked_by: str, asked_on: date, read_code: str
) -> tuple[str, list[Erasure]]:
    """Take in a request: restrict every case of the patient, and put a pseudonym in its place.

    Parameters
    ----------
    case : Case
        A case of the patient.
    by : User
        Who takes it in; the caller has asked ``may_ask``.
    asked_by : str
        ``AskedBy``.
    asked_on : date
        The day on which it was asked.
    read_code : str
        The patient code, typed again: what follows cannot be undone.

    Returns
    -------
    str, list of Erasure
        The pseudonym, and a row a case.

    Raises
    ------
    NotErased
        A case is open, the code is another one, or it was asked before. Nothing was changed.
    """
    if read_code.strip().casefold() != case.patient.code.casefold():
        raise NotErased(
            f"You typed {read_code.strip()}, and that is not the patient code of this case. Type "
            "the code as it stands above."
        )
    if asked_on > timezone.localdate():
        raise NotErased("The day of the request lies ahead. Enter the day on which it was asked.")
    with history.turns(one.laboratory_id for one in cases_of(case.patient)):
        patient = Patient.objects.select_for_update().get(pk=case.patient_id)
        found = cases_of(patient)
        _refuse(found)
        name = PatientName.objects.filter(patient=patient).first()
        pseudonym = _pseudonym(patient)
        who = Identity(patient.code, name.name if name else "", pseudonym)
        Patient.objects.filter(pk=patient.pk).update(code=pseudonym)
        PatientName.objects.filter(patient=patient).delete()
        rows = [
            _restrict(one, who, by=by, asked_by=AskedBy(asked_by), asked_on=asked_on)
            for one in found
        ]
    return pseudonym, rows


def _refuse(found: Iterable[Case]) -> None:
    opened = [codes.grouped(one.code) for one in found if one.is_open]
    if opened:
        named = ", ".join(opened)
        raise NotErased(
            f"Case {named} is still open, and a denture on the bench needs its two identifiers. "
            "Close or cancel it first; the day of the request that you enter then still counts."
        )
    if any(one.restricted for one in found):
        raise NotErased("Erasure was asked for before. What follows from it stands on this page.")


def _pseudonym(patient: Patient) -> str:
    while True:
        made = PREFIX + "".join(secrets.choice(codes.ALPHABET) for _ in range(6))
        if not Patient.objects.filter(office=patient.office_id, code=made).exists():
            return made


def _restrict(case: Case, who: Identity, *, by: User, asked_by: AskedBy, asked_on: date) -> Erasure:
    kept = retention.of_case(case)
    if kept is None:
        raise NotErased("The case is still open. Close or cancel it first.")
    MarkText.objects.filter(case=case).delete()
    pictures = Attachment.objects.filter(case=case, removed_at__isnull=True).update(
        removed_at=timezone.now(), removed_by=by, removed_reason=TAKEN_OUT
    )
    row = Erasure.objects.create(
        case=case,
        asked_by=asked_by,
        asked_on=asked_on,
        by=by,
        kept_until=kept.until,
        kept_years=kept.years,
        counted_from=kept.counted_from,
        counted=kept.counted,
        rule=kept.profile.title,
        pictures=pictures,
    )
    from_rows(case, who)
    Case.objects.filter(pk=case.pk).update(restricted=True)
    history.write(
        case=case,
        by=by,
        act="asked for",
        part=PART,
        changes={
            "by": [None, asked_by.label],
            "on": [None, asked_on.isoformat()],
            "kept until": [None, kept.until.isoformat()],
        },
        reason=why(row),
    )
    redacting.redact(
        case=case,
        by=by,
        left=lambda entry: {name: who.without(getattr(entry, name)) for name in redacting.WORDS},
        why="Patient code and name were taken out at the request for erasure.",
    )
    return row


def why(row: Erasure) -> str:
    """Why it is kept until when, in one sentence."""
    years = "1 year" if row.kept_years == 1 else f"{row.kept_years} years"
    return (
        f"Kept {years} from the day on which it was {row.counted}, by the longest rule that "
        f"counts: {row.rule}."
    )


def of_case(case: Case) -> Erasure | None:
    """The request that closed a case."""
    return Erasure.objects.select_related("by", "case").filter(case=case).first()


def done(case: Case) -> list[HistoryEntry]:
    """What was done to a restricted case, for a list without words of anybody."""
    return list(case.history.select_related("by").order_by("sequence"))
