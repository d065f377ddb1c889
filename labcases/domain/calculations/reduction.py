"""What the rules say of marks of a pass: which denture tooth yields, where, and how deep."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from labcases import notation
from labcases.domain.calculations.inputs import Plain
from labcases.enums import Movement, OpposingTooth
from occlusion.articulator import Kind
from occlusion.errors import OcclusionError
from occlusion.reduction.advice import Proposal
from occlusion.reduction.denture import Material, ToothMaterial
from occlusion.reduction.inclines import CuspSide
from occlusion.reduction.marks import FoilMark, Role
from occlusion.reduction.steps import steps_for
from occlusion.sources import cite

EXCURSION: dict[Movement, Kind] = {
    Movement.RIGHT: "right",
    Movement.LEFT: "left",
    Movement.PROTRUSIVE: "protrusive",
}

LEAST_MM = 1e-3
"""Depths below this are none."""


@dataclass(frozen=True)
class SeenMark:
    """A tooth that marked in a pass."""

    movement: Movement
    tooth: str


@dataclass(frozen=True)
class MarkAdvice:
    """What is proposed for one mark. A natural tooth is never ``yields``.

    ``kind`` is that of the engine: reduce, re-set, mark first, dentist decides, no rule; and
    ``no depth`` where the check predicts none. Depths are millimetres or nothing.
    """

    mark: SeenMark
    opposing: str
    kind: str
    yields: str | None
    place: str
    keep: str
    depth_mm: float | None
    predicted_mm: float | None
    budget_mm: float | None
    text: str
    source: str
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]


def mark_advice(
    marks: Sequence[SeenMark],
    *,
    kinds: Mapping[str, OpposingTooth],
    made_of: str,
    clearance: Plain | None,
    height: Plain | None,
    taken_mm: Mapping[str, float],
) -> list[MarkAdvice]:
    """Proposals for the marks of the last passes, in the order of selective grinding.

    Parameters
    ----------
    marks : sequence of SeenMark
        Of both arches; two teeth that meet are one mark.
    kinds : mapping of str to OpposingTooth
        What stands at each position once the denture is set.
    made_of : str
        Material of the denture teeth of this case, or nothing.
    clearance, height : dict, optional
        Kept findings: predicted depths and places, and what each site has to give.
    taken_mm : mapping of str to float
        What was logged as taken off each tooth.
    """
    rows = {row["tooth"]: row for row in height["rows"]} if height else {}
    budgets = {
        tooth: row["occlusal_budget_mm"]
        for tooth, row in rows.items()
        if row["occlusal_budget_mm"] is not None
    }
    asked: dict[tuple[str, str, str, Movement], tuple[SeenMark, FoilMark]] = {}
    for mark in marks:
        try:
            found = _foil_mark(mark, kinds, made_of, clearance)
        except OcclusionError:
            continue  # teeth that cannot meet: the log has them, no rule does
        if found is not None:
            key = (found.role, found.upper, found.lower, mark.movement)
            asked.setdefault(key, (mark, found))
    advice = []
    for (seen, foil), proposal in zip(
        _in_order(list(asked.values())),
        _proposals([foil for _, foil in asked.values()], budgets, taken_mm),
        strict=True,
    ):
        advice.append(_told(seen, foil, proposal, budgets))
    return advice


def _in_order(asked: list[tuple[SeenMark, FoilMark]]) -> list[tuple[SeenMark, FoilMark]]:
    """As the engine answers: step by step, each step's marks in their own order."""
    order = [step.name for step in steps_for(())]
    return sorted(asked, key=lambda pair: order.index(pair[1].role))


def _proposals(
    marks: list[FoilMark], budgets: Mapping[str, float], taken_mm: Mapping[str, float]
) -> list[Proposal]:
    steps = steps_for(marks, budgets_mm=budgets, taken_mm=taken_mm)
    return [proposal for step in steps for proposal in step.proposals]


def _foil_mark(
    mark: SeenMark, kinds: Mapping[str, OpposingTooth], made_of: str, clearance: Plain | None
) -> FoilMark | None:
    """The engine's mark of a pair of teeth; None where nothing stands opposite."""
    upper_seen = mark.tooth[0] in "12"
    rows = _rows(clearance, mark.movement)
    row = rows.get(mark.tooth)
    opposing = (row or {}).get("place") or notation.opposing(mark.tooth)
    if kinds.get(opposing, OpposingTooth.MISSING) == OpposingTooth.MISSING:
        return None
    upper, lower = (mark.tooth, opposing) if upper_seen else (opposing, mark.tooth)
    row = row or rows.get(opposing)
    depth = max(0.0, -min(gap for _, gap in row["series"])) if row else 0.0
    materials: dict[str, Material] = {
        tooth: "denture" if kinds[tooth] == OpposingTooth.DENTURE else "natural"
        for tooth in (upper, lower)
    }
    made: dict[str, ToothMaterial | None] = {
        tooth: _made(made_of) if materials[tooth] == "denture" else None for tooth in (upper, lower)
    }
    return FoilMark(
        role=_role(mark),
        upper=upper,
        lower=lower,
        upper_material=materials[upper],
        lower_material=materials[lower],
        depth_mm=depth if depth > LEAST_MM else 0.0,
        measured_by="callipers",
        cusps=_cusps(clearance, mark.movement, (row or {}).get("tooth")),
        upper_made_of=made[upper],
        lower_made_of=made[lower],
    )


def _made(material: str) -> ToothMaterial | None:
    known: dict[str, ToothMaterial] = {
        "resin": "resin",
        "composite": "composite",
        "porcelain": "porcelain",
    }
    return known.get(material)


def _role(mark: SeenMark) -> Role:
    if mark.movement == Movement.CENTRIC:
        return "centric"
    if mark.movement == Movement.PROTRUSIVE:
        return "protrusive"
    return "working" if notation.side_of(mark.tooth) == EXCURSION[mark.movement] else "balancing"


def _rows(clearance: Plain | None, movement: Movement) -> dict[str, Plain]:
    """What the kept check says of each tooth in this movement."""
    kind = EXCURSION.get(movement)
    if clearance is None or kind is None:
        return {}
    return {
        row["tooth"]: row
        for excursion in clearance["excursions"]
        if excursion["excursion"] == kind
        for row in excursion["teeth"]
    }


def _cusps(clearance: Plain | None, movement: Movement, tooth: str | None) -> CuspSide | None:
    """Which cusps meet, where the check found what stands in the way in this movement."""
    for row in (clearance or {}).get("reduction", ()):
        if row["tooth"] == tooth and row["excursion"] == EXCURSION.get(movement):
            if row["incline"] and row["incline"].startswith("lingual"):
                return "lingual"
            return "buccal" if row["incline"] else None
    return None


def _told(
    seen: SeenMark, foil: FoilMark, proposal: Proposal, budgets: Mapping[str, float]
) -> MarkAdvice:
    tooth = proposal.chosen.tooth if proposal.chosen else None
    place = proposal.at.place if proposal.at else ""
    found = MarkAdvice(
        mark=seen,
        opposing=foil.lower if seen.tooth == foil.upper else foil.upper,
        kind=proposal.kind,
        yields=tooth,
        place=place,
        keep=proposal.at.keep if proposal.at else "",
        depth_mm=proposal.depth_mm if proposal.kind == "reduce" else None,
        predicted_mm=foil.depth_mm or None,
        budget_mm=budgets.get(tooth) if tooth else None,
        text=proposal.text,
        source=proposal.source,
        cautions=tuple(one.text for one in proposal.cautions),
        assumptions=proposal.assumptions,
    )
    if foil.depth_mm == 0.0 and tooth is not None:
        text = (
            f"{tooth}, {place}: the check predicts no depth here. Take off a little where the foil "
            "marks, within the budget, and mark again."
        )
        return replace(found, kind="no depth", text=text, source=cite("practice"))
    return found
