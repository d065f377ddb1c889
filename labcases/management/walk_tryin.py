"""The try-in of a case on its way: checked on the bench, judged by the dentist."""

from __future__ import annotations

from labcases.domain import bench_check, tryin
from labcases.management.sample_tryin import bench_checked, judged
from labcases.models import Case, User


def check_bench(case: Case, by: User) -> None:
    """Every line of the bench check is yes."""
    row = bench_check.open_of(case)
    bench_check.save(
        case=case,
        version=row.version if row else 0,
        by=by,
        values=bench_checked(case.prescription.arch),
    )


def judge(case: Case, by: User, outcome: str) -> None:
    """Record the last try-in as a whole."""
    row = case.try_ins.last()
    if row is None:
        raise ValueError("The case has no try-in to judge.")
    tryin.record(
        case=case,
        version=row.version,
        by=by,
        values=judged(case.prescription.arch, outcome),
    )
