"""The vertical that the dentist agreed to, as the pin has it."""

from __future__ import annotations

from decimal import Decimal

from labcases.enums.proposals import ProposalKind
from labcases.models import ArticulatorRecord, Case, Prescription, Proposal

PRESCRIBED = ("vertical_wish", "vertical_rest_mm", "vertical_occlusion_mm", "vertical_read_at")
"""What a prescription says of the vertical; saying it anew goes before an earlier answer."""


def raised(case: Case) -> Proposal | None:
    """The last new vertical that the dentist agreed to and that still counts."""
    found = [
        row for row in case.proposals.all() if row.kind == ProposalKind.VERTICAL and row.carried_out
    ]
    last = found[-1] if found else None
    return None if last is None or _prescribed_since(case, last) else last


def _prescribed_since(case: Case, row: Proposal) -> bool:
    """Whether a later revision says the vertical anew."""
    number = row.bound.get("revision")
    before = next((r for r in case.prescriptions.all() if r.revision == number), None)
    return before is not None and _says_otherwise(before, case.prescription)


def _says_otherwise(before: Prescription, after: Prescription) -> bool:
    return any(getattr(before, field) != getattr(after, field) for field in PRESCRIBED)


def agreed_mm(case: Case) -> Decimal:
    """The pin value, from pin zero, that the dentist agreed to; 0 unless another was approved.

    A record of before proposals were kept may hold a value of its own.
    """
    row = raised(case)
    if row is not None and row.answered_mm is not None:
        return Decimal(row.answered_mm)
    record: ArticulatorRecord | None = getattr(case, "articulator", None)
    return Decimal(record.pin_agreed_mm) if record else Decimal("0")
