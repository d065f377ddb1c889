"""What the laboratory checks on the bench before the base leaves for a try-in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from django.utils import timezone

from labcases.domain import versions
from labcases.models import ArrivalCheck, BenchCheck, Case, Delivery, RemountCheck, TryIn, User
from labcases.reference.checklists import CheckLine, bench_pauses, lines_of

PART = "bench check"
YES, NO = "yes", "no"
Answered = ArrivalCheck | BenchCheck | Delivery | RemountCheck


def open_of(case: Case) -> BenchCheck | None:
    """The check that is not bound to a try-in yet."""
    return next((row for row in case.bench_checks.all() if row.try_in_id is None), None)


def shown(case: Case) -> BenchCheck | None:
    """The check of what is on the bench or out: the open one, or that of the last try-in."""
    rows = sorted(case.bench_checks.all(), key=lambda row: row.pk)
    return open_of(case) or (rows[-1] if rows else None)


def save(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> BenchCheck:
    """Keep the answers of the open check; who saved it last has looked.

    Raises
    ------
    labcases.domain.versions.EditConflict
        Somebody saved it first.
    """
    row = BenchCheck.objects.filter(case=case, try_in=None).first() or BenchCheck(case=case)
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=case,
        part=PART,
        values={**values, "done_by": by, "done_at": timezone.now()},
    )


def bind(case: Case, try_in: TryIn) -> None:
    """Bind the open check to the try-in that goes out. Call it inside that move."""
    BenchCheck.objects.filter(case=case, try_in=None).update(try_in=try_in)


def silent(row: Answered | None, lines: Iterable[CheckLine]) -> list[CheckLine]:
    return [line for line in lines if row is None or line.key not in row.answers]


def refused(row: Answered | None, lines: Iterable[CheckLine]) -> list[CheckLine]:
    return [line for line in lines if row and row.answers.get(line.key) == NO]


def asked(case: Case) -> tuple[CheckLine, ...]:
    return lines_of(bench_pauses(case.prescription.arch))


def outdated_since(case: Case, row: BenchCheck) -> datetime | None:
    """When the set-up log changed after the check; nothing if it did not."""
    if row.done_at is None:
        return None
    times = [
        moment
        for entry in case.setup_entries.all()
        for moment in (entry.at, entry.struck_at)
        if moment is not None and moment > row.done_at
    ]
    return max(times, default=None)
