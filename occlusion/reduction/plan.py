"""The least reduction that frees every place, as a linear programme.

Unknowns are a depth per incline, a re-setting per tooth, and, only where the dentist has
approved a new vertical, a raise at the pin. For every incline whose gap is less than the
wanted clearance, at its narrowest position::

    gap + depth + reset of its tooth + pin ratio * raise >= clearance
    depth + reset - pin ratio * raise <= budget + room over the base
    depth <= budget + hollow

and for every contact that is to be held ``gap + depth + reset + ratio * raise <= hold``.
The ratio is the same at every position of a place, so that its narrowest one speaks for
all. Places without a denture tooth have neither depth nor re-setting, by construction.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from occlusion.reduction._depth import RESET_BEYOND_MM, ROUND_OFF, up
from occlusion.reduction._programme import Programme, Solved, solve
from occlusion.reduction.denture import DENTIST_DECIDES, DentureTooth
from occlusion.reduction.places import Place, Wanted, checked, told_apart

SHORTEST_MM = 1e-6
"""Less than this is the solver's own round-off."""

ROUNDS = 4
"""How often a plan is made again after its check on the surfaces."""

SEPARABLE = (
    "Nothing is traded here: without re-setting and without a new vertical each depth is the "
    "interference at its own place."
)
UNVERIFIED = "Not checked on the surfaces: the plan takes every movement as straight."


@dataclass(frozen=True)
class Reduction:
    """A depth at an incline of a denture tooth."""

    chosen: DentureTooth
    place: str
    incline: str
    depth_mm: float
    budget_mm: float


@dataclass(frozen=True)
class Reset:
    """A denture tooth re-set away from its antagonist."""

    chosen: DentureTooth
    reset_mm: float


@dataclass(frozen=True)
class Unmet:
    """What cannot be done: ``place`` and ``incline`` stay short by ``short_mm``.

    ``opens`` means that a contact which is to be held would open by that instead.
    """

    place: str
    incline: str
    short_mm: float
    opens: bool
    text: str


@dataclass(frozen=True)
class Remaining:
    """What a check on the surfaces still finds: an interference ``depth_mm`` deep."""

    place: str
    incline: str
    depth_mm: float


@dataclass(frozen=True)
class Plan:
    """The least reduction, or what stands against it.

    Attributes
    ----------
    reductions, resets : tuple
        What to do; nothing at a tooth that is in ``unmet``.
    raise_mm : float
        At the pin, within what was approved.
    cost : float
        Weighted millimetres of all of it.
    unmet : tuple of Unmet
        Empty when everything can be done.
    separable : bool
        Each place stood for itself: nothing was traded.
    remaining : tuple of Remaining or None
        What the check on the surfaces still found; None: not checked.
    notes : tuple of str
    """

    reductions: tuple[Reduction, ...]
    resets: tuple[Reset, ...]
    raise_mm: float
    cost: float
    unmet: tuple[Unmet, ...]
    separable: bool
    remaining: tuple[Remaining, ...] | None
    notes: tuple[str, ...]


Verify = Callable[[Plan], Sequence[Remaining]]


def least_plan(
    places: Sequence[Place], *, wanted: Wanted | None = None, verify: Verify | None = None
) -> Plan:
    """The least weighted reduction that leaves the wanted clearance everywhere.

    Parameters
    ----------
    places : sequence of Place
        Every incline once.
    wanted : Wanted, optional
        Clearance, weights, and what may be used beside reduction.
    verify : callable, optional
        Carries the plan out on the surfaces and returns what still interferes. What it finds
        at a known place deepens the need there, and the plan is made again.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """
    aim = checked(wanted or Wanted())
    given = told_apart(places, aim)
    needs = list(given)
    plan = _plan(needs, aim)
    if verify is None:
        return replace(plan, notes=(*plan.notes, UNVERIFIED))
    for _ in range(ROUNDS):
        found = _outside(plan, verify(plan))
        by_key = {(one.place, one.incline): one.depth_mm for one in found}
        if not any(place.key in by_key for place in needs):
            break
        needs = [
            replace(place, gap_mm=place.gap_mm - by_key.get(place.key, 0.0)) for place in needs
        ]
        plan = _plan(needs, aim)
    else:
        found = _outside(plan, verify(plan))
    return replace(plan, remaining=found)


def _outside(plan: Plan, found: Sequence[Remaining]) -> tuple[Remaining, ...]:
    """Findings that the plan does not name as unmet already."""
    known = {one.place for one in plan.unmet}
    return tuple(one for one in found if one.depth_mm > ROUND_OFF and one.place not in known)


def _plan(places: Sequence[Place], aim: Wanted) -> Plan:
    resettable = tuple(
        {place.chosen.tooth: place.chosen for place in places if place.chosen}.values()
    )
    solved = solve(_programme(places, aim, [chosen.tooth for chosen in resettable]))
    unmet = tuple(_unmet(places, solved))
    # Grinding at a tooth that has to be re-set anyway would lead nowhere.
    stuck = {(one.place, one.incline) for one in unmet}
    idle = {place.chosen.tooth for place in places if place.chosen and place.key in stuck}
    reductions = []
    cost = aim.raise_weight * solved.raise_mm
    for place, depth in zip(places, solved.depth_mm.tolist(), strict=True):
        if place.chosen and place.chosen.tooth not in idle and depth > ROUND_OFF:
            reductions.append(
                Reduction(place.chosen, place.tooth, place.incline, depth, place.budget_mm)
            )
            cost += place.weight * depth
    resets = tuple(
        Reset(chosen, reset)
        for chosen, reset in zip(resettable, solved.reset_mm.tolist(), strict=True)
        if reset > ROUND_OFF and chosen.tooth not in idle
    )
    separable = aim.approved_raise_mm == 0.0 and not any((aim.reset_max_mm or {}).values())
    return Plan(
        reductions=tuple(reductions),
        resets=resets,
        raise_mm=solved.raise_mm,
        cost=cost + aim.reset_weight * sum(one.reset_mm for one in resets),
        unmet=unmet,
        separable=separable,
        remaining=None,
        notes=tuple(_notes(reductions, separable=separable and not unmet)),
    )


def _notes(reductions: Sequence[Reduction], *, separable: bool) -> list[str]:
    notes = [SEPARABLE] if separable else []
    for tooth in dict.fromkeys(one.chosen.tooth for one in reductions):
        deepest = max(one.depth_mm for one in reductions if one.chosen.tooth == tooth)
        if deepest > RESET_BEYOND_MM + ROUND_OFF:
            notes.append(
                f"{tooth} would lose {up(deepest)} mm at one incline. Beyond about 0.5 to 1 mm "
                "re-set the tooth instead of grinding it (common practice, no source)."
            )
    return notes


def _programme(places: Sequence[Place], aim: Wanted, teeth: list[str]) -> Programme:
    most = [place.budget_mm + place.hollow_mm if place.chosen else 0.0 for place in places]
    hold = [math.inf if place.held_mm is None else aim.hold_mm - place.held_mm for place in places]
    return Programme(
        need_mm=np.array([aim.clearance_mm - place.gap_mm for place in places]),
        most_mm=np.array(most),
        over_mm=np.array([place.budget_mm + place.room_mm for place in places]),
        ratio=np.array([place.pin_ratio or 0.0 for place in places]),
        weight=np.array([place.weight for place in places]),
        tooth=np.array(
            [teeth.index(place.chosen.tooth) if place.chosen else -1 for place in places], dtype=int
        ),
        reset_max_mm=np.array([(aim.reset_max_mm or {}).get(tooth, 0.0) for tooth in teeth]),
        hold_mm=np.array(hold),
        raise_max_mm=aim.approved_raise_mm,
        raise_weight=aim.raise_weight,
        reset_weight=aim.reset_weight,
    )


def _unmet(places: Sequence[Place], solved: Solved) -> list[Unmet]:
    found = []
    shortages = zip(places, solved.short_mm.tolist(), solved.opens_mm.tolist(), strict=True)
    for place, short, opens in shortages:
        where = f"{place.tooth}, {place.incline}"
        if short > SHORTEST_MM:
            then = "Re-set the tooth, do not grind it." if place.chosen else DENTIST_DECIDES
            text = f"Cannot be done: short by {up(short)} mm at {where}. {then}"
            found.append(Unmet(place.tooth, place.incline, short, False, text))
        if opens > SHORTEST_MM:
            text = (
                f"Cannot be done: the contact at {where} would open {up(opens)} mm more than it "
                "may. Re-set the tooth, do not grind it."
            )
            found.append(Unmet(place.tooth, place.incline, opens, True, text))
    return found
