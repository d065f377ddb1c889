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

from occlusion.articulator import ArticulatorSettings, Excursion
from occlusion.errors import (
    CondyleOutOfPath,
    ImpossibleGeometry,
    PinLeavesTable,
    PinUnreachable,
)
from occlusion.frames import Array
from occlusion.ranges import LIMITS
from occlusion.settings_arrays import SettingsArrays

SINGULAR_MARGIN_DEG = 5.0
"""A table closer than this to the arc of the guided point gives no usable position."""

WIDEST_OPENING_DEG = 45.0
"""No articulator is opened further than this for a record (common practice, no source)."""

STEEPEST_DEG = 85.0
"""No path is computed steeper than this against the engine's axes."""

Parts = tuple[Array, ...]
"""The three coordinates of many vectors, each (draws, n) or (draws, 1)."""

Rows = tuple[Parts, Parts, Parts]
"""The rows of many 3 x 3 matrices, entry by entry."""


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
        many = SettingsArrays.of(several)
        right, left = (
            (many.inclination_right_deg, many.bennett_right_deg, many.shift_right_mm),
            (many.inclination_left_deg, many.bennett_left_deg, many.shift_left_mm),
        )
        (lead, bennett, shift), (trail, _, _) = (left, right) if sign > 0 else (right, left)
        lead_deg, trail_deg = lead + many.tilt_deg, trail + many.tilt_deg
        _check_slopes(lead_deg, trail_deg)
        columns = (
            many.intercondylar_mm / 2.0,
            np.tan(np.radians(lead_deg)),
            np.tan(np.radians(trail_deg)),
            _lateral_slope(bennett, sagittal_deg=lead, tilt_deg=many.tilt_deg),
            shift,
        )
        half, lead_slope, trail_slope, bennett_slope, shift_mm = (one[:, None] for one in columns)
        blend = 1.0 if excursion.is_protrusion else excursion.blend
        return cls(half, sign, blend, lead_slope, trail_slope, bennett_slope, shift_mm)

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

    def condyles_mm(self, f: Array, shift: Array) -> tuple[Parts, Parts]:
        """Right and left condyle."""
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
        lead = (f, self.sign * lead_y, lead_z)
        trail = (k * f, self.sign * (lead_y - between), trail_z)
        return (trail, lead) if self.sign > 0 else (lead, trail)


def hinge_turn(several: Sequence[ArticulatorSettings], base: Rows, t: Parts) -> tuple[Array, Array]:
    """Hinge turn that keeps the guided point on its table, and what is left over.

    Works on the numbers one by one: with thousands of draws that is several times faster
    than small matrices.
    """
    many = SettingsArrays.of(several)
    point, on_lower = many.guided_point_mm, many.table_on_lower
    opened = _about_y(opening_rad(point, many.pin_opening_mm), point)
    slope, right_wing, left_wing = _table_in_axes(many)
    P = tuple(point[:, None, axis] for axis in range(3))
    slid = tuple(t[axis] - opened[:, None, axis] for axis in range(3))
    lower, upper = bool(on_lower.any()), not on_lower.all()
    w = _back(base, slid)
    roots = []
    for sideways, wing in ((-1.0, right_wing), (1.0, left_wing)):
        n = (slope[:, None], sideways * wing[:, None], np.ones_like(slope)[:, None])
        parts = []
        if lower:
            parts.append(
                (
                    n[0] * w[0] + n[2] * w[2],
                    n[2] * w[0] - n[0] * w[2],
                    n[0] * P[0] + n[1] * P[1] + n[2] * P[2] + n[1] * w[1],
                )
            )
        if upper:
            nb = _back(base, n)
            parts.append(
                (
                    nb[0] * P[0] + nb[2] * P[2],
                    nb[0] * P[2] - nb[2] * P[0],
                    nb[1] * P[1] + n[0] * slid[0] + n[1] * slid[1] + n[2] * slid[2],
                )
            )
        A, B, C = (
            parts[0]
            if len(parts) == 1
            else (np.where(on_lower[:, None], low, up) for low, up in zip(*parts, strict=True))
        )
        turn, found = nearest_root(A, B, C)
        cos, sin = np.cos(turn), np.sin(turn)
        dy = _sideways(base, cos, sin, P) + slid[1] if upper else P[1] + w[1]
        if lower and upper:
            dy = np.where(on_lower[:, None], P[1] + w[1], dy)
        left_over = np.abs(A * cos + B * sin + C) / np.sqrt(n[0] ** 2 + n[1] ** 2 + n[2] ** 2)
        roots.append((turn, found, sideways * dy, left_over))
    (to_right, found_r, side_r, left_r), (to_left, found_l, side_l, left_l) = roots
    # A branch holds where the point has gone to its side. On the midline both do and agree.
    take_right = side_r >= side_l
    if not np.where(take_right, found_r, found_l).all():
        raise PinLeavesTable(
            "The guided point finds no place on the incisal table in this position. Enter less "
            "travel or a flatter table, or check incisal point and pin point.",
            field="incisal_table_deg",
            value=float(many.table_deg[0]),
        )
    return np.where(take_right, to_right, to_left), np.where(take_right, left_r, left_l)


def _back(base: Rows, v: Parts) -> Parts:
    """Vectors turned back by ``base``."""
    return tuple(base[0][i] * v[0] + base[1][i] * v[1] + base[2][i] * v[2] for i in range(3))


def _about_y(angle_rad: Array, point: Array) -> Array:
    """Points (draws, 3) turned about the hinge axis."""
    cos, sin = np.cos(angle_rad), np.sin(angle_rad)
    x, y, z = point.T
    return np.stack([cos * x + sin * z, y, cos * z - sin * x], axis=-1)


def _sideways(base: Rows, cos: Array, sin: Array, P: Parts) -> Array:
    """The y of points turned about the hinge axis and then by ``base``."""
    forward, upward = cos * P[0] + sin * P[2], cos * P[2] - sin * P[0]
    row = base[1]
    return np.asarray(row[0] * forward + row[1] * P[1] + row[2] * upward)


def _lateral_slope(angle_deg: Array, *, sagittal_deg: Array, tilt_deg: Array) -> Array:
    """Tangents of Bennett or wing angles in the axes (``frames.turn_lateral_deg``)."""
    sagittal = np.radians(sagittal_deg)
    scale = np.cos(sagittal) / np.cos(sagittal + np.radians(tilt_deg))
    slope = np.tan(np.radians(angle_deg))
    return np.asarray(np.where(tilt_deg == 0.0, slope, slope * scale))


def _table_in_axes(many: SettingsArrays) -> tuple[Array, Array, Array]:
    """Slopes (tangents) of table, right and left wing; refuses a table along the hinge arc."""
    sagittal = many.table_deg + many.tilt_deg
    along_arc = np.degrees(np.arctan2(many.guided_point_mm[:, 0], many.guided_point_mm[:, 2]))
    apart = np.abs((sagittal - along_arc + 90.0) % 180.0 - 90.0)
    bad = (apart < SINGULAR_MARGIN_DEG) | (np.abs(sagittal) > STEEPEST_DEG)
    if bad.any():
        first = int(np.argmax(bad))
        along = float(along_arc[first])
        raise PinLeavesTable(
            f"The incisal table stands at {sagittal[first]:g} deg, where the guided point swings "
            f"along {along:.1f} deg about the hinge axis. Keep the table at least "
            f"{SINGULAR_MARGIN_DEG:g} deg from that and below {STEEPEST_DEG:g} deg, or check the "
            "pin point.",
            field="incisal_table_deg",
            value=float(many.table_deg[first]),
            limit=round(along, 3),
        )
    right, left = (
        _lateral_slope(wing, sagittal_deg=many.table_deg, tilt_deg=many.tilt_deg)
        for wing in (many.wing_right_deg, many.wing_left_deg)
    )
    return np.tan(np.radians(sagittal)), right, left


def arc_slope_deg(*, x_mm: float, z_mm: float) -> float:
    """Slope on which a point swings about the hinge axis, as a table would read it.

    A point before and below the axis goes down and BACK as the jaw opens, along a slope
    that rises forward: more than 90 deg. A usual table, which falls forward, never lies
    along it; one for a point above the axis may.
    """
    return math.degrees(math.atan2(x_mm, z_mm))


def _check_slopes(*slopes_deg: Array) -> None:
    for slopes in slopes_deg:
        bad = np.abs(slopes) > STEEPEST_DEG
        if bad.any():
            slope = float(slopes[np.argmax(bad)])
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


def roll_and_yaw_rows(roll: Array, yaw: Array) -> Rows:
    """Rz(yaw) Rx(roll), entry by entry."""
    cr, sr, cy, sy = np.cos(roll), np.sin(roll), np.cos(yaw), np.sin(yaw)
    return ((cy, -sy * cr, sy * sr), (sy, cy * cr, -cy * sr), (np.zeros_like(cr), sr, cr))


def _wrapped(angle: Array) -> Array:
    """The same angle between -pi and pi."""
    return np.asarray((angle + np.pi) % (2.0 * np.pi) - np.pi)
