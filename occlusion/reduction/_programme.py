"""The linear programme of the least reduction, as arrays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.optimize import linprog

from occlusion.errors import NoSolution

Array = npt.NDArray[np.float64]

INFEASIBLE = 2
"""What the solver says when nothing fits all rows."""

KEPT = 1e-9
"""How far the second solve may exceed the least total shortage of the first, in mm."""


@dataclass(frozen=True, kw_only=True)
class Programme:
    """n places and t teeth that may be re-set.

    Attributes
    ----------
    need_mm : (n,) wanted clearance less the gap
    most_mm : (n,) deepest reduction, before any hollow-grinding; 0 where nothing may yield
    over_mm : (n,) budget and room over the base, which re-setting shares and a raise enlarges
    ratio : (n,) movement for 1 at the pin
    weight : (n,) of a millimetre of reduction
    tooth : (n,) index of the tooth that may be re-set there, -1 for none
    reset_max_mm : (t,)
    hold_mm : (n,) by how much a held contact may open, infinite where none is held
    raise_max_mm, raise_weight, reset_weight : float
    """

    need_mm: Array
    most_mm: Array
    over_mm: Array
    ratio: Array
    weight: Array
    tooth: npt.NDArray[np.int_]
    reset_max_mm: Array
    hold_mm: Array
    raise_max_mm: float
    raise_weight: float
    reset_weight: float


@dataclass(frozen=True)
class Solved:
    """Depths (n,), re-settings (t,), the raise, and by place what is short and what opens."""

    depth_mm: Array
    reset_mm: Array
    raise_mm: float
    short_mm: Array
    opens_mm: Array


def solve(given: Programme) -> Solved:
    """The cheapest way; where there is none, the way with the least total shortage.

    Raises
    ------
    NoSolution
        The solver gives up, which legal values do not lead to.
    """
    n, t = len(given.need_mm), len(given.reset_max_mm)
    lift = np.zeros((n, n + t + 1))  # what each unknown adds to the gap of each place
    lift[:, :n] = np.eye(n)
    rows = np.arange(n)[given.tooth >= 0]
    lift[rows, n + given.tooth[rows]] = 1.0
    lift[:, -1] = given.ratio
    shell = lift.copy()
    shell[:, -1] *= -1.0
    low, held = given.need_mm > 0.0, np.isfinite(given.hold_mm)
    yields = given.tooth >= 0
    matrix = np.vstack([-lift[low], lift[held], shell[yields]])
    limit = np.concatenate([-given.need_mm[low], given.hold_mm[held], given.over_mm[yields]])
    cost = np.concatenate(
        [given.weight, np.full(t, given.reset_weight), np.array([given.raise_weight])]
    )
    upper = np.concatenate([given.most_mm, given.reset_max_mm, np.array([given.raise_max_mm])])

    found = _least(cost, matrix, limit, upper)
    soft = int(low.sum() + held.sum())
    slack = np.zeros(soft)
    if found is None:
        # Two solves, not one with a dear slack: no weight is then large enough to buy shortage.
        give = np.vstack([-np.eye(soft), np.zeros((len(limit) - soft, soft))])
        wide = np.hstack([matrix, give])
        bounds = np.concatenate([upper, np.full(soft, np.inf)])
        only_slack = np.concatenate([np.zeros(len(cost)), np.ones(soft)])
        first = _expect(_least(only_slack, wide, limit, bounds))
        wide = np.vstack([wide, only_slack])
        limit = np.append(limit, float(only_slack @ first) + KEPT)
        both = _expect(_least(np.concatenate([cost, np.zeros(soft)]), wide, limit, bounds))
        found, slack = both[: len(cost)], both[len(cost) :]
    short, opens = np.zeros(n), np.zeros(n)
    short[low] = slack[: low.sum()]
    opens[held] = slack[low.sum() :]
    return Solved(found[:n], found[n : n + t], float(found[-1]), short, opens)


def _least(cost: Array, matrix: Array, limit: Array, upper: Array) -> Array | None:
    """The unknowns of least cost, None if none fit."""
    answer = linprog(
        cost,
        A_ub=matrix,
        b_ub=limit,
        bounds=[(0.0, most) for most in upper.tolist()],
        method="highs",
    )
    if answer.status == INFEASIBLE:
        return None
    if answer.status != 0:
        raise NoSolution(f"No plan was found: {answer.message} Check the gaps and budgets.")
    return np.maximum(np.asarray(answer.x, dtype=np.float64), 0.0)


def _expect(found: Array | None) -> Array:
    if found is None:
        raise NoSolution("No plan was found, even with shortage. Check the gaps and budgets.")
    return found
