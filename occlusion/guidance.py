"""What guides the lower member: the condylar paths and the incisal table, as arrays.

Everything here has a leading axis of draws (settings) and one of positions. Angles have
been turned from the reference plane into the engine's axes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from occlusion import frames
from occlusion.articulator import ArticulatorSettings, Excursion
from occlusion.errors import (
    CondyleOutOfPath,
    ImpossibleGeometry,
    PinLeavesTable,
    PinUnreachable,
)
from occlusion.frames import Array
from occlusion.ranges import LIMITS

SINGULAR_MARGIN_DEG = 5.0
"""A table closer than this to the arc of the guided point gives no usable position."""

WIDEST_OPENING_DEG = 45.0
"""No articulator is opened further than this for a record (common practice, no source)."""

STEEPEST_DEG = 85.0
"""No path is computed steeper than this against the engine's axes."""


@dataclass(frozen=True)
class CondylarPaths:
    """The condylar paths of one excursion, each array of shape (draws, 1)."""

    half_mm: Array
    sign: float  # +1: right excursion, the left condyle leads
    blend: float
    lead_slope: Array
    trail_slope: Array
    bennett_slope: Array
    side_shift_mm: Array

    @classmethod
    def of(cls, several: Sequence[ArticulatorSettings], excursion: Excursion) -> CondylarPaths:
        sign = -1.0 if excursion.kind == "left" else 1.0
        rows = []
        for settings in several:
            tilt = settings.reference_plane.tilt_deg
            right, left = (side.in_axes(tilt_deg=tilt) for side in (settings.right, settings.left))
            lead, trail = (left, right) if sign > 0 else (right, left)
            leader = settings.left if sign > 0 else settings.right
            _check_slopes(lead[0], trail[0])
            rows.append(
                (
                    settings.intercondylar_mm / 2.0,
                    math.tan(math.radians(lead[0])),
                    math.tan(math.radians(trail[0])),
                    math.tan(math.radians(lead[1])),
                    leader.immediate_side_shift_mm,
                )
            )
        half, lead_slope, trail_slope, bennett, shift = (
            np.array(column, dtype=float)[:, None] for column in zip(*rows, strict=True)
        )
        blend = 1.0 if excursion.is_protrusion else excursion.blend
        return cls(half, sign, blend, lead_slope, trail_slope, bennett, shift)

    def advance_mm(self, excursion: Excursion) -> Array:
        """Advance f of the leading condyle at the whole travel, shape (draws, 1)."""
        lead, sideways = self.lead_slope, (1.0 - self.blend) * self.bennett_slope
        if self.blend == 1.0:
            steeper = np.abs(self.trail_slope) > np.abs(lead)
            lead = np.where(steeper, self.trail_slope, lead)
        length = np.sqrt(1.0 + lead**2 + sideways**2)
        along_path = excursion.travel_along == "path"
        f = excursion.travel_mm / length if along_path else np.full_like(lead, excursion.travel_mm)
        longest = float(np.max(f * length))
        if longest > LIMITS["condylar_path_mm"].hard_high:
            raise CondyleOutOfPath(
                f"A travel of {excursion.travel_mm:g} mm takes the condyle {longest:.1f} mm along "
                f"its path. Enter less travel; {LIMITS['condylar_path_mm'].hard_high:g} mm is the "
                "longest path that is computed.",
                field="travel_mm",
                value=excursion.travel_mm,
                limit=LIMITS["condylar_path_mm"].hard,
            )
        return f

    def condyles_mm(self, f: Array, shift: Array) -> tuple[Array, Array]:
        """Right and left condyle, each (draws, n, 3)."""
        k, half = self.blend, self.half_mm
        lead_z, trail_z = -f * self.lead_slope, -k * f * self.trail_slope
        squared = 4.0 * half**2 - ((1.0 - k) * f) ** 2 - (lead_z - trail_z) ** 2
        if (squared <= 0).any():
            raise ImpossibleGeometry(
                "The condyles cannot keep their distance on these paths. Check intercondylar "
                "distance, inclinations and travel.",
                field="intercondylar_mm",
                value=float(2 * half.min()),
            )
        between = np.sqrt(squared)
        lead_y = (1.0 - k) * (half - shift) + k * between / 2.0
        lead = np.stack([f, self.sign * lead_y, lead_z], axis=-1)
        trail = np.stack([k * f, self.sign * (lead_y - between), trail_z], axis=-1)
        return (trail, lead) if self.sign > 0 else (lead, trail)


def hinge_turn(
    several: Sequence[ArticulatorSettings], base: Array, t: Array
) -> tuple[Array, Array]:
    """Hinge turn that keeps the guided point on its table, and what is left over."""
    point = np.array([one.guided_point_mm for one in several], dtype=float)
    opening = np.array([one.pin_opening_mm for one in several], dtype=float)
    opened = np.einsum("dij,dj->di", frames.about_y(opening_rad(point, opening)), point)
    angles = np.array([_table_in_axes(one) for one in several])
    P, P0 = point[:, None, :], opened[:, None, :]
    on_lower = np.array([one.table.mounted_on == "lower" for one in several])[:, None]
    back = np.swapaxes(base, -1, -2)
    w = np.einsum("...ij,...j->...i", back, t - P0)
    roots = []
    for sideways, wing in ((-1.0, angles[:, 1]), (1.0, angles[:, 2])):
        n = np.stack([angles[:, 0], sideways * wing, np.ones(len(wing))], axis=-1)[:, None, :]
        nb = np.einsum("...ij,...j->...i", back, np.broadcast_to(n, t.shape))
        upper = (
            nb[..., 0] * P[..., 0] + nb[..., 2] * P[..., 2],
            nb[..., 0] * P[..., 2] - nb[..., 2] * P[..., 0],
            nb[..., 1] * P[..., 1] + (n * (t - P0)).sum(axis=-1),
        )
        lower = (
            n[..., 0] * w[..., 0] + n[..., 2] * w[..., 2],
            n[..., 2] * w[..., 0] - n[..., 0] * w[..., 2],
            (n * P).sum(axis=-1) + n[..., 1] * w[..., 1],
        )
        A, B, C = (np.where(on_lower, low, up) for low, up in zip(lower, upper, strict=True))
        turn, found = nearest_root(A, B, C)
        dy = np.where(on_lower, P[..., 1] + w[..., 1], _sideways(base, turn, P) + (t - P0)[..., 1])
        left_over = np.abs(A * np.cos(turn) + B * np.sin(turn) + C) / np.linalg.norm(n, axis=-1)
        roots.append((turn, found, sideways * dy, left_over))
    (to_right, found_r, side_r, left_r), (to_left, found_l, side_l, left_l) = roots
    # A branch holds where the point has gone to its side. On the midline both do and agree.
    take_right = side_r >= side_l
    if not np.where(take_right, found_r, found_l).all():
        raise PinLeavesTable(
            "The guided point finds no place on the incisal table in this position. Enter less "
            "travel or a flatter table, or check incisal point and pin point.",
            field="incisal_table_deg",
            value=several[0].table.sagittal_deg,
        )
    return np.where(take_right, to_right, to_left), np.where(take_right, left_r, left_l)


def _sideways(base: Array, turn: Array, P: Array) -> Array:
    """The y of points turned by ``turn`` and then by ``base``."""
    cos, sin = np.cos(turn), np.sin(turn)
    forward = cos * P[..., 0] + sin * P[..., 2]
    upward = cos * P[..., 2] - sin * P[..., 0]
    row = base[..., 1, :]
    return np.asarray(row[..., 0] * forward + row[..., 1] * P[..., 1] + row[..., 2] * upward)


def _table_in_axes(settings: ArticulatorSettings) -> tuple[float, float, float]:
    """Slopes (tangents) of table, right and left wing; refuses a table along the hinge arc."""
    sagittal, right, left = settings.table.in_axes(tilt_deg=settings.reference_plane.tilt_deg)
    x, _, z = settings.guided_point_mm
    along_arc = arc_slope_deg(x_mm=x, z_mm=z)
    apart = abs((sagittal - along_arc + 90.0) % 180.0 - 90.0)
    if apart < SINGULAR_MARGIN_DEG or abs(sagittal) > STEEPEST_DEG:
        raise PinLeavesTable(
            f"The incisal table stands at {sagittal:g} deg, where the guided point swings along "
            f"{along_arc:.1f} deg about the hinge axis. Keep the table at least "
            f"{SINGULAR_MARGIN_DEG:g} deg from that and below {STEEPEST_DEG:g} deg, or check the "
            "pin point.",
            field="incisal_table_deg",
            value=settings.table.sagittal_deg,
            limit=round(along_arc, 3),
        )
    return (
        math.tan(math.radians(sagittal)),
        math.tan(math.radians(right)),
        math.tan(math.radians(left)),
    )


def arc_slope_deg(*, x_mm: float, z_mm: float) -> float:
    """Slope on which a point swings about the hinge axis, as a table would read it.

    A point before and below the axis goes down and BACK as the jaw opens, along a slope
    that rises forward: more than 90 deg. A usual table, which falls forward, never lies
    along it; one for a point above the axis may.
    """
    return math.degrees(math.atan2(x_mm, z_mm))


def _check_slopes(*slopes_deg: float) -> None:
    for slope in slopes_deg:
        if abs(slope) > STEEPEST_DEG:
            raise ImpossibleGeometry(
                f"A condylar path stands at {slope:g} deg once its reference plane is turned into "
                "the axes. Check the inclination and the tilt of the plane.",
                field="reference_plane.tilt_deg",
                value=slope,
                limit=STEEPEST_DEG,
            )


def nearest_root(A: Array, B: Array, C: Array) -> tuple[Array, npt.NDArray[np.bool_]]:
    """The root nearest to 0 of A cos a + B sin a + C = 0, and whether there is one."""
    size = np.hypot(A, B)
    found = (np.abs(C) <= size) & (size > 0)
    ratio = np.clip(np.divide(-C, size, out=np.zeros_like(size), where=found), -1.0, 1.0)
    middle, half = np.arctan2(B, A), np.arccos(ratio)
    one, other = _wrapped(middle - half), _wrapped(middle + half)
    return np.where(np.abs(one) <= np.abs(other), one, other), found


def opening_rad(point_mm: Array, drop_mm: Array, *, field: str = "pin_opening_mm") -> Array:
    """Turn about the hinge axis that lowers a point.

    Parameters
    ----------
    point_mm : ndarray, shape (..., 3)
        The point.
    drop_mm : ndarray, shape (...)
        How far down in z.
    field : str
        Name of the opening in a refusal.

    Raises
    ------
    PinUnreachable
        No turn about this axis takes the point that far down.
    """
    x, z = point_mm[..., 0], point_mm[..., 2]
    turn, found = nearest_root(z, -x, drop_mm - z)
    most = float(np.max(np.abs(drop_mm)))
    if not (found & (np.abs(turn) <= math.radians(WIDEST_OPENING_DEG))).all():
        raise PinUnreachable(
            f"The pin cannot be opened that far: no turn about the hinge axis of up to "
            f"{WIDEST_OPENING_DEG:g} deg lowers this point by {most:g} mm. "
            "Check the points and the opening.",
            field=field,
            value=most,
            limit=float(np.min(np.hypot(x, z))),
        )
    return turn


def roll_and_yaw(roll: Array, yaw: Array) -> Array:
    """Rz(yaw) Rx(roll), shape (..., 3, 3)."""
    cr, sr, cy, sy = np.cos(roll), np.sin(roll), np.cos(yaw), np.sin(yaw)
    rows = [[cy, -sy * cr, sy * sr], [sy, cy * cr, -cy * sr], [np.zeros_like(cr), sr, cr]]
    return np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


def _wrapped(angle: Array) -> Array:
    """The same angle between -pi and pi."""
    return np.asarray((angle + np.pi) % (2.0 * np.pi) - np.pi)
