"""What must be true before the release."""

from __future__ import annotations

from collections.abc import Iterator

from labcases.domain import lots
from labcases.domain.gates.missing import MANAGER, Missing
from labcases.domain.gates.remount import remount_done
from labcases.models import Case


def release_ready(case: Case) -> Iterator[Missing]:
    """Beside the remount: disinfection, lots and the second look."""
    yield from remount_done(case)
    row = getattr(case, "release", None)
    if row is None:
        yield Missing("Enter the disinfection of the finished denture.", "release", "agent")
        return
    lacking = lots.lacking(case)
    if lacking:
        yield Missing(
            f"Enter the lot of the {' and the '.join(lacking)}.", "release", "lot", MANAGER
        )
    if not (row.agent and row.label_minutes and row.actual_minutes):
        yield Missing("Enter how the denture was disinfected.", "release", "agent")
    elif row.actual_minutes < row.label_minutes:
        yield Missing(
            f"The denture was disinfected for {row.actual_minutes} of {row.label_minutes} "
            "minutes. Repeat it and enter the new time.",
            "release",
            "actual_minutes",
        )
    if row.second_look_at is None:
        yield Missing("A second person has not looked at the denture.", "release", "", MANAGER)
