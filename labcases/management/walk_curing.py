"""A base processed through the verbs of the pages: packed this morning, deflasked by now."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.utils import timezone

from labcases.domain import processing_runs
from labcases.domain import processing_state as states
from labcases.enums.curing import MaterialUse, Technique
from labcases.models import Case, User

PRODUCT = "heat-cured resin, pink, veined"
RECORD: dict[str, Any] = {
    "technique": Technique.FLASK,
    "flask": "3",
    "place": "1",
    "cycle": "short",
    "details": {"water": "cold", "closures": "2", "index": "plaster"},
}
LOTS = {MaterialUse.POWDER: "L-2291", MaterialUse.LIQUID: "M-118"}
#: Minutes ago at which each step was done.
MINUTES_AGO = {"packed": 330, "closed": 320, "in bath": 270, "out": 60, "deflasked": 15}


def begin(case: Case, by: User, **but: Any) -> None:
    """What it is processed by, and its materials."""
    processing_runs.save(case=case, version=0, by=by, values=RECORD | but)
    run = states.of_case(case)
    for use, lot in LOTS.items():
        processing_runs.use_material(
            run=run, by=by, values={"use": use, "product": PRODUCT, "lot": lot}
        )


def process(case: Case, by: User) -> None:
    """Everything that the remount asks for."""
    begin(case, by)
    run = states.of_case(case)
    now = timezone.now().replace(second=0, microsecond=0)
    for step, minutes in MINUTES_AGO.items():
        processing_runs.log_step(run=run, step=step, at=now - timedelta(minutes=minutes), by=by)
