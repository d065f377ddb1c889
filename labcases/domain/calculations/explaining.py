"""Marks of foil held against the prediction: what was seen, and the one change behind it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from labcases.domain.calculations import clearance
from labcases.domain.calculations.excursions import EXCURSION
from labcases.domain.calculations.inputs import Plain
from labcases.domain.calculations.refusals import CannotCompute
from labcases.domain.calculations.settings import form_field
from labcases.enums import Movement
from labcases.enums.marks import Strength
from occlusion import explaining as engine
from occlusion.clearance import travels_of
from occlusion.errors import OcclusionError
from occlusion.explaining.words import of_cause

ENGINE: dict[Movement, engine.Movement] = {Movement.CENTRIC: "centric", **EXCURSION}
MOVEMENT = {name: movement for movement, name in ENGINE.items()}

KEPT_ANSWERS = 8


@dataclass(frozen=True)
class SeenOfMovement:
    """One movement that had a pass: teeth by what was predicted and what was seen.

    ``seen_contact`` marked where a contact was predicted, ``lifted`` are those of ``not_seen``
    that another tooth, predicted deeper, lifts with the pin.
    """

    movement: Movement
    seen: tuple[str, ...]
    not_seen: tuple[str, ...]
    unpredicted: tuple[str, ...]
    seen_contact: tuple[str, ...]
    lifted: tuple[str, ...]


@dataclass(frozen=True)
class OneChange:
    """A single change that would explain the marks; angles deg, lengths mm.

    ``kind`` is ``setting``, ``denture tooth``, ``opposing denture tooth`` or ``natural tooth``;
    ``field`` the column of the articulator record, ``tooth`` ISO 3950. ``value`` is what a
    setting would become, and nothing of a tooth; ``change`` is how much nearer a tooth stands to
    its antagonists.
    """

    kind: str
    name: str
    field: str
    tooth: str
    unit: str
    value: float | None
    change: float
    sd: float
    explained: int
    odds: float


@dataclass(frozen=True)
class MarksExplained:
    """What is said of the marks of the last passes, for screen and paper."""

    kind: str
    text: str
    action: str
    movements: tuple[SeenOfMovement, ...]
    best: OneChange | None
    runner_up: OneChange | None
    told_apart: bool
    readings: int
    explained_before: int
    unused: tuple[str, ...]
    assumptions: tuple[str, ...]


def marks_explained(findings: Plain) -> MarksExplained:
    """Kept findings as screen and paper read them."""
    rows = findings["rows"]
    named = list(dict.fromkeys(row["movement"] for row in rows))
    return MarksExplained(
        movements=tuple(_movement(name, rows) for name in named),
        best=OneChange(**findings["best"]) if findings["best"] else None,
        runner_up=OneChange(**findings["runner_up"]) if findings["runner_up"] else None,
        unused=tuple(findings["unused"]),
        assumptions=tuple(findings["assumptions"]),
        **{
            name: findings[name]
            for name in ("kind", "text", "action", "told_apart", "readings", "explained_before")
        },
    )


def _movement(name: str, rows: list[Plain]) -> SeenOfMovement:
    def those(agreement: str, **more: Any) -> tuple[str, ...]:
        return tuple(
            row["tooth"]
            for row in rows
            if row["movement"] == name
            and row["agreement"] == agreement
            and all(row[key] == value for key, value in more.items())
        )

    both = those("predicted and seen")
    deep = those("predicted and seen", predicted="interference")
    return SeenOfMovement(
        movement=Movement(name),
        seen=deep,
        not_seen=those("predicted, not seen"),
        unpredicted=those("seen, not predicted"),
        seen_contact=tuple(tooth for tooth in both if tooth not in deep),
        lifted=those("predicted, not seen", lifted=True),
    )


def findings(told: Plain) -> dict[str, Any]:
    """Every tooth of every pass beside its prediction, and the change that explains the marks.

    Parameters
    ----------
    told : dict
        Inputs of the clearance check, and ``passes``: movement -> tooth -> strength; ``since``:
        movement -> teeth that were ground or set after its pass.

    Raises
    ------
    CannotCompute
        No pass is logged, something is not entered, or the engine refuses it.
    """
    return deepcopy(_findings(json.dumps(told)))


@lru_cache(maxsize=KEPT_ANSWERS)
def _findings(kept: str) -> dict[str, Any]:
    told = json.loads(kept)
    if not told["passes"]:
        raise CannotCompute(
            "No pass with foil is logged, so there is nothing to compare. Log a pass first.",
            part="passes",
        )
    clearance.complete(told)
    settings, arches = clearance.set_up_of(told)
    front = clearance.front_of(told)
    try:
        found = engine.explain(
            settings=clearance.closed(settings),
            arches=arches,
            asked=travels_of(front),
            passes=[_pass(Movement(name), marks) for name, marks in told["passes"].items()],
            front=front,
            readings=clearance.readings_of(told) or None,
            own=tuple(told["teeth"]),
        )
    except OcclusionError as refusal:
        raise CannotCompute(
            str(refusal), part="settings", field=form_field(refusal.field)
        ) from refusal
    return {
        "kind": found.kind,
        "text": found.text,
        "action": found.action,
        "told_apart": found.told_apart,
        "readings": found.readings,
        "explained_before": found.explained_before,
        "rows": [
            {
                "movement": str(MOVEMENT[row.movement]),
                "tooth": row.tooth,
                "marked": row.marked,
                "agreement": row.agreement,
                "predicted": row.predicted,
                "gap_mm": row.gap_mm,
                "lifted": row.lifted,
            }
            for row in found.rows
        ],
        "best": _change(found.best),
        "runner_up": _change(found.runner_up),
        "unused": list(found.unused),
        "assumptions": [*_changed_since(told["since"]), *found.assumptions],
    }


def _pass(movement: Movement, marks: Mapping[str, str]) -> engine.SeenPass:
    return engine.SeenPass(
        ENGINE[movement],
        tuple(
            engine.SeenMark(tooth, "faint" if strength == Strength.LIGHT else "clear")
            for tooth, strength in marks.items()
        ),
    )


def _change(fit: engine.Fit | None) -> dict[str, Any] | None:
    if fit is None:
        return None
    cause = fit.cause
    return {
        "kind": cause.kind,
        "name": of_cause(fit),
        "field": form_field(cause.name) if cause.tooth is None else "",
        "tooth": cause.tooth or "",
        "unit": cause.unit,
        "value": fit.value,
        "change": fit.change,
        "sd": fit.sd,
        "explained": fit.explained,
        "odds": fit.odds,
    }


def _changed_since(since: Mapping[str, list[str]]) -> list[str]:
    return [
        f"Ground or set after the pass in {Movement(name).label.lower()}: {', '.join(teeth)}. The "
        "marks are those from before, and the model knows nothing of what was taken off."
        for name, teeth in since.items()
        if teeth
    ]
