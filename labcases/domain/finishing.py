"""Finishing: the mark as the office wrote it, the template, and who may look a second time."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django.utils import timezone

from labcases import codes
from labcases.domain import access, versions
from labcases.enums import Stage
from labcases.enums.prescribing import Identification
from labcases.models import Case, FinalWax, Finishing, MarkText, Release, User

PART = "finishing"
MARK_PART = "text of the mark"

PAUSE = timedelta(minutes=30)
"""How long one who works alone waits before looking at the own denture again (common practice, no
source): long enough to have put it down and done something else."""


def save(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> Finishing:
    """Keep what was confirmed of the finished denture."""
    row = Finishing.objects.filter(case=case).first() or Finishing(case=case)
    placed = values.get("mark_placed", row.mark_placed)
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=case,
        part=PART,
        values={**values, "mark_digest": digest(case) if placed else "", "finished_by": by},
    )


# --- the mark ------------------------------------------------------------------------------------


def give_text(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> MarkText:
    """Keep the text that the office gives; the history says that it changed, never what it is."""
    row = MarkText.objects.filter(case=case).first() or MarkText(case=case)
    return versions.save_row(
        row=row, version=version, by=by, case=case, part=MARK_PART, values=values
    )


def wanted(case: Case) -> Identification | None:
    """What the prescription wants the mark to show; nothing where it says nothing of it."""
    said = case.prescription.identification
    return Identification(said) if said else None


def text_of(case: Case) -> str:
    """The text that goes into the denture; empty where there is none, or the office gave none."""
    kind = wanted(case)
    if kind == Identification.PATIENT_CODE:
        return case.patient.code
    if kind == Identification.CASE_CODE:
        return codes.grouped(case.code)
    if kind == Identification.OFFICE_TEXT:
        row: MarkText | None = getattr(case, "mark_row", None)
        return row.mark_text.strip() if row else ""
    return ""


def shown_to(user: User, case: Case) -> str:
    """The text for a reader: always for the office, for the bench while it finishes."""
    office = bool(access.positions(user, case) & access.OFFICE)
    coded = wanted(case) in (Identification.PATIENT_CODE, Identification.CASE_CODE)
    return text_of(case) if office or coded or case.stage == Stage.FINISHING else ""


def is_wanted(case: Case) -> bool:
    """Whether a mark goes into the denture at all."""
    return wanted(case) not in (None, Identification.NONE)


def digest(case: Case) -> str:
    """Of the text as it is now; with the case, so that equal texts are not seen to be equal."""
    text = text_of(case)
    return hashlib.sha256(f"{case.pk}:{text}".encode()).hexdigest() if text else ""


# --- the template --------------------------------------------------------------------------------


def template_wanted(case: Case) -> bool:
    """As it was decided with the final wax."""
    row: FinalWax | None = getattr(case, "final_wax", None)
    return bool(row and row.template_wanted)


# --- the second look -----------------------------------------------------------------------------


def why_not_look(user: User, case: Case, row: Release) -> str:
    """Why a person does not take the second look; empty when they do."""
    if row.finished_by_id != user.pk:
        return ""
    if not access.works_alone(case.laboratory):
        return "You finished this denture. A second person looks at it before it is released."
    left = row.changed_at + PAUSE - timezone.now()
    if left <= timedelta(0):
        return ""
    minutes = -(-int(left.total_seconds()) // 60)
    return (
        "You finished this denture and work alone here. Put it down for "
        f"{PAUSE.seconds // 60} minutes, and look at it again in "
        f"{minutes} {'minute' if minutes == 1 else 'minutes'}."
    )


def look_words(user: User, row: Release) -> str:
    """What the history says of a look by the person who finished it; else nothing."""
    if row.finished_by_id != user.pk:
        return ""
    minutes = int((timezone.now() - row.changed_at).total_seconds()) // 60
    return f"alone in the laboratory, after a pause of {minutes} minutes"
