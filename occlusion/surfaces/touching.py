"""Least gaps between a tooth and the other arch, and the height at which it just touches.

Between round tips the gap of two surfaces is smooth wherever it is least: the creases of either
are places where it is greatest. So the best cells of a coarse grid are searched ever more finely.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from occlusion.frames import Array
from occlusion.surfaces.cusps import ToothForm, heights, neighbours

COARSE_MM = 0.25
"""Pitch of the first look at a tooth."""

CANDIDATES = 12
"""Cells of the first look that are searched further."""

FINER = 3.0
"""How much finer each further look is."""

FINEST_MM = 5e-4
"""Pitch of the last look: the gap is then certain to far less than 0.001 mm."""

REACH_MM = 8.0
"""How far beside a tooth its antagonists are looked for: more than a jaw moves in a check."""

TOUCHING_MM = 1e-5
"""A gap of this is none."""

ROUNDS = 12
"""Corrections at most until a tooth touches in a moved position; each leaves a tenth or less."""

_WINDOW = np.array([(i, j) for i in range(-2, 3) for j in range(-2, 3)], dtype=float)


@dataclass(frozen=True)
class LeastGap:
    """The least gap of one tooth, where on it, and how much of it has something opposite."""

    gap_mm: float
    at_mm: tuple[float, float]
    opposed_mm2: float


def least_gap(
    form: ToothForm, others: Sequence[ToothForm], transform: Array | None = None
) -> LeastGap:
    """The least vertical gap between a tooth and the teeth of the other arch.

    Parameters
    ----------
    form : ToothForm
        The tooth.
    others : sequence of ToothForm
        The other arch.
    transform : ndarray, shape (4, 4), optional
        Where the lower member has moved; None: closed maximum intercuspation. The gap is
        measured along the vertical of the member that does not carry ``form``.

    Returns
    -------
    LeastGap
        The gap is infinite where nothing stands opposite.
    """
    near = neighbours(form, others, reach_mm=0.0 if transform is None else REACH_MM)
    u_half, v_half = form.md_mm / 2.0, form.bl_mm / 2.0
    u, v = np.meshgrid(
        np.arange(-u_half, u_half + COARSE_MM, COARSE_MM),
        form.rim_v_mm + np.arange(-v_half, v_half + COARSE_MM, COARSE_MM),
        indexing="ij",
    )
    places = np.column_stack([u.ravel(), v.ravel()])
    gaps = _gaps(form, near, places, transform)
    opposed = float(np.isfinite(gaps).sum()) * COARSE_MM**2
    if not near or opposed == 0.0:
        return LeastGap(np.inf, form.centre_mm, 0.0)
    best = np.argpartition(gaps, min(CANDIDATES, gaps.size - 1))[:CANDIDATES]
    best = best[np.isfinite(gaps[best])]
    places, gaps = places[best], gaps[best]
    pitch = COARSE_MM / 2.0
    while pitch > FINEST_MM / FINER:
        around = places[:, None, :] + pitch * _WINDOW
        tried = _gaps(form, near, around.reshape(-1, 2), transform).reshape(len(places), -1)
        rows, least = np.arange(len(places)), tried.argmin(axis=1)
        places, gaps = around[rows, least], tried[rows, least]
        pitch /= FINER
    first = int(gaps.argmin())
    return LeastGap(float(gaps[first]), _back(form, places[first]), opposed)


def height_to_touch(
    form: ToothForm, others: Sequence[ToothForm], transform: Array | None = None
) -> float:
    """How far up a tooth has to go to just touch, in mm; infinite where nothing is opposite.

    Parameters
    ----------
    form : ToothForm
        Upper: it goes down by its gap. Lower: up.
    others : sequence of ToothForm
        The other arch.
    transform : ndarray, shape (4, 4), optional
        The position in which it touches; None: closed maximum intercuspation.
    """
    sign = 1.0 if form.member == "lower" else -1.0
    steep = 1.0 if transform is None else float(transform[2, 2])
    up = 0.0
    for _round in range(ROUNDS):
        gap = least_gap(form.moved(up), others, transform).gap_mm
        if not np.isfinite(gap):
            return float("inf")
        up += sign * gap / steep
        if abs(gap) < TOUCHING_MM or transform is None:
            break
    return up


def _gaps(
    form: ToothForm, others: Sequence[ToothForm], places: Array, transform: Array | None
) -> Array:
    """Gaps at places in the tooth's own axes, infinite where it or the other arch ends."""
    gaps = np.full(len(places), np.inf)
    over = np.flatnonzero(form.covers(places[:, 0], places[:, 1]))
    u, v = places[over, 0], places[over, 1]
    (mx, my), (bx, by), (x0, y0) = form.mesial, form.buccal, form.centre_mm
    points = np.column_stack(
        [x0 + u * mx + v * bx, y0 + u * my + v * by, np.asarray(form.height(u, v), dtype=float)]
    )
    if transform is not None:
        R, t = transform[:3, :3], transform[:3, 3]
        points = (points - t) @ R if form.member == "upper" else points @ R.T + t
    opposite = heights(others, points[:, 0], points[:, 1])
    gap = points[:, 2] - opposite if form.member == "upper" else opposite - points[:, 2]
    gaps[over] = np.where(np.isnan(gap), np.inf, gap)
    return gaps


def _back(form: ToothForm, place: Array) -> tuple[float, float]:
    (mx, my), (bx, by), (x, y) = form.mesial, form.buccal, form.centre_mm
    u, v = float(place[0]), float(place[1])
    return (x + u * mx + v * bx, y + u * my + v * by)
