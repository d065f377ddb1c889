"""Writing, signing and revising a prescription."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone

from labcases.domain import gates, history, stages, versions
from labcases.domain.gates import Missing
from labcases.enums import PrescriptionStatus, Stage
from labcases.models import Case, Prescription, User

# The clinical part: everything that a signature covers.
CLINICAL = (
    "route",
    "set_up_order",
    "arch",
    "teeth",
    "opposing",
    "first_extraction_on",
    "base_material",
    "tooth_material",
    "shade_system",
    "shade",
    "mould",
    "scheme",
    "jaw_record",
    "flange",
    "allergy",
    "allergy_text",
    "try_in",
    "overjet_mm",
    "overbite_mm",
    "incisal_display_mm",
    "midline_offset_mm",
    "instructions",
)

# The stage to which a signed change of a field brings the case back; fields that are not
# named change nothing that was already done.
UNDOES: dict[str, Stage] = {
    "route": Stage.MASTER_CAST,
    "arch": Stage.MASTER_CAST,
    "teeth": Stage.MASTER_CAST,
    "opposing": Stage.MASTER_CAST,
    "jaw_record": Stage.MOUNTING,
    "overjet_mm": Stage.MOUNTING,
    "overbite_mm": Stage.MOUNTING,
    "set_up_order": Stage.SET_UP,
    "scheme": Stage.SET_UP,
    "shade_system": Stage.SET_UP,
    "shade": Stage.SET_UP,
    "mould": Stage.SET_UP,
    "tooth_material": Stage.SET_UP,
    "try_in": Stage.SET_UP,
    "flange": Stage.FINAL_WAX,
    "base_material": Stage.FINAL_WAX,
    "allergy": Stage.FINAL_WAX,
    "allergy_text": Stage.FINAL_WAX,
}


class NotReady(Exception):
    """The prescription cannot be signed yet; ``items`` say what is missing."""

    def __init__(self, items: list[Missing]) -> None:
        self.items = items
        super().__init__("The prescription is not complete: " + " ".join(i.text for i in items))


class AlreadySigned(Exception):
    """A signed revision never changes; write the next one."""


class TooLateToRevise(Exception):
    """Processing has begun, so a revision would no longer describe the denture."""


def digest(row: Prescription) -> str:
    """SHA-256 over the clinical part, in one fixed spelling."""
    values = {
        field: value if isinstance(value := getattr(row, field), dict) else _plain(value)
        for field in CLINICAL
    }
    text = json.dumps(
        {"case": row.case.code, "revision": row.revision, **values}, sort_keys=True, default=str
    )
    return hashlib.sha256(text.encode()).hexdigest()


def _plain(value: Any) -> str | None:
    if value is None:
        return None
    return f"{value.normalize():f}" if hasattr(value, "normalize") else str(value)


def save(*, row: Prescription, version: int, by: User, values: Mapping[str, Any]) -> Prescription:
    """Save part of a draft; a signed revision is refused."""
    if row.status != PrescriptionStatus.DRAFT:
        raise AlreadySigned(
            f"Revision {row.revision} is signed and does not change. Start the next revision."
        )
    return versions.save_row(
        row=row, version=version, by=by, case=row.case, part="prescription", values=values
    )


def sign(
    *, row: Prescription, version: int, by: User, signed_name: str, licence_number: str
) -> Prescription:
    """Sign a complete draft and put it in force.

    The caller has checked the password again. A later revision replaces the one in
    force and brings the case back as far as ``UNDOES`` says.

    Raises
    ------
    NotReady
        The clinical part is not complete.
    AlreadySigned
        Somebody signed it first.
    TooLateToRevise
        Processing began while the revision was being written.
    """
    items = gates.to_sign(row)
    if items:
        raise NotReady(items)
    if row.status != PrescriptionStatus.DRAFT:
        raise AlreadySigned(f"Revision {row.revision} is already signed.")
    case = row.case
    before = case.prescription if row.revision > 1 else None
    if before:
        _not_too_late(case)
    with transaction.atomic():
        changed = _changed_fields(before, row) if before else []
        if before:
            Prescription.objects.filter(pk=before.pk).update(status=PrescriptionStatus.REPLACED)
        signed = versions.save_row(
            row=row,
            version=version,
            by=by,
            case=case,
            part="prescription",
            act="signed",
            reason=f"revision {row.revision}",
            values={
                "status": PrescriptionStatus.SIGNED,
                "signed_by": by,
                "signed_name": signed_name,
                "licence_number": licence_number,
                "signed_at": timezone.now(),
                "digest": digest(row),
            },
        )
        if before:
            stages.bring_back(case=case, to=_earliest(changed), by=by, revision=row.revision)
    return signed


@dataclass(frozen=True)
class Undoing:
    """What signing a revision takes back.

    ``fields`` holds each changed field with the stage that it undoes, ``None`` where it
    undoes nothing; ``to`` is the stage that the case goes back to, or ``None`` when it
    stays where it is.
    """

    fields: dict[str, Stage | None]
    to: Stage | None


def undoing(row: Prescription, before: Prescription) -> Undoing:
    """What signing ``row`` would undo of a case that follows ``before``."""
    changed = _changed_fields(before, row)
    to = _earliest(changed)
    order = list(Stage)
    behind = to is not None and order.index(Stage(row.case.stage)) > order.index(to)
    return Undoing({field: UNDOES.get(field) for field in changed}, to if behind else None)


def _changed_fields(before: Prescription, after: Prescription) -> list[str]:
    return [field for field in CLINICAL if getattr(before, field) != getattr(after, field)]


def _earliest(fields: list[str]) -> Stage | None:
    order = list(Stage)
    found = [UNDOES[field] for field in fields if field in UNDOES]
    return min(found, key=order.index) if found else None


def revise(*, case: Case, by: User) -> Prescription:
    """Start the next revision as a copy of the one in force.

    Raises
    ------
    TooLateToRevise
        The case is in processing or later.
    """
    _not_too_late(case)
    current = case.prescription
    if current.status == PrescriptionStatus.DRAFT:
        return current
    with transaction.atomic():
        row, new = Prescription.objects.get_or_create(
            case=case,
            status=PrescriptionStatus.DRAFT,
            defaults={
                "revision": current.revision + 1,
                "changed_by": by,
                **{field: getattr(current, field) for field in CLINICAL},
            },
        )
        if new:
            history.write(
                case=case,
                by=by,
                act="started a revision",
                part="prescription",
                reason=f"revision {row.revision}",
            )
    return row


def may_revise(case: Case) -> bool:
    """Whether the denture can still follow a change of its prescription."""
    order = list(Stage)
    return order.index(Stage(case.stage)) < order.index(Stage.PROCESSING)


def _not_too_late(case: Case) -> None:
    if not may_revise(case):
        raise TooLateToRevise(
            "Processing has begun. A change is now a new case: open one and say why in its "
            "instructions."
        )


def changes_of(row: Prescription, before: Prescription) -> dict[str, list[Any]]:
    """What a revision changes, as label -> [before, after]."""
    return history.differences(before, {field: getattr(row, field) for field in CLINICAL})
