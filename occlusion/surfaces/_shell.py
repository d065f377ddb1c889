"""Whether triangles are one skin: which edges stand alone, which holes face the other arch.

Corners are the same when their coordinates are, to the last bit: triangles of one mesh are
written from one list of vertices. Edges are told apart by 64-bit sums of hashes, so that a million
triangles need no table of vertices; two unlike edges meet in one sum once in some million files.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from occlusion.frames import Array
from occlusion.surfaces._bytes import BLOCK, Floats

Hashes = npt.NDArray[np.uint64]

_ODD = (0x9E3779B97F4A7C15, 0xBF58476D1CE4E5B9, 0x94D049BB133111EB)
"""Odd multipliers; which ones does not matter."""


@dataclass(frozen=True)
class Opening:
    """One loop of open edges: the area that it spans, as a vector out of the missing patch."""

    area_mm2: Array
    edges_mm: Array
    """Both ends of each edge, (edges, 2, 3)."""

    @property
    def size_mm2(self) -> float:
        return float(np.linalg.norm(self.area_mm2))


def edge_hashes(triangles_mm: Floats) -> Hashes:
    """A number for each edge, (3 n,), the same for both directions of the same edge."""
    # Minus zero is zero, but not in bits.
    bits = np.ascontiguousarray(triangles_mm + np.float32(0.0)).view(np.uint32).astype(np.uint64)
    hashes = np.zeros(bits.shape[:2], np.uint64)
    for axis, odd in enumerate(_ODD):
        hashes = _mixed(hashes ^ (bits[..., axis] * np.uint64(odd)))
    return (hashes + np.roll(hashes, -1, axis=1)).reshape(-1)


def _mixed(hashes: Hashes) -> Hashes:
    for shift, odd in ((30, _ODD[1]), (27, _ODD[2])):
        hashes = (hashes ^ (hashes >> np.uint64(shift))) * np.uint64(odd)
    return hashes ^ (hashes >> np.uint64(31))


def open_edges(triangles_mm: Floats) -> npt.NDArray[np.int64]:
    """Numbers of the edges that an odd number of triangles share: 3 k + j for edge j of k."""
    blocks = range(0, len(triangles_mm), BLOCK)
    ordered = np.empty(3 * len(triangles_mm), np.uint64)
    for start in blocks:
        found = edge_hashes(triangles_mm[start : start + BLOCK])
        ordered[3 * start : 3 * start + len(found)] = found
    ordered.sort()
    first = np.flatnonzero(np.concatenate([[True], ordered[1:] != ordered[:-1]]))
    alone = ordered[first[np.diff(first, append=len(ordered)) % 2 == 1]]
    del ordered, first
    if not alone.size:
        return np.empty(0, np.int64)
    edges = []
    for start in blocks:  # hashed once more: keeping them all would cost more than that
        found = edge_hashes(triangles_mm[start : start + BLOCK])
        place = np.minimum(np.searchsorted(alone, found), len(alone) - 1)
        edges.append(np.flatnonzero(alone[place] == found) + 3 * start)
    return np.concatenate(edges)


def openings(
    triangles_mm: Floats, edges: npt.NDArray[np.int64], *, least_mm2: float
) -> list[Opening]:
    """The loops of more than so much area that open edges form, the widest first.

    The area of the patch that would close a loop follows from its edges alone, by Stokes'
    theorem, so that the loop need not be walked.
    """
    if not edges.size:
        return []
    k, j = np.divmod(edges, 3)
    ends = np.stack([triangles_mm[k, j], triangles_mm[k, (j + 1) % 3]], axis=1).astype(float)
    _, corner = np.unique(ends.reshape(-1, 3), axis=0, return_inverse=True)
    pairs = corner.reshape(-1, 2)
    size = int(corner.max()) + 1
    links = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(size, size))
    count, labels = connected_components(links, directed=False)
    loop_of = labels[pairs[:, 0]]
    corners = np.bincount(loop_of, minlength=count)
    sums = _by_loop(ends.mean(axis=1), loop_of, count)
    away = ends - (sums / corners[:, None])[loop_of][:, None]
    areas = _by_loop(-0.5 * np.cross(away[:, 0], away[:, 1]), loop_of, count)
    sizes = np.linalg.norm(areas, axis=1)
    order = np.argsort(loop_of, kind="stable")
    start = np.concatenate([[0], np.cumsum(corners)])
    return [
        Opening(areas[loop], ends[order[start[loop] : start[loop + 1]]])
        for loop in np.argsort(-sizes, kind="stable")
        if sizes[loop] > least_mm2
    ]


def _by_loop(vectors: Array, loop_of: npt.NDArray[np.int32], count: int) -> Array:
    columns = [np.bincount(loop_of, column, minlength=count) for column in vectors.T]
    return np.stack(columns, axis=1)


def volume_mm3(triangles_mm: Floats, rims: list[Opening]) -> float:
    """Volume inside, each opening closed by a fan around its middle; negative inside out."""
    total = 0.0
    for start in range(0, len(triangles_mm), BLOCK):
        a, b, c = np.moveaxis(triangles_mm[start : start + BLOCK].astype(float), 1, 0)
        total += float(np.einsum("ni,ni->", a, np.cross(b, c)))
    for rim in rims:
        middle = rim.edges_mm.reshape(-1, 3).mean(axis=0)
        # A cap runs along the open edges the other way round.
        total -= float((np.cross(rim.edges_mm[:, 0], rim.edges_mm[:, 1]) @ middle).sum())
    return total / 6.0


def highest_around_mm(
    triangles_mm: Floats, place_mm: Array, up: Array, *, radius_mm: float
) -> float:
    """Greatest height along ``up`` of corners within a cylinder about a place; the place counts."""
    highest = float(place_mm @ up)
    for start in range(0, len(triangles_mm), BLOCK):
        corners = triangles_mm[start : start + BLOCK].reshape(-1, 3).astype(float)
        height = corners @ up
        beside2 = ((corners - place_mm) ** 2).sum(axis=1) - (height - place_mm @ up) ** 2
        near = height[beside2 <= radius_mm**2]
        highest = max(highest, float(near.max(initial=highest)))
    return highest
