"""What must be decided before anything is flasked: try-in, wax, check, handoff."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeVar

from django.db.models import Model

from labcases.domain import checks, final_wax, undoing, vertical
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
    elif not final_wax.views_lacking(case) and final_wax.approved_gone(case, row):
        yield Missing(
            "A photograph that the dentist approved the wax by is out of view. Ask the dentist "
            "again.",
            "final_wax",
            "approve",
        )
    elif final_wax.trimmed_otherwise(case, row):
        yield Missing(
            "The cast is trimmed otherwise than the dentist approved it. Ask the dentist again.",
            "final_wax",
            "trimming_approved",
        )
    yield from final_wax.unfinished(case, row)
    if not row.trimming_approved:
        yield Missing(
            "The dentist has not approved the trimming of the cast and any change of bone.",
            "final_wax",
            "trimming_approved",
        )


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
