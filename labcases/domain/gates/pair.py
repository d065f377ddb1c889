"""What two linked cases ask of each other: one occlusion, released and dispatched together."""

from __future__ import annotations

from collections.abc import Iterator

from labcases.domain import opponent, pairs
from labcases.domain.gates.boxes import denture_packed
from labcases.domain.gates.missing import MANAGER, Missing
from labcases.domain.gates.release import release_ready
from labcases.enums import ENDED_EARLY, Stage
from labcases.models import Case

_ORDER = {stage: place for place, stage in enumerate(Stage)}


def other_arch_agrees(case: Case) -> Iterator[Missing]:
    """Before teeth are set: both prescriptions say the same, or the manager says why not.

    An opposing denture may be made elsewhere, and the manager knows where.
    """
    other = pairs.other(case)
    if other is not None:
        for text in pairs.differences(case.prescription, other.prescription):
            yield Missing(text, "linked", "", MANAGER)
    elif opponent.of(case.prescription) in opponent.BEING_MADE:
        yield Missing(
            "The opposing denture is being made, and its case is not linked. Link it, or let the "
            "manager say where it is made.",
            "linked",
            "",
            MANAGER,
        )


def other_arch_released(case: Case) -> Iterator[Missing]:
    """Both go together; a manager may let one go ahead, as that changes nothing of its quality."""
    other = pairs.other(case)
    if other is None or _not_waited_for(other) or _reached(other, Stage.RELEASED):
        return
    name = pairs.named(other)
    if other.stage != Stage.FINISHING:
        yield Missing(
            f"Linked case {name} stands at {other.get_stage_display().lower()}, and both are "
            "released together.",
            "linked",
            "",
            MANAGER,
        )
        return
    for item in (*_held(other), *release_ready(other)):
        yield Missing(f"Linked case {name} lacks this: {item.text}", "linked", "", MANAGER)


def other_arch_leaves(case: Case) -> Iterator[Missing]:
    other = pairs.other(case)
    if other is None or _not_waited_for(other) or _reached(other, Stage.DISPATCHED):
        return
    name = pairs.named(other)
    if other.stage != Stage.RELEASED:
        yield Missing(
            f"Linked case {name} is not released yet, and both are dispatched together.",
            "linked",
            "",
            MANAGER,
        )
        return
    for item in (*_held(other), *denture_packed(other)):
        yield Missing(f"Linked case {name} lacks this: {item.text}", "linked", "", MANAGER)


def _not_waited_for(case: Case) -> bool:
    """It will never be released: it is unlinked with a reason, or simply not waited for."""
    return case.stage in ENDED_EARLY


def _reached(case: Case, stage: Stage) -> bool:
    return _ORDER[Stage(case.stage)] >= _ORDER[stage]


def _held(case: Case) -> list[Missing]:
    return [Missing("It is on hold.", "case", "hold")] if case.on_hold else []
