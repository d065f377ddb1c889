"""How the lower member moves: two condylar paths, a guided point, a rigid body.

Closed form, no iteration. With W half the intercondylar distance, f the advance of the
leading (balancing) condyle and k the blend, the two condyles are placed on their paths
at the fixed distance 2W; the remaining turn about the line between them is the root
nearest to 0 of A cos a + B sin a + C = 0, which puts the guided point on its table. The
table turns with the lower member or is fixed to the upper one. All of it works on whole
arrays of travels, and on many settings at once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any, overload

import numpy as np

from occlusion import frames
from occlusion.articulator import ArticulatorSettings, Excursion, Member
from occlusion.errors import NoSolution
from occlusion.frames import Array
from occlusion.guidance import CondylarPaths, hinge_turn, roll_and_yaw
from occlusion.ranges import check_hard


@dataclass(frozen=True)
class LowerPositions:
    """Positions of the lower member along one excursion, n of them.

    With many settings at once every array has one leading axis more.

    Attributes
    ----------
    transforms : ndarray, shape (n, 4, 4)
        Carry a lower point from closed maximum intercuspation to where it goes.
    hinge_deg : ndarray, shape (n,)
        Turn about the line between the condyles, after roll and yaw; positive opens.
    advance_mm, side_shift_mm : ndarray, shape (n,)
        Advance of the leading condyle, and how much of its immediate side shift is done.
    pin_residual_mm : ndarray, shape (n,)
        Distance of the guided point from its table; round-off only.
    condyle_right_mm, condyle_left_mm, pin_point_mm : ndarray, shape (n, 3)
        Where the condyles and the guided point of the lower member stand.
    """

    transforms: Array
    hinge_deg: Array
    advance_mm: Array
    side_shift_mm: Array
    pin_residual_mm: Array
    condyle_right_mm: Array
    condyle_left_mm: Array
    pin_point_mm: Array

    def __len__(self) -> int:
        return int(self.advance_mm.shape[-1])

    def of(self, draw: int) -> LowerPositions:
        """The positions of one of many settings."""
        return LowerPositions(*(getattr(self, one.name)[draw] for one in fields(self)))

    def at(self, index: int) -> LowerPosition:
        """One of the positions (of a single set of settings)."""
        return LowerPosition(
            transform=self.transforms[index],
            hinge_deg=float(self.hinge_deg[index]),
            advance_mm=float(self.advance_mm[index]),
            side_shift_mm=float(self.side_shift_mm[index]),
            pin_residual_mm=float(self.pin_residual_mm[index]),
            condyle_right_mm=_triple(self.condyle_right_mm[index]),
            condyle_left_mm=_triple(self.condyle_left_mm[index]),
            pin_point_mm=_triple(self.pin_point_mm[index]),
        )


@dataclass(frozen=True)
class LowerPosition:
    """One position of the lower member; the fields are those of ``LowerPositions``."""

    transform: Array
    hinge_deg: float
    advance_mm: float
    side_shift_mm: float
    pin_residual_mm: float
    condyle_right_mm: tuple[float, float, float]
    condyle_left_mm: tuple[float, float, float]
    pin_point_mm: tuple[float, float, float]


def lower_position(*, settings: ArticulatorSettings, excursion: Excursion) -> LowerPosition:
    """Where the lower member stands at the end of an excursion.

    Parameters
    ----------
    settings : ArticulatorSettings
        The articulator.
    excursion : Excursion
        A lateral one has its whole immediate side shift done, also at travel 0.

    Raises
    ------
    CondyleOutOfPath, ImpossibleGeometry, PinLeavesTable, PinUnreachable
    """
    return _positions([settings], excursion, np.array([1.0]), np.array([1.0]), flat=True).at(0)


@overload
def lower_positions(
    *, settings: ArticulatorSettings, excursion: Excursion, steps: int = 60
) -> LowerPositions: ...
@overload
def lower_positions(
    *, settings: Sequence[ArticulatorSettings], excursion: Excursion, steps: int = 60
) -> LowerPositions: ...
def lower_positions(
    *,
    settings: ArticulatorSettings | Sequence[ArticulatorSettings],
    excursion: Excursion,
    steps: int = 60,
) -> LowerPositions:
    """Positions from maximum intercuspation to the end of an excursion.

    The immediate side shift is a stage of its own: it is done at advance 0 before the
    condyle travels, because a sweep that starts with it done misses the way there.

    Parameters
    ----------
    settings : ArticulatorSettings, or a sequence of them
        A sequence gives every array of the result a leading axis.
    excursion : Excursion
        The movement, up to its whole travel.
    steps : int
        Steps of the travel: ``steps + 1`` positions with both ends, after as many of the
        side shift as its length asks for at the same spacing.

    Raises
    ------
    CondyleOutOfPath, ImpossibleGeometry, PinLeavesTable, PinUnreachable
    """
    check_hard("steps", steps)
    several = [settings] if isinstance(settings, ArticulatorSettings) else list(settings)
    shift_mm = max((_side_shift_mm(one, excursion) for one in several), default=0.0)
    spacing = excursion.travel_mm / steps if excursion.travel_mm > 0 else shift_mm / steps
    first = min(math.ceil(shift_mm / spacing - 1e-9), 4 * steps) if shift_mm > 0 else 0
    shifted = np.concatenate([np.arange(first) / max(first, 1), np.ones(steps + 1)])
    travelled = np.concatenate([np.zeros(first), np.arange(steps + 1) / steps])
    return _positions(
        several, excursion, shifted, travelled, flat=isinstance(settings, ArticulatorSettings)
    )


def landmark_movement(
    positions: LowerPositions | LowerPosition, points_mm: Any, *, member: Member = "lower"
) -> Array:
    """How far points move.

    Parameters
    ----------
    positions : LowerPositions or LowerPosition
        Where the lower member stands.
    points_mm : array_like, shape (m, 3) or (3,)
        In articulator axes, at closed maximum intercuspation.
    member : {"lower", "upper"}
        A lower point moves with the lower member, R p + t - p. An upper point is seen
        from the lower member, R^T (p - t) - p.

    Returns
    -------
    ndarray, shape (..., m, 3) or (..., 3)
    """
    T = positions.transform if isinstance(positions, LowerPosition) else positions.transforms
    points = np.asarray(points_mm, dtype=float)
    many = np.atleast_2d(points)
    moved = frames.apply(frames.inverse(T) if member == "upper" else T, many) - many
    return np.asarray(moved[..., 0, :] if points.ndim == 1 else moved)


def path_angle_deg(movement_mm: Any) -> Array:
    """Angle of a movement below the horizontal, atan(-dz / hypot(dx, dy)), in degrees."""
    movement = np.asarray(movement_mm, dtype=float)
    across = np.hypot(movement[..., 0], movement[..., 1])
    return np.asarray(np.degrees(np.arctan2(-movement[..., 2], across)))


def facet_gap_mm(movement_mm: Any, facet_deg: Any) -> Array:
    """Gap that a movement opens over a facet of this slope: drop minus across x tan(facet).

    The quantity that hobo_takayama_1997 gives for the first molar, at 3 mm along the path.

    Parameters
    ----------
    movement_mm : array_like, shape (..., 3)
        Movement of a lower point that touched its facet at the start.
    facet_deg : array_like
        Slope of the facet along the movement. A negative gap is an interference.
    """
    movement = np.asarray(movement_mm, dtype=float)
    across = np.hypot(movement[..., 0], movement[..., 1])
    return np.asarray(-movement[..., 2] - across * np.tan(np.radians(facet_deg)))


def leading_advance_mm(*, settings: ArticulatorSettings, excursion: Excursion) -> float:
    """Forward advance of the leading condyle at the end of an excursion."""
    return float(CondylarPaths.of([settings], excursion).advance_mm(excursion)[0, 0])


def _positions(
    several: Sequence[ArticulatorSettings],
    excursion: Excursion,
    shifted: Array,
    travelled: Array,
    *,
    flat: bool,
) -> LowerPositions:
    """Positions at given parts (0 to 1) of side shift and travel."""
    if not several:
        raise NoSolution("No settings were given. Give at least one.", field="settings")
    paths = CondylarPaths.of(several, excursion)
    f = paths.advance_mm(excursion) * travelled
    done = (0.0 if paths.blend == 1.0 else paths.side_shift_mm) * shifted + 0.0 * f
    right, left = paths.condyles_mm(f, done + f * paths.bennett_slope)
    across = (left - right) / (2.0 * paths.half_mm[..., None])
    roll, yaw = np.arcsin(across[..., 2]), np.arctan2(-across[..., 0], across[..., 1])
    base = roll_and_yaw(roll, yaw)
    t = (right + left) / 2.0
    turn, residual = hinge_turn(several, base, t)
    R = base @ frames.about_y(turn)
    guided = np.array([one.guided_point_mm for one in several], dtype=float)[:, None, :]
    moved = np.einsum("...ij,...j->...i", R, np.broadcast_to(guided, t.shape)) + t
    arrays = (
        frames.transform(R, t),
        np.degrees(turn),
        f,
        done,
        residual,
        right,
        left,
        moved,
    )
    return LowerPositions(*(_read_only(array[0] if flat else array) for array in arrays))


def _side_shift_mm(settings: ArticulatorSettings, excursion: Excursion) -> float:
    if excursion.is_protrusion:
        return 0.0
    leader = settings.left if excursion.kind == "right" else settings.right
    return leader.immediate_side_shift_mm


def _read_only(array: Array) -> Array:
    array = np.ascontiguousarray(array) + 0.0  # without minus zeros
    array.setflags(write=False)
    return array


def _triple(values: Array) -> tuple[float, float, float]:
    x, y, z = (float(value) for value in values)
    return (x, y, z)
