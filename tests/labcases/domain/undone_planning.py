"""For each act of planning the bench that can be undone: what stands before it, and the act."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from labcases.domain import bench_plan
from labcases.enums import Stage
from labcases.enums.load import BenchJob
from labcases.management.walk import Walk
from labcases.models import BenchTask

Doing = Callable[[Walk], Any]

JOB = BenchJob.FINISHING


def nothing(_walk: Walk) -> None:
    """Nothing has to stand before."""


def planned(walk: Walk, minutes: int = 50) -> None:
    row = BenchTask.objects.filter(case=walk.reload()).first()
    bench_plan.save_task(
        case=walk.case,
        which=JOB,
        version=row.version if row else 0,
        by=walk.hands.technician,
        technician=walk.hands.technician,
        planned_on=None,
        minutes=minutes,
    )


def levelled(walk: Walk) -> None:
    job = bench_plan.own(walk.reload(), JOB).job
    bench_plan.take_over(
        laboratory=walk.case.laboratory,
        wishes=[bench_plan.Wish(walk.case.code, JOB, job.latest)],
        by=walk.hands.technician,
    )


OF_PLANNING: dict[tuple[str, str], tuple[Stage, Doing, Doing]] = {
    ("bench plan", "entered"): (Stage.ACCEPTED, nothing, planned),
    ("bench plan", "changed"): (Stage.ACCEPTED, planned, lambda walk: planned(walk, 60)),
    ("bench plan", "levelled"): (Stage.ACCEPTED, planned, levelled),
}
