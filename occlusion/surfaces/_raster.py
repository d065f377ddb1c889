"""Which cells of a grid the triangles of a soup cover, and the heights there.

Whole arrays, some triangles at a time: what the temporary arrays take does not grow with the
mesh. Cells stand on whole numbers; a triangle is asked at the cells in the box around it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from occlusion.frames import Array

Array32 = npt.NDArray[np.float32]
Mask = npt.NDArray[np.bool_]
Bounds = tuple[float, float, float, float]

TRIANGLES_AT_ONCE = 65_536
PAIRS_AT_ONCE = 262_144
"""Triangles, and triangles times the cells in their boxes, that are worked on together."""

ON_THE_EDGE = 1e-7
"""A node this part of a triangle outside of it still counts: neighbours leave no gap."""

VERTICAL = 1e-9
"""A triangle whose shadow covers less than this, in cells, has no height of its own."""


def seen(triangles: Array32, turn: Array | None) -> Iterator[Array32]:
    """The corners in the axes of the view, some triangles at a time."""
    matrix = None if turn is None else turn.T.astype(np.float32)
    for start in range(0, len(triangles), TRIANGLES_AT_ONCE):
        chunk = triangles[start : start + TRIANGLES_AT_ONCE]
        yield chunk if matrix is None else chunk @ matrix


def extent(triangles: Array32, turn: Array | None) -> Bounds:
    """x low, x high, y low, y high of a mesh in the axes of the view."""
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    for chunk in seen(triangles, turn):
        for corner in range(3):
            np.minimum(low, chunk[:, corner, :2].min(axis=0), out=low)
            np.maximum(high, chunk[:, corner, :2].max(axis=0), out=high)
    return (float(low[0]), float(high[0]), float(low[1]), float(high[1]))


def covered(
    corners: Array32, pitch_mm: float, grid: tuple[int, int, int, int]
) -> Iterator[tuple[npt.NDArray[np.intp], Array32]]:
    """Cells that triangles cover and the heights there, some pairs at a time."""
    low_i, low_j, nx, ny = grid
    u = corners[:, :, 0] / pitch_mm - low_i
    v = corners[:, :, 1] / pitch_mm - low_j
    first_i, count_i = _between(u, nx)
    first_j, count_j = _between(v, ny)
    u0, v0, z0 = u[:, 0].astype(float), v[:, 0].astype(float), corners[:, 0, 2].astype(float)
    u1, v1, z1 = u[:, 1] - u0, v[:, 1] - v0, corners[:, 1, 2] - z0
    u2, v2, z2 = u[:, 2] - u0, v[:, 2] - v0, corners[:, 2, 2] - z0
    shadow = u1 * v2 - u2 * v1
    boxes = np.where(np.abs(shadow) > VERTICAL, count_i * count_j, 0)
    some = np.flatnonzero(boxes)
    ends = np.cumsum(boxes[some])
    for start in range(0, int(ends[-1]) if len(ends) else 0, PAIRS_AT_ONCE):
        pair = np.arange(start, min(start + PAIRS_AT_ONCE, int(ends[-1])))
        which = np.searchsorted(ends, pair, side="right")
        t = some[which]
        i, j = np.divmod(pair - (ends[which] - boxes[t]), count_j[t])
        i += first_i[t]
        j += first_j[t]
        du, dv = i - u0[t], j - v0[t]
        second = (du * v2[t] - dv * u2[t]) / shadow[t]
        third = (dv * u1[t] - du * v1[t]) / shadow[t]
        hit = (second >= -ON_THE_EDGE) & (third >= -ON_THE_EDGE)
        hit &= second + third <= 1.0 + ON_THE_EDGE
        z = z0[t] + second * z1[t] + third * z2[t]
        yield (i * ny + j)[hit], z[hit].astype(np.float32)


def _between(
    places: npt.NDArray[Any], cells: int
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """First cell and number of cells between the three corners of each triangle."""
    a, b, c = places[:, 0], places[:, 1], places[:, 2]
    low = np.ceil(np.minimum(np.minimum(a, b), c) - 1e-6)
    high = np.floor(np.maximum(np.maximum(a, b), c) + 1e-6)
    first = np.clip(low, 0, cells).astype(np.int64)
    last = np.clip(high, -1, cells - 1).astype(np.int64)
    return first, np.maximum(last - first + 1, 0)
