"""What check records say of the settings: proposals that a person may adopt."""

from __future__ import annotations

from labcases.domain.calculations._gaps import from_gaps
from labcases.domain.calculations._points import from_points
from labcases.domain.calculations._proposals import RecordProposal
from labcases.enums import CheckRecordKind
from labcases.models import ArticulatorRecord, Case, CheckRecord


def standing(case: Case) -> list[CheckRecord]:
    """Records that are not struck out, in the order in which they were read in."""
    return list(case.check_records.filter(struck_at__isnull=True))


def points_closed(case: Case) -> CheckRecord | None:
    """The points that were read last with the casts closed."""
    closed = [row for row in standing(case) if row.kind == CheckRecordKind.CLOSED]
    return closed[-1] if closed else None


def record_proposals(case: Case) -> dict[str, RecordProposal]:
    """Every way of reading the standing records, by its name; empty without any record."""
    rows = standing(case)
    stored: ArticulatorRecord | None = getattr(case, "articulator", None)
    found = {}
    if (closed := points_closed(case)) is not None:
        moved = [row for row in rows if row.closed_id == closed.pk]
        found["points"] = from_points(closed, moved, stored or ArticulatorRecord())
    if gaps := [row for row in rows if row.kind == CheckRecordKind.GAP]:
        found["gap"] = from_gaps(case, gaps, stored)
    return found
