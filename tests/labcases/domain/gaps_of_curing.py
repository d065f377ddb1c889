"""Every gap between the handoff and the remount: how the denture was processed."""

from __future__ import annotations

from typing import Any

from labcases.domain import processing_runs
from labcases.domain import processing_state as states
from labcases.enums import Stage
from labcases.management.walk import Walk
from labcases.management.walk_curing import MINUTES_AGO, RECORD
from labcases.models import ProcessingRun
from tests.labcases.domain.gaps import Act, Gap

MANAGER = "manager"


def record(**values: Any) -> Act:
    def do(walk: Walk) -> None:
        run = states.run_of(walk.reload())
        processing_runs.save(
            case=walk.case,
            version=run.version,
            by=walk.hands.technician,
            values=RECORD | values,
        )

    return do


def give_up(walk: Walk) -> None:
    run = states.run_of(walk.reload())
    processing_runs.give_up(row=run, version=run.version, reason="porous", by=walk.hands.technician)


def process(walk: Walk) -> None:
    walk.process()


def erased(walk: Walk) -> None:
    """As if nobody had ever entered how it was processed."""
    walk.case.processing_steps.all().delete()
    walk.case.used_materials.all().delete()
    ProcessingRun.objects.filter(case=walk.case).delete()


def strike(rows: str, **which: Any) -> Act:
    def do(walk: Walk) -> None:
        for line in getattr(walk.reload(), rows).filter(struck_at=None, **which):
            processing_runs.strike(row=line, reason="wrong case", by=walk.hands.technician)

    return do


def lot(use: str) -> Act:
    return lambda walk: processing_runs.use_material(
        run=states.run_of(walk.reload()),
        by=walk.hands.technician,
        values={"use": use, "product": "resin, pink", "lot": "L-9"},
    )


def steps(*keys: str) -> Act:
    """The same steps at the same times once more."""

    def do(walk: Walk) -> None:
        for key in keys:
            was = walk.reload().processing_steps.filter(step=key).last()
            processing_runs.log_step(
                run=states.run_of(walk.case), step=key, at=was.happened_at, by=was.by
            )

    return do


NOT_PROCESSED = "Nobody has entered how the denture was processed."

GAPS = (
    *(
        Gap(
            *(f"not processed: {name}", Stage.REMOUNT, NOT_PROCESSED, "processing", "technique"),
            lose=lose,
            mend=process,
            passes=MANAGER,
        )
        for name, lose in (("nothing entered", erased), ("given up", give_up))
    ),
    Gap(
        *("no flask", Stage.REMOUNT, "Enter the flask it was processed in.", "processing", "flask"),
        lose=record(flask=""),
        mend=record(),
        passes=MANAGER,
    ),
    Gap(
        *("no cycle", Stage.REMOUNT),
        "Choose the curing cycle, as the instructions of the material say it.",
        *("processing", "cycle"),
        lose=record(cycle=""),
        mend=record(),
        passes=MANAGER,
    ),
    *(
        Gap(
            *(f"no lot of the {use}", Stage.REMOUNT),
            f"Enter what was used, with its lot: {use}.",
            *("processing", "material_lot"),
            lose=strike("used_materials", use=use),
            mend=lot(use),
            passes=MANAGER,
        )
        for use in ("resin powder", "resin liquid")
    ),
    *(
        Gap(
            *(f"not {key}", Stage.REMOUNT, f"Not entered yet: {label}."),
            *("processing", "step_happened_at"),
            lose=strike("processing_steps", step=key),
            mend=steps(key),
            passes=MANAGER,
        )
        for key, label in (
            ("packed", "packed"),
            ("closed", "closed in the press"),
            ("in bath", "put in the bath"),
            ("out", "taken out of the bath"),
            ("deflasked", "deflasked"),
        )
    ),
    Gap(
        *("no step at all", Stage.REMOUNT),
        "Not entered yet: packed, closed in the press, put in the bath, taken out of the bath, "
        "deflasked.",
        *("processing", "step_happened_at"),
        lose=strike("processing_steps"),
        mend=steps(*MINUTES_AGO),
        passes=MANAGER,
    ),
)
