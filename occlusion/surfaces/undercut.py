"""How much of a scanned surface its field hides: what turns away from the antagonist."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from occlusion.ranges import EngineWarning
from occlusion.sources import cite
from occlusion.surfaces._raster import seen
from occlusion.surfaces.heightfield import HeightField

REACH_MM = 5.0
"""Triangles further behind the seen surface than this face no antagonist: the base of a model
(common practice, no source)."""

UNDERCUT_SHARE = 0.05
"""A larger share of surface under the height of contour asks for a look (common practice, no
source)."""


def undercut_share(triangles_mm: npt.ArrayLike, field: HeightField) -> float:
    """Part of the surface near the field that turns away from the antagonist, 0 to 1.

    The mesh is wound outward. Triangles that lie beside the field or more than 5 mm behind
    what is seen, such as the base of a model, do not count.
    """
    away, near = 0.0, 0.0
    turn = None if np.array_equal(field.view, np.eye(3)) else field.view
    for corners in seen(np.asarray(triangles_mm, dtype=np.float32), turn):
        first = corners[:, 0].astype(float)
        normal = np.cross(corners[:, 1] - first, corners[:, 2] - first)
        middle = corners.mean(axis=1, dtype=float)
        surface, _ok = field.at(middle[:, 0], middle[:, 1])
        behind = field.sign * (surface - middle[:, 2])
        u, v = field.cells(middle[:, 0], middle[:, 1])
        nx, ny = field.z_mm.shape
        over = (u > -1) & (u < nx) & (v > -1) & (v < ny)
        area = np.linalg.norm(normal, axis=1) * (over & (behind < REACH_MM))
        near += float(area.sum())
        away += float(area[field.sign * normal[:, 2] <= 0.0].sum())
    return away / near if near > 0.0 else 0.0


def undercut_warning(share: float) -> EngineWarning | None:
    """What to say when much of a surface turns away from its antagonist, else nothing."""
    if share <= UNDERCUT_SHARE:
        return None
    return EngineWarning(
        "undercut",
        f"{100 * share:.0f} % of the scanned surface turns away from the antagonist, more than "
        f"{100 * UNDERCUT_SHARE:.0f} %. It is filled up to the height of contour. Confirm that "
        "the scan is not inside out and that the teeth stand upright in it.",
        cite("practice"),
    )
