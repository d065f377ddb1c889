"""Normal gaps: by the slope where surfaces are near, by the nearest point where they are not.

Vertical gap times the cosine of the slope is good to a few hundredths up to 0.3 mm. Beyond, the
surface beside a point may be nearer than the one below it, and the place of the least vertical
gap is too coarse to read a slope from.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
import numpy.typing as npt
from scipy.spatial import cKDTree

from occlusion import frames
from occlusion.clearance.opposed import Facing
from occlusion.frames import Array
from occlusion.surfaces.gaps import FAR_MM
from occlusion.surfaces.heightfield import cos_of
from occlusion.surfaces.nearest import refined

Indices = npt.NDArray[np.intp]

COSINE_GOOD_MM = 0.3
"""Up to here vertical gap times cosine is never optimistic by more than 0.03 mm (computed)."""

SEARCHED_MM = 4.0
"""No nearest point further off is looked for; beyond, the cosine stands."""

BESIDE_MM = 0.3
"""How much further than the gap the nearest point of a slope is looked for."""


class Normals:
    """Normal gaps of one facing; the search tree is built when first needed."""

    def __init__(self, facing: Facing) -> None:
        self.facing = facing

    def along(
        self,
        transforms: Array,
        *,
        cells: Indices,
        vertical_mm: Array,
        search: bool,
    ) -> Array:
        """Normal gaps of one region along a path.

        Parameters
        ----------
        transforms : ndarray, shape (n, 4, 4)
            The path.
        cells : ndarray, shape (n,)
            Sample of the least vertical gap at each position.
        vertical_mm : ndarray, shape (n,)
            That gap, plain or robust.
        search : bool
            Look for the nearest point where the gap is wide; else the cosine stands.
        """
        normal = self._by_cosine(transforms, cells, vertical_mm)
        if not search:
            return normal
        wide = (normal > COSINE_GOOD_MM) & (normal < SEARCHED_MM)
        for n in np.flatnonzero(wide):
            normal[n] = self._by_search(transforms[n], int(cells[n]), float(normal[n]))
        return normal

    def _by_cosine(self, transforms: Array, cells: Indices, vertical_mm: Array) -> Array:
        """Slope over two cells: within one the height field is flat along each axis."""
        field, samples = self.facing.field, self.facing.samples
        T = frames.across(transforms, samples.member)
        points = samples.points_mm[cells].astype(float)
        foot = np.einsum("nij,nj->ni", T[:, :3, :3], points) + T[:, :3, 3]
        x, y, _ = (foot @ field.view.T).T
        h = field.pitch_mm
        ahead, behind = field.at(x + h, y), field.at(x - h, y)
        left, right = field.at(x, y + h), field.at(x, y - h)
        known = ahead[1] & behind[1] & left[1] & right[1]
        cosine = cos_of((ahead[0] - behind[0]) / (2 * h), (left[0] - right[0]) / (2 * h))
        told = vertical_mm * np.where(known, cosine.astype(float), 1.0)
        return np.asarray(np.where(vertical_mm >= FAR_MM / 2, FAR_MM, told))

    def _by_search(self, transform: Array, cell: int, by_cosine: float) -> float:
        samples, field = self.facing.samples, self.facing.field
        away = np.hypot(*(samples.points_mm[:, :2] - samples.points_mm[cell, :2]).T)
        # The foot on a slope lies beside the least vertical gap, by no more than the gap.
        chosen = away <= by_cosine + BESIDE_MM
        T = frames.across(transform, samples.member)
        q = (samples.points_mm[chosen].astype(float) @ T[:3, :3].T + T[:3, 3]) @ field.view.T
        distance, node = self._tree.query(q, distance_upper_bound=SEARCHED_MM + 0.5)
        near = np.asarray(distance) < np.asarray(distance).min() + field.pitch_mm
        if not np.isfinite(distance).any():
            return by_cosine
        away_mm, _ = refined(field, q[near], self._nodes[np.asarray(node)[near]])
        return float(away_mm.min())

    @cached_property
    def _nodes(self) -> Array:
        return self.facing.field.nodes_mm()

    @cached_property
    def _tree(self) -> cKDTree:
        return cKDTree(self._nodes)
