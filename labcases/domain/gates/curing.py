"""What the record of a processing must say before the case goes to the remount."""

from __future__ import annotations

from collections.abc import Iterator

from labcases.domain import processing_state as states
from labcases.domain.gates.missing import MANAGER, Missing
from labcases.models import Case

PAGE = "processing"


def processed(case: Case) -> Iterator[Missing]:
    run = states.run_of(case)
    if run is None:
        yield Missing(
            "Nobody has entered how the denture was processed.", PAGE, "technique", MANAGER
        )
        return
    state = states.of(run)
    if state.way.flask and not run.flask:
        yield Missing(
            f"Enter the {state.way.flask.lower()} it was processed in.", PAGE, "flask", MANAGER
        )
    if state.way.cures and not run.cycle:
        yield Missing(
            "Choose the curing cycle, as the instructions of the material say it.",
            PAGE,
            "cycle",
            MANAGER,
        )
    lots = state.lots_missing()
    if lots:
        yield Missing(
            f"Enter what was used, with its lot: {', '.join(lots).lower()}.",
            PAGE,
            "material_lot",
            MANAGER,
        )
    steps = [step.label.lower() for step in state.steps_missing()]
    if steps:
        yield Missing(f"Not entered yet: {', '.join(steps)}.", PAGE, "step_happened_at", MANAGER)
