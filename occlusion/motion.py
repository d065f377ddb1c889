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
from occlusion.guidance import CondylarPaths, hinge_turn, roll_and_yaw_rows
from occlusion.ranges import check_hard
from occlusion.settings_arrays import SettingsArrays

BLOCK = 8192
"""Positions that are worked out at a time."""

_SHAPES: tuple[tuple[int, ...], ...] = ((4, 4), (), (), (), (), (3,), (3,), (3,))


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
    return _positions(
        SettingsArrays.of([settings]), excursion, np.array([1.0]), np.array([1.0]), flat=True
    ).at(0)


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
    several = SettingsArrays.of(
        [settings] if isinstance(settings, ArticulatorSettings) else settings
    )
    shifted, travelled = stages(settings=several, excursion=excursion, steps=steps)
    return _positions(
        several, excursion, shifted, travelled, flat=isinstance(settings, ArticulatorSettings)
    )


def stages(
    *, settings: Sequence[ArticulatorSettings], excursion: Excursion, steps: int
) -> tuple[Array, Array]:
    """Parts (0 to 1) of side shift and of travel that are done at each position.

    Parameters
    ----------
    settings : sequence of ArticulatorSettings
        The longest side shift among them says how many positions it takes.
    excursion, steps
        As of ``lower_positions``.
    """
    check_hard("steps", steps)
    shift_mm = _longest_shift_mm(SettingsArrays.of(settings), excursion)
    spacing = excursion.travel_mm / steps if excursion.travel_mm > 0 else shift_mm / steps
    first = min(math.ceil(shift_mm / spacing - 1e-9), 4 * steps) if shift_mm > 0 else 0
    shifted = np.concatenate([np.arange(first) / max(first, 1), np.ones(steps + 1)])
    travelled = np.concatenate([np.zeros(first), np.arange(steps + 1) / steps])
    return shifted, travelled


def positions_at(
    *,
    settings: Sequence[ArticulatorSettings],
    excursion: Excursion,
    shifted: Array,
    travelled: Array,
) -> LowerPositions:
    """Positions of many settings at given parts of side shift and travel, n of each."""
    return _positions(SettingsArrays.of(settings), excursion, shifted, travelled, flat=False)


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
    moved = frames.apply(frames.across(T, member), many) - many
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
    many: SettingsArrays, excursion: Excursion, shifted: Array, travelled: Array, *, flat: bool
) -> LowerPositions:
    """Positions at given parts (0 to 1) of side shift and travel."""
    if not len(many):
        raise NoSolution("No settings were given. Give at least one.", field="settings")
    shape = (len(many), len(travelled))
    arrays = [np.empty((*shape, *rest)) for rest in _SHAPES]
    arrays[0][..., 3, :] = (0.0, 0.0, 0.0, 1.0)
    # A block of draws fits the processor's cache: twice as fast as all of them at once.
    size = max(1, BLOCK // shape[1])
    for start in range(0, shape[0], size):
        block = slice(start, start + size)
        _fill(many[block], excursion, shifted, travelled, [array[block] for array in arrays])
    for array in arrays:
        array += 0.0  # without minus zeros
    return LowerPositions(*(_read_only(array[0] if flat else array) for array in arrays))


def _fill(
    many: SettingsArrays, excursion: Excursion, shifted: Array, travelled: Array, out: list[Array]
) -> None:
    """Write the positions of a block of draws."""
    paths = CondylarPaths.of(many, excursion)
    f = paths.advance_mm(excursion) * travelled
    done = (0.0 if paths.blend == 1.0 else paths.side_shift_mm) * shifted + 0.0 * f
    right, left = paths.condyles_mm(f, done + f * paths.bennett_slope)
    x, y, z = (
        (one - other) / (2.0 * paths.half_mm) for one, other in zip(left, right, strict=True)
    )
    base = roll_and_yaw_rows(np.arcsin(z), np.arctan2(-x, y))
    t = tuple((one + other) / 2.0 for one, other in zip(right, left, strict=True))
    turn, residual = hinge_turn(many, base, t)
    cos, sin = np.cos(turn), np.sin(turn)
    T, hinge, advance, shift, left_over, right_out, left_out, moved = out
    P = tuple(many.guided_point_mm[:, None, axis] for axis in range(3))
    for i in range(3):
        row = base[i]
        T[..., i, 0] = row[0] * cos - row[2] * sin
        T[..., i, 1] = row[1]
        T[..., i, 2] = row[0] * sin + row[2] * cos
        T[..., i, 3] = t[i]
        moved[..., i] = T[..., i, 0] * P[0] + T[..., i, 1] * P[1] + T[..., i, 2] * P[2] + t[i]
        right_out[..., i], left_out[..., i] = right[i], left[i]
    hinge[...] = np.degrees(turn)
    advance[...], shift[...], left_over[...] = f, done, residual


def _longest_shift_mm(many: SettingsArrays, excursion: Excursion) -> float:
    if excursion.is_protrusion or not len(many):
        return 0.0
    leader = many.shift_left_mm if excursion.kind == "right" else many.shift_right_mm
    return float(leader.max())


def _read_only(array: Array) -> Array:
    array.setflags(write=False)
    return array


def _triple(values: Array) -> tuple[float, float, float]:
    x, y, z = (float(value) for value in values)
    return (x, y, z)
