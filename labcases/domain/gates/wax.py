"""What must be decided before anything is flasked: try-in, wax, check, handoff."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeVar

from django.db.models import Model

from labcases.domain import checks, history, undoing, vertical
from labcases.domain.gates.missing import DENTIST, Missing
from labcases.enums import CheckKind, Route, TryInOutcome, TryInWish
from labcases.models import Case, Prescription, TryIn

Row = TypeVar("Row", bound=Model)


def _last(rows: Iterable[Row]) -> Row | None:
    """The last of rows that stand in their order, fetched for many cases at once or not."""
    return next(reversed(list(rows)), None)


def _revision(case: Case, number: int) -> Prescription:
    return next(row for row in case.prescriptions.all() if row.revision == number)


def try_in_decided(case: Case) -> Iterator[Missing]:
    """On leaving the try-in: the dentist has said how it went."""
    last = _last(case.try_ins.all())
    if last is None or not last.outcome:
        yield Missing("The dentist has not recorded the try-in.", "try_in", "outcome")


def try_in_wants_new_record(case: Case) -> Iterator[Missing]:
    last = _last(case.try_ins.all())
    if last is None or last.outcome != TryInOutcome.NEW_RECORD:
        yield Missing(
            "A new jaw record is made when the try-in asks for one. The last try-in does not.",
            "try_in",
            "outcome",
        )


def try_in_answered(case: Case) -> Iterator[Missing]:
    wish = case.prescription.try_in
    last = _last(case.try_ins.all())
    if wish == TryInWish.WAIVED:
        yield from _at_new_vertical(case, last)
        return
    if wish == TryInWish.NOT_POSSIBLE:
        return
    answered = (
        TryInOutcome.APPROVED,
        TryInOutcome.APPROVED_WITH_CHANGES,
        TryInOutcome.WAIVED,
    )
    if last is None or last.outcome not in answered:
        yield Missing(
            "The try-in is not approved. The dentist may waive it with a reason.",
            "try_in",
            "outcome" if last else "",
            DENTIST,
        )
    elif last.taken_back:
        yield Missing(
            f"The verdict on try-in {last.number} was taken back: {last.taken_back}. Hand over "
            "for another one, or let the dentist waive it with a reason.",
            "try_in",
            "outcome",
            DENTIST,
        )
    elif undoing.reaches_the_try_in(_revision(case, last.revision), case.prescription):
        yield Missing(
            f"The try-in was approved for revision {last.revision}; revision "
            f"{case.prescription.revision} is in force.",
            "try_in",
            "outcome",
            DENTIST,
        )


def _at_new_vertical(case: Case, last: TryIn | None) -> Iterator[Missing]:
    """A try-in that the prescription waived is wanted all the same at a new vertical."""
    raised = vertical.raised(case)
    if raised is None or raised.answered_at is None or case.prescription.route == Route.INTERIM:
        return
    decided = last.decided_at if last and not last.taken_back else None
    if (
        last is None
        or decided is None
        or decided < raised.answered_at
        or (last.outcome == TryInOutcome.NEW_RECORD)
    ):
        yield Missing(
            f"The dentist set a new vertical (proposal {raised.number}) and it has not been tried "
            "in. The dentist may go on without, with a reason.",
            "try_in",
            "outcome" if last else "",
            DENTIST,
        )


def wax_approved(case: Case) -> Iterator[Missing]:
    row = getattr(case, "final_wax", None)
    if row is None:
        yield Missing("Enter the final wax.", "final_wax")
        return
    if row.approved_at is None:
        yield Missing("The dentist has not approved the final wax.", "final_wax", "approve")
    elif not undoing.wax_approval_stands(case):
        yield Missing(
            "The final wax was approved for an earlier prescription. Ask the dentist again.",
            "final_wax",
            "approve",
        )
    if not row.photographs_sent:
        yield Missing(
            "Send the dentist photographs of the wax and tick it.", "final_wax", "photographs_sent"
        )
    for field in ("overjet_mm", "overbite_mm", "incisal_display_mm", "midline_offset_mm"):
        if getattr(row, field) is None and getattr(case.prescription, field) is not None:
            name = history.label(row, field).removesuffix(" mm")
            yield Missing(
                f"Measure the {name} in the wax; it was measured before extraction.",
                "final_wax",
                field,
            )
    if row.bone_change_planned is None:
        yield Missing(
            "Say whether a change of bone is planned.", "final_wax", "bone_change_planned"
        )
    if not row.trimming_approved:
        yield Missing(
            "The dentist has not approved the trimming of the cast and any change of bone.",
            "final_wax",
            "trimming_approved",
        )
    if not row.duplicate_made:
        yield Missing(
            "Make a duplicate of the trimmed cast and tick it.", "final_wax", "duplicate_made"
        )
    if not row.flange_decision:
        yield Missing("Say how the flange is made.", "final_wax", "flange_decision")
    if not row.undercut_decision:
        yield Missing("Say what is done about undercuts.", "final_wax", "undercut_decision")
    if row.template_wanted is None:
        yield Missing("Decide whether a template is made.", "final_wax", "template_wanted")


def clearance_current(case: Case) -> Iterator[Missing]:
    shown = checks.latest(case, CheckKind.CLEARANCE)
    if shown is None:
        yield Missing("The clearance check has not been computed.", "check", "compute")
    elif shown.stale:
        yield Missing(
            "The clearance check is stale: an input changed. Compute it again.", "check", "compute"
        )


def handoff_written(case: Case) -> Iterator[Missing]:
    wax = getattr(case, "final_wax", None)
    last = _last(case.handoffs.all())
    if last is None or (wax and wax.approved_at and last.at < wax.approved_at):
        yield Missing("Fill in the processing handoff.", "handoff", "base_product")
