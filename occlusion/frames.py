"""Rigid transforms, and angles carried from a reference plane into the engine's axes.

Axes: x forward, y to the patient's left, z up, origin midway between the condyles.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from occlusion.errors import ImpossibleGeometry, MixedReferencePlanes, NotANumber

Array = npt.NDArray[np.float64]

ROUND_OFF = 1e-9
"""How far a transform may be from rigid: round-off, not a tolerance of the bench."""


def about_y(angle_rad: Any) -> Array:
    """Rotation about the y axis; a positive angle opens the lower member. Shape (..., 3, 3)."""
    angle = np.asarray(angle_rad, dtype=float)
    cos, sin = np.cos(angle), np.sin(angle)
    R = np.zeros((*angle.shape, 3, 3))
    R[..., 0, 0] = R[..., 2, 2] = cos
    R[..., 0, 2], R[..., 2, 0] = sin, -sin
    R[..., 1, 1] = 1.0
    return R


def transform(R: Array, t: Array) -> Array:
    """Rotations (..., 3, 3) and translations (..., 3) as matrices (..., 4, 4)."""
    T = np.zeros((*R.shape[:-2], 4, 4))
    T[..., :3, :3] = R
    T[..., :3, 3] = t
    T[..., 3, 3] = 1.0
    return T


def check_rigid(T: Any, *, field: str = "transform") -> Array:
    """The matrix, if it moves a body without stretching or mirroring it.

    Raises
    ------
    NotANumber
        It holds something else than finite numbers, or is not 4 x 4.
    ImpossibleGeometry
        It is not rigid.
    """
    try:
        matrix = np.asarray(T, dtype=float)
    except (TypeError, ValueError):
        matrix = np.empty(0)
    if matrix.shape[-2:] != (4, 4) or not np.isfinite(matrix).all():
        raise NotANumber(
            f"{field} is not a matrix of 4 x 4 finite numbers. Give one in millimetres.",
            field=field,
        )
    R = matrix[..., :3, :3]
    stretched = np.abs(np.swapaxes(R, -1, -2) @ R - np.eye(3)).max() > ROUND_OFF
    last_row = np.abs(matrix[..., 3, :] - np.array([0.0, 0.0, 0.0, 1.0])).max() > ROUND_OFF
    if stretched or last_row or (np.linalg.det(R) < 0).any():
        raise ImpossibleGeometry(
            f"{field} stretches or mirrors what it moves. Give a rotation and a shift only.",
            field=field,
        )
    return matrix


def best_motion(from_mm: Array, to_mm: Array) -> tuple[Array, Array]:
    """The rigid motion that brings points nearest to others: Kabsch's least squares.

    Parameters
    ----------
    from_mm, to_mm : ndarray, shape (m, 3)
        The same points, in the same order.

    Returns
    -------
    tuple of ndarray
        Rotation of shape (3, 3), never a mirroring, and shift of shape (3,).
    """
    from_middle, to_middle = from_mm.mean(axis=0), to_mm.mean(axis=0)
    U, _, Vt = np.linalg.svd((from_mm - from_middle).T @ (to_mm - to_middle))
    handed = np.sign(np.linalg.det(U) * np.linalg.det(Vt))
    R = np.asarray(Vt.T @ np.diag([1.0, 1.0, handed]) @ U.T)
    return R, to_middle - R @ from_middle


def inverse(T: Array) -> Array:
    """Inverse of rigid transforms (..., 4, 4)."""
    R = np.swapaxes(T[..., :3, :3], -1, -2)
    return transform(R, -np.einsum("...ij,...j->...i", R, T[..., :3, 3]))


def across(T: Array, member: str) -> Array:
    """What carries points of one member over to the other, as ``T`` moves the lower member.

    Lower points move with the lower member; upper points are seen from it. Shape (..., 4, 4).
    """
    return inverse(T) if member == "upper" else T


def apply(T: Array, points_mm: Array) -> Array:
    """Points (m, 3) moved by transforms (..., 4, 4): shape (..., m, 3)."""
    if T.ndim > 2 and len(points_mm) <= FEW_POINTS:
        return _apply_to_few(T, points_mm)
    R, t = T[..., :3, :3], T[..., :3, 3]
    return np.asarray(points_mm @ np.swapaxes(R, -1, -2) + t[..., None, :])


FEW_POINTS = 64
"""Up to here one product of two plain matrices moves the points fastest."""


def _apply_to_few(T: Array, points_mm: Array) -> Array:
    """Every transform as a row of 16 numbers, times what the points make of each of them."""
    m = len(points_mm)
    weights = np.zeros((4, 4, m, 3))
    for axis in range(3):
        weights[axis, :3, :, axis] = points_mm.T
        weights[axis, 3, :, axis] = 1.0
    moved = T.reshape(-1, 16) @ weights.reshape(16, 3 * m)
    return moved.reshape(*T.shape[:-2], m, 3)


def turn_sagittal_deg(angle_deg: float, *, tilt_deg: float) -> float:
    """A sagittal angle read against a plane that falls forward by ``tilt_deg``, in the axes.

    Both point down and forward, in the sagittal projection, so they add up.
    """
    return angle_deg + tilt_deg


def turn_lateral_deg(angle_deg: float, *, sagittal_deg: float, tilt_deg: float) -> float:
    """A Bennett or wing angle, read against a tilted plane, in the engine's axes.

    Parameters
    ----------
    angle_deg : float
        Bennett angle or lateral wing as read.
    sagittal_deg : float
        Condylar inclination or table angle as read: the slope of the same path.
    tilt_deg : float
        How much the plane falls forward.

    Returns
    -------
    float
        atan(tan(angle) cos(sagittal) / cos(sagittal + tilt)): exact, from the geometry.
    """
    if tilt_deg == 0.0:
        return angle_deg
    slope, tilt = math.radians(sagittal_deg), math.radians(tilt_deg)
    scale = math.cos(slope) / math.cos(slope + tilt)
    return math.degrees(math.atan(math.tan(math.radians(angle_deg)) * scale))


def into_plane(vectors_mm: Array, *, tilt_deg: float) -> Array:
    """Vectors (..., 3) seen from a plane that falls forward by ``tilt_deg``.

    The result's x runs along the plane, its z stands on it.
    """
    if tilt_deg == 0.0:
        return vectors_mm
    turned: Array = vectors_mm @ about_y(math.radians(tilt_deg))
    return turned


def same_plane(*planes: tuple[str, float], field: str) -> None:
    """Refuse angles that were read against unlike planes.

    Parameters
    ----------
    *planes : tuple of (str, float)
        Name and tilt of each plane.
    field : str
        Name of the offending value in the refusal.

    Raises
    ------
    MixedReferencePlanes
    """
    first = planes[0]
    for plane in planes[1:]:
        if plane != first:
            raise MixedReferencePlanes(
                f"One angle is read against the {plane[0]} ({plane[1]:g} deg), another against "
                f"the {first[0]} ({first[1]:g} deg). Convert all of them to one plane first.",
                field=field,
                value=plane[0],
                limit=first[0],
            )
