"""What check records say of the settings: proposals that a person may adopt."""

from __future__ import annotations

import math
from collections.abc import Mapping

from labcases.domain.calculations._gaps import from_gaps
from labcases.domain.calculations._points import from_points
from labcases.domain.calculations._proposals import APART, SIDES, RecordProposal
from labcases.enums import CheckRecordKind
from labcases.models import ArticulatorRecord, Case, CheckRecord
from occlusion.ranges import EngineWarning
from occlusion.sources import cite


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


def ways_apart(found: Mapping[str, RecordProposal]) -> list[EngineWarning]:
    """Condyles of which points and gaps say more different things than their deviations explain.

    Parameters
    ----------
    found : mapping of str to RecordProposal
        As ``record_proposals`` gives them.
    """
    told = {
        (method, value.field): value
        for method, proposal in found.items()
        for value in proposal.values
    }
    warnings = []
    for side in SIDES:
        points, gap = (told.get((way, f"condylar_{side}_deg")) for way in ("points", "gap"))
        if points is None or gap is None:
            continue
        explained = APART * math.hypot(points.sd, gap.sd)
        apart = abs(points.value - gap.value)
        if apart > explained:
            warnings.append(
                EngineWarning(
                    f"points_and_gaps_disagree_{side}",
                    f"Points and gaps disagree about the {side} condyle: {points.value:.1f} deg "
                    f"from the points, {gap.value:.1f} deg from the gaps. That is {apart:.1f} deg "
                    f"apart; their deviations explain about {explained:.1f} deg. Find out which "
                    "record is wrong before either is adopted.",
                    cite("practice"),
                )
            )
    return warnings
