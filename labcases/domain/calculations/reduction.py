"""What the rules say of marks of a pass: which denture tooth yields, where, and how deep."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from labcases import notation
from labcases.domain.calculations.excursions import (
    EXCURSION,
    Also,
    SeenExcursion,
    also_marks,
    role_of,
)
from labcases.domain.calculations.inputs import Plain
from labcases.enums import Movement, OpposingTooth
from labcases.enums.marks import Cusps
from occlusion.errors import OcclusionError
from occlusion.reduction.advice import Proposal
from occlusion.reduction.denture import DentureTooth, Material, ToothMaterial, cautions_of
from occlusion.reduction.inclines import CuspSide
from occlusion.reduction.marks import FoilMark
from occlusion.reduction.rules import CONFIRM
from occlusion.reduction.steps import steps_for
from occlusion.sources import cite
from occlusion.surfaces.calliper import LEAST_DEPTH_MM

LEAST_MM = 1e-3
"""Depths below this are none."""

MOST_TAKEN_MM = 10.0
"""More than the engine counts for one tooth is as good as this: no budget is that large."""


@dataclass(frozen=True)
class SeenMark:
    """A tooth that marked in a pass, and with which cusps where that was looked at.

    ``in_excursions`` is what was said of a mark in centric (``Excursions``).
    """

    movement: Movement
    tooth: str
    cusps: str = ""
    in_excursions: str = ""


@dataclass(frozen=True)
class Met:
    """A mark as the engine takes it, and whether the check knows anything of it."""

    seen: SeenMark
    foil: FoilMark
    checked: bool
    asked: bool
    also: Also | None = None
    """Of a centric mark of posterior teeth: whether its cusp marks in excursions too."""

    @property
    def open(self) -> bool:
        """Nothing is proposed before it is known."""
        return self.also is not None and self.also.marks is None


@dataclass(frozen=True)
class MarkAdvice:
    """What is proposed for one mark. A natural tooth is never ``yields``.

    ``kind`` is that of the engine: reduce, re-set, mark first, dentist decides, no rule;
    ``no depth`` where nothing is predicted; and ``ask first`` of a mark in centric while nobody
    knows whether its cusp marks in the excursions too: then nothing yields. Depths are
    millimetres: ``predicted_mm`` is what the check found, 0 where it found none, nothing where
    it was not asked; ``left_mm`` is the height budget of the tooth that yields less what was
    logged as taken off it, below 0 where more was taken.
    """

    mark: SeenMark
    opposing: str
    kind: str
    yields: str | None
    place: str
    keep: str
    depth_mm: float | None
    predicted_mm: float | None
    left_mm: float | None
    text: str
    source: str
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    natural: str | None = None
    """The natural tooth of the pair, as the place of the finding."""


def mark_advice(
    marks: Sequence[SeenMark],
    *,
    kinds: Mapping[str, OpposingTooth],
    made_of: Mapping[str, str],
    clearance: Plain | None,
    height: Plain | None,
    taken_mm: Mapping[str, float],
    allowed_mm: Mapping[str, float] | None = None,
    excursions: Mapping[Movement, SeenExcursion] | None = None,
) -> list[MarkAdvice]:
    """Proposals for the marks of the last passes, in the order of selective grinding.

    Parameters
    ----------
    marks : sequence of SeenMark
        Of both arches; two teeth that meet are one mark.
    kinds : mapping of str to OpposingTooth
        What stands at each position once the denture is set.
    made_of : mapping of str to str
        Material of the denture teeth of this case; of a denture opposite it is not known.
    clearance, height : dict, optional
        Kept findings: predicted depths and places, and what each site has to give.
    taken_mm : mapping of str to float
        What was logged as taken off each tooth.
    allowed_mm : mapping of str to float, optional
        What the dentist lets off a denture tooth altogether, where that is more than its budget.
    excursions : mapping of Movement to SeenExcursion, optional
        The last pass in each excursion, as wanted or not, for the marks in centric.
    """
    rows = height["rows"] if height else ()
    budgets = {
        row["tooth"]: row["occlusal_budget_mm"]
        for row in rows
        if row["occlusal_budget_mm"] is not None
    }
    for tooth, mm in (allowed_mm or {}).items():
        budgets[tooth] = max(mm, budgets.get(tooth, 0.0))
    taken = {tooth: min(mm, MOST_TAKEN_MM) for tooth, mm in taken_mm.items()}
    left = {tooth: mm - taken_mm.get(tooth, 0.0) for tooth, mm in budgets.items()}
    asked: dict[tuple[str, str, str, Movement], Met] = {}
    for mark in marks:
        marked = {other.tooth: other for other in marks if other.movement == mark.movement}
        try:
            found = _met(mark, marked, kinds, made_of, clearance, excursions or {})
        except OcclusionError:
            continue  # teeth that cannot meet: the log has them, no rule does
        if found is not None:
            key = (found.foil.role, found.foil.upper, found.foil.lower, mark.movement)
            asked.setdefault(key, found)
    # The engine answers step by step, each step's marks in their own order.
    order = [step.name for step in steps_for(())]
    in_order = sorted(asked.values(), key=lambda met: order.index(met.foil.role))
    known = [met for met in in_order if not met.open]
    proposals = iter(
        [
            proposal
            for step in steps_for([met.foil for met in known], budgets_mm=budgets, taken_mm=taken)
            for proposal in step.proposals
        ]
    )
    return [_ask(met) if met.open else _told(met, next(proposals), left) for met in in_order]


def _met(
    mark: SeenMark,
    marked: Mapping[str, SeenMark],
    kinds: Mapping[str, OpposingTooth],
    made_of: Mapping[str, str],
    clearance: Plain | None,
    excursions: Mapping[Movement, SeenExcursion],
) -> Met | None:
    """The engine's mark of a pair of teeth; None where nothing stands opposite."""
    rows = _rows(clearance, mark.movement)
    opposing = _opposite(mark.tooth, marked, rows)
    if kinds.get(opposing, OpposingTooth.MISSING) == OpposingTooth.MISSING:
        return None
    upper, lower = (mark.tooth, opposing) if mark.tooth[0] in "12" else (opposing, mark.tooth)
    row = rows.get(mark.tooth) or rows.get(opposing)
    depth = max(0.0, -min((gap for _, gap in row["series"]), default=0.0)) if row else None
    materials: dict[str, Material] = {
        tooth: "denture" if kinds[tooth] == OpposingTooth.DENTURE else "natural"
        for tooth in (upper, lower)
    }
    other = marked.get(opposing)
    role = role_of(mark.movement, mark.tooth)
    also = None
    if role == "centric" and notation.is_posterior(mark.tooth) and "denture" in materials.values():
        also = also_marks(
            upper=upper,
            lower=lower,
            cusps=mark.cusps or (other.cusps if other else ""),
            excursions=excursions,
            said=mark.in_excursions or (other.in_excursions if other else ""),
        )
    foil = FoilMark(
        role=role,
        upper=upper,
        lower=lower,
        upper_material=materials[upper],
        lower_material=materials[lower],
        depth_mm=depth if depth is not None and depth > LEAST_MM else 0.0,
        measured_by="callipers",
        cusps=_side(mark.cusps)
        or _side(other.cusps if other else "")
        or _cusps(clearance, mark.movement, (row or {}).get("tooth")),
        also_in_excursions=also.marks if also else None,
        upper_made_of=_made(made_of.get(upper)),
        lower_made_of=_made(made_of.get(lower)),
    )
    return Met(mark, foil, clearance is not None, row is not None, also)


def _opposite(tooth: str, marked: Collection[str], rows: Mapping[str, Plain]) -> str:
    """What this tooth met: of those that it may meet one that marked as well, if there is one.

    The check says over which tooth a denture tooth passes; else they meet by their names.
    """
    named = notation.opposing(tooth)
    may: list[str] = [row["tooth"] for row in rows.values() if row.get("place") == tooth]
    if tooth in rows and rows[tooth].get("place"):
        may.append(rows[tooth]["place"])
    for other in (*may, named):
        if other in marked:
            return other
    return named if named in may or not may else may[0]


def _made(material: str | None) -> ToothMaterial | None:
    known: dict[str | None, ToothMaterial] = {
        "resin": "resin",
        "composite": "composite",
        "porcelain": "porcelain",
    }
    return known.get(material)


def _side(cusps: str) -> CuspSide | None:
    """Cusps as they were told, in the words of the engine."""
    known: dict[str, CuspSide] = {Cusps.BUCCAL: "buccal", Cusps.LINGUAL: "lingual"}
    return known.get(cusps)


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


def _told(met: Met, proposal: Proposal, left: Mapping[str, float]) -> MarkAdvice:
    foil = met.foil
    tooth = proposal.chosen.tooth if proposal.chosen else None
    found = MarkAdvice(
        mark=met.seen,
        opposing=foil.lower if met.seen.tooth == foil.upper else foil.upper,
        kind=proposal.kind,
        yields=tooth,
        place=proposal.at.place if proposal.at else "",
        keep="",
        depth_mm=proposal.depth_mm if proposal.kind == "reduce" else None,
        predicted_mm=foil.depth_mm if met.asked else None,
        left_mm=left.get(tooth) if tooth else None,
        text=proposal.text,
        source=proposal.source,
        cautions=tuple(one.text for one in proposal.cautions),
        assumptions=(*proposal.assumptions, *((met.also.why,) if met.also else ())),
        natural=foil.natural_tooth,
    )
    # The engine asks for foil first where a depth is shallow; here foil is what was seen.
    by_foil = foil.depth_mm == 0.0 or proposal.kind == "mark first"
    if by_foil and proposal.chosen is not None:
        return _by_foil(met, proposal, proposal.chosen, found)
    return found


def _ask(met: Met) -> MarkAdvice:
    """A mark in centric of which the first question of the rule is not answered."""
    foil = met.foil
    return MarkAdvice(
        mark=met.seen,
        opposing=foil.lower if met.seen.tooth == foil.upper else foil.upper,
        kind="ask first",
        yields=None,
        place="",
        keep="",
        depth_mm=None,
        predicted_mm=None,
        left_mm=None,
        text="Does the same cusp mark in the excursions too? Whether the cusp or the fossa yields "
        "hangs on that, and a natural tooth never does. Nothing is proposed before it is known. "
        f"{met.also.why if met.also else ''}",
        source=cite("schuyler_1935"),
        cautions=(),
        assumptions=(),
        natural=foil.natural_tooth,
    )


def _by_foil(met: Met, proposal: Proposal, chosen: DentureTooth, found: MarkAdvice) -> MarkAdvice:
    """The place is known and no depth is: the foil says how much, or the budget that nothing is."""
    where = f"{found.yields}, {found.place}"
    if found.left_mm is not None and found.left_mm <= LEAST_MM:
        over = -found.left_mm
        said = (
            f"{_up(over)} mm more than its height budget was taken off"
            if over > LEAST_MM
            else "nothing is left of its height budget"
        )
        text = f"{where}: {said}. Re-set the tooth, do not grind it."
        return replace(found, kind="re-set", text=text, source=cite("practice"))
    upper_yields = found.yields == met.foil.upper
    within = "" if found.left_mm is None else ", within the budget"
    text = (
        f"{where}: {_no_depth(met)} Take off a little where the foil marks{within}, and mark again."
    )
    cautions = cautions_of(
        chosen,
        against=met.foil.lower_material if upper_yields else met.foil.upper_material,
    )
    return replace(
        found,
        kind="mark first" if proposal.kind == "mark first" else "no depth",
        text=" ".join(
            part for part in (text, proposal.note, CONFIRM if proposal.confirm else "") if part
        ),
        keep=proposal.at.keep if proposal.at else "",
        cautions=tuple(one.text for one in cautions),
    )


def _no_depth(met: Met) -> str:
    if met.foil.depth_mm > 0.0:
        return (
            f"a depth of {_up(met.foil.depth_mm)} mm is predicted, less than callipers can tell "
            f"({LEAST_DEPTH_MM:g} mm)."
        )
    if met.seen.movement == Movement.CENTRIC:
        return "the check predicts no depth in centric."
    if not met.checked:
        return "no depth is known."
    if not met.asked:
        return "the check does not ask about these teeth."
    return "the check predicts no depth here."


def _up(value_mm: float) -> str:
    """To a hundredth, never told smaller than it is."""
    return f"{math.ceil(value_mm * 100.0 - 1e-6) / 100.0:.2f}"
