"""Where a record carries the condyles: the rigid movement that fits its moved points best.

The points of a record lie on the teeth, the condyles far behind them, so that a reading
error of a tenth of a millimetre is several tenths there. The covariance of that is exact to
first order, because every wanted movement is linear in small errors of the moved points.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from occlusion.frames import Array, best_motion

LEAST_SPREAD_MM = 3.0
"""Points closer to one straight line than this, in the mean, hold no turn about it (common
practice, no source)."""


@dataclass(frozen=True)
class Carried:
    """Movement of both condyles in one record.

    Attributes
    ----------
    right_mm, left_mm : ndarray, shape (3,)
        How far each condyle has gone.
    right_covariance, left_covariance : ndarray, shape (3, 3)
        Of those movements, in square millimetres for a reading error of 1 mm.
    teeth_mm : ndarray, shape (3,)
        Mean movement of the points themselves.
    turn_deg : float
        How far the body has turned.
    misfit_mm : float
        What a rigid movement leaves over, as a standard deviation of one coordinate.
    """

    right_mm: Array
    left_mm: Array
    right_covariance: Array
    left_covariance: Array
    teeth_mm: Array
    turn_deg: float
    misfit_mm: float

    def of(self, side: str) -> tuple[Array, Array]:
        """Movement and covariance of one condyle."""
        if side == "right":
            return self.right_mm, self.right_covariance
        return self.left_mm, self.left_covariance


def carried_condyles(*, intercondylar_mm: float, landmarks_mm: Array, moved_mm: Array) -> Carried:
    """How far one record carries the two condyles.

    Parameters
    ----------
    intercondylar_mm : float
        Distance between the condyles.
    landmarks_mm, moved_mm : ndarray, shape (m, 3)
        Three lower points or more, not on one line, closed and in the record.
    """
    middle, there = landmarks_mm.mean(axis=0), moved_mm.mean(axis=0)
    arms = landmarks_mm - middle
    R, _ = best_motion(landmarks_mm, moved_mm)
    turned = arms @ R.T
    left_over = float(((moved_mm - there - turned) ** 2).sum())
    # Small errors n of the moved points turn the body by w, where M w = sum of arm x n.
    M = (turned**2).sum() * np.eye(3) - turned.T @ turned
    turn_covariance = np.linalg.inv(M)

    def carried(y_mm: float) -> tuple[Array, Array]:
        condyle = np.array([0.0, y_mm, 0.0])
        lever = R @ (condyle - middle)
        x, y, z = lever
        cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        spread = np.eye(3) / len(arms) + cross @ turn_covariance @ cross.T
        return there + lever - condyle, spread

    right, right_covariance = carried(-intercondylar_mm / 2.0)
    left, left_covariance = carried(intercondylar_mm / 2.0)
    return Carried(
        right_mm=right,
        left_mm=left,
        right_covariance=right_covariance,
        left_covariance=left_covariance,
        teeth_mm=there - middle,
        turn_deg=math.degrees(math.acos(min(max((float(np.trace(R)) - 1.0) / 2.0, -1.0), 1.0))),
        misfit_mm=float(np.sqrt(left_over / (3 * len(arms) - 6))),
    )


def spread_mm(points_mm: Array) -> float:
    """Root mean square distance of points from the straight line nearest to them."""
    values = np.linalg.svd(points_mm - points_mm.mean(axis=0), compute_uv=False)
    return float(np.sqrt((values[1:] ** 2).sum() / len(points_mm)))
