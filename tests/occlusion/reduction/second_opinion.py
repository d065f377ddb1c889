"""A second opinion on a small linear programme: every corner of what is allowed, one by one."""

from itertools import combinations

import numpy as np


def cheapest_corner(cost, matrix, limit, upper):
    """Least cost of x with matrix @ x <= limit and 0 <= x <= upper; None if no x is allowed.

    A linear cost over a bounded region is least at a corner, where as many rows hold as there
    are unknowns.
    """
    n = len(cost)
    rows = np.vstack([matrix, np.eye(n), -np.eye(n)])
    sides = np.concatenate([limit, upper, np.zeros(n)])
    best = None
    for chosen in combinations(range(len(rows)), n):
        square = rows[list(chosen)]
        if abs(np.linalg.det(square)) < 1e-12:
            continue
        corner = np.linalg.solve(square, sides[list(chosen)])
        if np.all(rows @ corner <= sides + 1e-9):
            value = float(np.dot(cost, corner))
            best = value if best is None else min(best, value)
    return best


def programme(needs, budgets, hollows, rooms, ratios, weights, *, raised, reset):
    """Rows of a plan for one incline on each of n teeth: depths, re-settings, and the raise."""
    n = len(needs)
    rows, sides = [], []
    for j in range(n):
        lifts = np.zeros(2 * n + 1)
        lifts[j] = lifts[n + j] = 1.0
        shell = lifts.copy()
        lifts[-1], shell[-1] = ratios[j], -ratios[j]
        rows += [-lifts, shell]
        sides += [-needs[j], budgets[j] + rooms[j]]
    upper = np.concatenate(
        [np.add(budgets, hollows), np.full(n, reset[0]), np.array([raised[0]], dtype=float)]
    )
    cost = np.concatenate([weights, np.full(n, reset[1]), np.array([raised[1]], dtype=float)])
    return cost, np.array(rows), np.array(sides), upper
