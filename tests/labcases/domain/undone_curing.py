"""For each act of a processing that can be undone: what stands before it, and the act itself."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.utils import timezone

from labcases.domain import processing_runs
from labcases.domain import processing_state as states
from labcases.enums import Stage
from labcases.management import walk_curing
from labcases.management.walk import Walk

Doing = Callable[[Walk], Any]


def begin(walk: Walk) -> None:
    walk_curing.begin(walk.reload(), walk.hands.technician)


def record(walk: Walk, **values: Any) -> None:
    run = states.run_of(walk.reload())
    processing_runs.save(
        case=walk.case,
        version=run.version if run else 0,
        by=walk.hands.technician,
        values=walk_curing.RECORD | values,
    )


def step(walk: Walk) -> Any:
    return processing_runs.log_step(
        run=states.run_of(walk.reload()),
        step="packed",
        at=timezone.now() - timedelta(minutes=5),
        by=walk.hands.technician,
    )


def material(walk: Walk) -> Any:
    return processing_runs.use_material(
        run=states.run_of(walk.reload()),
        by=walk.hands.technician,
        values={"use": "separator", "product": "separator, red", "lot": "S-7"},
    )


def strike_last(rows: str) -> Doing:
    def act(walk: Walk) -> None:
        line = getattr(walk.reload(), rows).last()
        processing_runs.strike(row=line, reason="wrong case", by=walk.hands.technician)

    return act


def after_begin(act: Doing) -> Doing:
    def before(walk: Walk) -> None:
        begin(walk)
        act(walk)

    return before


AT = Stage.PROCESSING
OF_CURING: dict[tuple[str, str], tuple[Stage, Doing, Doing]] = {
    ("processing record", "entered"): (AT, lambda _walk: None, record),
    ("processing record", "changed"): (AT, begin, lambda walk: record(walk, flask="4", place="2")),
    ("steps of processing", "entered"): (AT, begin, step),
    ("steps of processing", "struck out"): (
        AT,
        after_begin(step),
        strike_last("processing_steps"),
    ),
    ("materials of processing", "entered"): (AT, begin, material),
    ("materials of processing", "struck out"): (
        AT,
        after_begin(material),
        strike_last("used_materials"),
    ),
}
