"""How far off a tooth may stand when the points that place its arch are read with an error."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from occlusion.frames import Array


def vertical_error_mm(
    points_mm: npt.ArrayLike, at_mm: npt.ArrayLike, *, reading_sd_mm: float
) -> Array:
    """Standard deviation of the height at places of an arch, shape (m,); as below."""
    return placing_error_mm(points_mm, at_mm, reading_sd_mm=reading_sd_mm)[:, 2]


def placing_error_mm(
    points_mm: npt.ArrayLike, at_mm: npt.ArrayLike, *, reading_sd_mm: float
) -> Array:
    """Standard deviations of x, y and z at places of an arch that named points have placed.

    To first order: the middle of n points is off by sd sqrt(2 / n), and the arch is tilted about
    it by the same readings, the more the closer the points lie together. Every coordinate of every
    point is read with the same error, independently, on the scan and on the articulator: hence 2.
    Along d a place is off by e = (t + w x r) d with r the place from the middle of the points, so
    that var e = 2 sd^2 (1 / n + g J^-1 g), g = r x d, J the points' tensor of inertia. Source:
    geometry.

    Parameters
    ----------
    points_mm : array_like, shape (n, 3)
        Where the points are on the articulator; not on one line.
    at_mm : array_like, shape (m, 3)
        Where it is asked for.
    reading_sd_mm : float
        Standard deviation of one coordinate of one reading.

    Returns
    -------
    ndarray, shape (m, 3)
    """
    points = np.asarray(points_mm, dtype=float)
    middle = points.mean(axis=0)
    away = points - middle
    inertia = (away**2).sum() * np.eye(3) - away.T @ away
    r = np.asarray(at_mm, dtype=float).reshape(-1, 3) - middle
    g = np.cross(r[:, None, :], np.eye(3))  # one row for each direction
    tilt = np.einsum("mdi,ij,mdj->md", g, np.linalg.inv(inertia), g)
    return np.asarray(reading_sd_mm * np.sqrt(2.0 * (1.0 / len(points) + tilt)))
