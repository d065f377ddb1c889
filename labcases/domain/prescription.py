"""Writing, signing and revising a prescription."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from labcases.domain import gates, history, opponent, question, shades, stages, versions
from labcases.domain.gates import Missing
from labcases.domain.undoing import CLINICAL as CLINICAL
from labcases.domain.undoing import UNDOES, changed_fields, earliest, take_back
from labcases.enums import PrescriptionStatus, Stage
from labcases.enums.signed_papers import OPEN_PAPERS, PaperState
from labcases.models import Case, Prescription, Question, User


class NotReady(Exception):
    """The prescription cannot be signed yet; ``items`` say what is missing."""

    def __init__(self, items: list[Missing]) -> None:
        self.items = items
        super().__init__("The prescription is not complete: " + " ".join(i.text for i in items))


class AlreadySigned(Exception):
    """A signed revision never changes; write the next one."""


class BeingConfirmed(Exception):
    """What was typed from a signed paper waits to be confirmed, and holds still for that."""


class TooLateToRevise(Exception):
    """Processing has begun, so a revision would no longer describe the denture."""


def digest(row: Prescription) -> str:
    """SHA-256 over the clinical part, in one fixed spelling."""
    values = {
        field: _plain(getattr(row, field))
        for field in CLINICAL
        if field not in ASKED_LATER or _said(row, field)
    }
    text = json.dumps(
        {"case": row.case.code, "revision": row.revision, **values}, sort_keys=True, default=str
    )
    return hashlib.sha256(text.encode()).hexdigest()


# Answers that the first prescriptions were not asked for. They count in the digest once they
# are said, so that what was signed before them keeps its digest.
ASKED_LATER = frozenset(
    {
        *("shade_light", "mould_form", "central_width_mm", "central_length_mm", "vertical_wish"),
        *("post_dam", "lower_border", "smile_display_mm", "vertical_rest_mm"),
        *("vertical_occlusion_mm", "vertical_read_at", "interalar_mm", "canine_lines_mm"),
        *("probing_mm", "photographs", "natural_changes", "natural_changes_text"),
        *("identification", "template_wanted", "settings_wish", "settings_text"),
        *("return_casts", "reline_plan", "characterisation"),
        "healing_reason",
        *("opponent", "over_eruption_mm", "over_eruption_by"),
    }
)


def _said(row: Prescription, field: str) -> bool:
    """Whether an answer says anything; a kind that the chart says by itself adds nothing."""
    value = getattr(row, field)
    if field == "opponent" and value == opponent.of_chart(row.opposing):
        return False
    return value not in (None, "", {}, [])


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, (dict, list)):
        return value
    return f"{value.normalize():f}" if hasattr(value, "normalize") else str(value)


def save(*, row: Prescription, version: int, by: User, values: Mapping[str, Any]) -> Prescription:
    """Save part of a draft; a signed revision is refused."""
    if row.status != PrescriptionStatus.DRAFT:
        raise AlreadySigned(
            f"Revision {row.revision} is signed and does not change. Start the next revision."
        )
    if row.pk and row.papers.filter(state=PaperState.WAITING).exists():
        raise BeingConfirmed(
            f"Revision {row.revision} is typed from a signed paper and waits to be confirmed. "
            "Whoever compares it sends it back when something is to change."
        )
    values = {**values, **shades.as_listed(row, values)}
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
    return put_in_force(
        row=row,
        version=version,
        by=by,
        act="signed",
        reason=f"revision {row.revision}",
        values={"signed_by": by, "signed_name": signed_name, "licence_number": licence_number},
    )


def put_in_force(
    *, row: Prescription, version: int, by: User, act: str, reason: str, values: Mapping[str, Any]
) -> Prescription:
    """Bind a signature to the answers of a draft; raises what ``sign`` does.

    ``values`` say whose signature it is. A paper from which the draft was being typed counts
    no more, unless it is what carries the signature.
    """
    items = gates.to_sign(row)
    if items:
        raise NotReady(items)
    if row.status != PrescriptionStatus.DRAFT:
        raise AlreadySigned(f"Revision {row.revision} is already signed.")
    with history.turn(row.case):
        # Locked, so that nobody moves the case on while the revision takes it back.
        case = Case.objects.select_for_update().get(pk=row.case_id)
        before = case.prescription if row.revision > 1 else None
        changed: list[str] = []
        if before:
            _not_too_late(case)
            changed = changed_fields(before, row)
            Prescription.objects.filter(pk=before.pk).update(status=PrescriptionStatus.REPLACED)
        signed = versions.save_row(
            row=row,
            version=version,
            by=by,
            case=case,
            part="prescription",
            act=act,
            reason=reason,
            values={
                "status": PrescriptionStatus.SIGNED,
                "signed_at": timezone.now(),
                "digest": digest(row),
                **values,
            },
        )
        row.papers.filter(state__in=OPEN_PAPERS).update(
            state=PaperState.GIVEN_UP, given_up_reason="The dentist signed by log-in meanwhile."
        )
        question.answer_by(row=signed, by=by)
        if before:
            why = f"revision {row.revision} of the prescription"
            take_back(case=case, fields=changed, by=by, why=why)
            stages.bring_back(case=case, to=earliest(changed), by=by, revision=row.revision)
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
    changed = changed_fields(before, row)
    to = earliest(changed)
    order = list(Stage)
    behind = to is not None and order.index(Stage(row.case.stage)) > order.index(to)
    return Undoing({field: UNDOES.get(field) for field in changed}, to if behind else None)


def answer_by_revision(*, asked: Question, by: User) -> Prescription:
    """Start the next revision, or take the draft, to answer a question by its signature.

    Raises
    ------
    TooLateToRevise
        The case is in processing or later.
    labcases.domain.question.SaidMeanwhile
        The thread has grown since ``asked`` was read. Nothing was started.
    """
    with history.turn(asked.case):
        row = revise(case=asked.case, by=by)
        question.will_answer(question=asked, row=row, by=by)
    return row


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
    with history.turn(case):
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
