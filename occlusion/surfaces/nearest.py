"""True distances to the opposing arch, for the few positions that decide."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy.spatial import cKDTree

from occlusion.articulator import Member
from occlusion.errors import NoSolution
from occlusion.frames import Array
from occlusion.surfaces._carry import carried
from occlusion.surfaces.heightfield import HeightField

AROUND_MM = 3.0
"""How far around a sample the nearest point of the other arch is looked for."""


def nearest_gaps(
    field: HeightField, points_mm: npt.ArrayLike, transform: npt.ArrayLike, *, member: Member
) -> tuple[Array, Array]:
    """True distances of some points to the opposing arch at one position.

    For the one to three positions that decide: it costs far more than looking up, and sees what
    stands beside a point across an embrasure or a groove's edge.

    Parameters
    ----------
    field : HeightField
        The opposing arch.
    points_mm : array_like, shape (m, 3)
        In articulator axes.
    transform : array_like, shape (4, 4)
        Position of the lower member.
    member : {"upper", "lower"}
        The member that carries the points.

    Returns
    -------
    tuple of ndarray, shapes (m,) and (m, 3)
        Distances in mm, negative where the point is past the surface, and the nearest point of
        the opposing surface in the axes of the field's view. A distance up to 3 mm is exact to
        about the pitch squared over the radius of curvature.

    Raises
    ------
    NoSolution
        Nothing of the opposing arch is within 3 mm of the points.
    BadRequest, NotANumber, ImpossibleGeometry
    """
    way = carried(field, points_mm, transform, member=member)
    q = way.points_mm @ way.A[0].T + way.b[0]
    nodes = field.nodes_mm()
    low, high = q.min(axis=0) - AROUND_MM, q.max(axis=0) + AROUND_MM
    # Along the vertical nothing is cropped: the surface may be far below and still the nearest.
    nodes = nodes[((nodes[:, :2] >= low[:2]) & (nodes[:, :2] <= high[:2])).all(axis=1)]
    if not len(nodes):
        raise NoSolution(
            f"Nothing of the {field.member} arch is within {AROUND_MM:g} mm of these points. "
            "Choose points that come near it.",
            field="points_mm",
        )
    _, which = cKDTree(nodes).query(q)
    away, best = refined(field, q, nodes[which])
    z, ok = field.at(q[:, 0], q[:, 1])
    past = ok & (field.sign * (q[:, 2] - z) < 0.0)
    return np.where(past, -away, away), best


def refined(field: HeightField, q: Array, nearest: Array) -> tuple[Array, Array]:
    """Distances from points to the surface between the nodes, and the feet, from nodes on.

    From the foot the point is projected on the plane that touches the surface there, and the
    foot goes to that place; three rounds, and a round that does not help is not taken.

    Parameters
    ----------
    field : HeightField
        The surface.
    q, nearest : ndarray, shape (m, 3)
        Points and the node nearest to each, in the axes of the view.

    Returns
    -------
    tuple of ndarray, shapes (m,) and (m, 3)
    """
    foot, best = nearest.copy(), nearest.copy()
    away = np.linalg.norm(q - foot, axis=1)
    for _ in range(3):
        rise = _within_cells(field, foot)
        off = q[:, 2] - foot[:, 2] - (rise * (q[:, :2] - foot[:, :2])).sum(axis=1)
        step = q[:, :2] - foot[:, :2] + rise * (off / (1.0 + (rise**2).sum(axis=1)))[:, None]
        foot = foot.copy()
        foot[:, :2] += np.clip(step, -field.pitch_mm, field.pitch_mm)
        z, ok = field.at(foot[:, 0], foot[:, 1])
        foot[:, 2] = z
        distance = np.linalg.norm(q - foot, axis=1)
        nearer = ok & (distance < away)
        away, best = np.where(nearer, distance, away), np.where(nearer[:, None], foot, best)
    return away, best


def _within_cells(field: HeightField, places: Array) -> Array:
    """Slopes along x and y of the cells that places stand in, shape (m, 2): walls keep theirs."""
    u, v = field.cells(places[:, 0], places[:, 1])
    i, j = np.floor(u), np.floor(v)
    one = np.float32(1.0)
    ahead, behind = (field.look_up(at, v, slopes=False)[0] for at in (i + one, i))
    left, right = (field.look_up(u, at, slopes=False)[0] for at in (j + one, j))
    return np.column_stack([ahead - behind, left - right]).astype(float) / field.pitch_mm
