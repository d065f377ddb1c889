"""What one arch sweeps while the lower member moves, and how far the other reaches into it.

Along the vertical line through each sample the height of the moved field is found by going
back and forth between line and field: z <- (L(x(z), y(z)) - b) / R_zz. Each step shrinks the
error by tan(slope) x tilt, a tenth or less, so four steps settle it; following the slope
instead runs away at cliffs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from occlusion import motion
from occlusion.articulator import Along, ArticulatorSettings, Excursion, Kind, Member
from occlusion.frames import Array
from occlusion.surfaces._carry import SAMPLES_AT_ONCE, Carried, carried, in_cells
from occlusion.surfaces._raster import Array32
from occlusion.surfaces.gaps import sample_gaps
from occlusion.surfaces.heightfield import HeightField
from occlusion.surfaces.samples import Samples

ROUNDS = 4
"""Steps from the line to the field and back."""

BLENDS = (0.25, 0.5, 0.75)
"""Blends between a lateral excursion and protrusion, on each side: what they reach neither of
the two reaches."""

STEPS = 30
"""Steps of an excursion in a fan: the envelope of 30 misses 0.005 mm of that of 1,000 at most
(computed on cusps of 20 deg)."""

POSITIONS_AT_ONCE = 32
"""Positions whose gaps are held together while samples without a depth are sorted out."""

ROUND_OFF_MM = 1e-3
"""Gaps below this are looked at again along the other member's vertical."""

Which = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Reduction:
    """How far each of m samples reaches into what the other arch sweeps.

    Attributes
    ----------
    depth_mm, normal_mm : ndarray of float32, shape (m,)
        Along the vertical of the field, and square to the swept surface; never negative.
    position : ndarray, shape (m,)
        The position that asks for it; -1 where none does.
    """

    depth_mm: Array32
    normal_mm: Array32
    position: Which


def swept_envelope(
    field: HeightField,
    xy_mm: npt.ArrayLike,
    transforms: npt.ArrayLike,
    start_z_mm: npt.ArrayLike,
) -> tuple[Array32, Which]:
    """The extreme heights that the moving field reaches over some places.

    Parameters
    ----------
    field : HeightField
        A lower field sweeps with the lower member and its highest reach is kept. An upper field
        sweeps as the lower member sees it, and its lowest reach is kept.
    xy_mm : array_like, shape (m, 2)
        Places in the axes of the view, in the member that stands.
    transforms : array_like, shape (n, 4, 4)
        Positions of the lower member.
    start_z_mm : array_like, shape (m,) or ()
        Where to start on each line: heights near which the field is expected.

    Returns
    -------
    tuple of ndarray, shapes (m,)
        Heights in mm in the axes of the view, and the position that made each; nan and -1
        where no position brings the field there.

    Raises
    ------
    NotANumber, ImpossibleGeometry
        A position is no rigid movement.
    """
    xy = np.asarray(xy_mm, dtype=float).reshape(-1, 2)
    z = np.broadcast_to(np.asarray(start_z_mm, dtype=float), len(xy))
    standing: Member = "upper" if field.member == "lower" else "lower"
    points = np.column_stack([xy, z]) @ field.view
    return _swept(field, carried(field, points, transforms, member=standing))


def reduction_depths(field: HeightField, samples: Samples, transforms: npt.ArrayLike) -> Reduction:
    """How deep each sample stands in what the other arch sweeps: what would have to go.

    Parameters
    ----------
    field : HeightField
        The opposing arch.
    samples : Samples
        Of the arch that would be reduced.
    transforms : array_like, shape (n, 4, 4)
        Positions of the lower member.

    Raises
    ------
    BadRequest, NotANumber, ImpossibleGeometry
    """
    depth, normal = (np.zeros(len(samples), dtype=np.float32) for _ in range(2))
    asks = np.full(len(samples), -1, dtype=np.intp)
    those = _ever_inside(field, samples, transforms)
    way = carried(field, samples.points_mm[those], transforms, member=samples.member)
    height, position = _swept(field, way)
    deep = field.sign * (height - way.points_mm[:, 2])
    deep = np.where(position >= 0, np.maximum(deep, 0.0), 0.0)
    depth[those], normal[those] = deep, deep * _square_to(field, way, height, position)
    asks[those] = np.where(deep > 0.0, position, -1)
    return Reduction(depth, normal, asks)


def fan_excursions(
    *, travel_mm: Mapping[Kind, float] | float, travel_along: Along
) -> tuple[Excursion, ...]:
    """Protrusion, both lateral excursions, and the blends between them, nine in all.

    Parameters
    ----------
    travel_mm : float, or a mapping of "protrusive", "right" and "left" to one
        How far the leading condyle travels. A blend travels in between.
    travel_along : {"horizontal", "path"}
        What the travel is measured along.

    Returns
    -------
    tuple of Excursion
        Protrusive; right and its blends of .25, .5, .75; left and its blends.
    """
    kinds: tuple[Kind, ...] = ("protrusive", "right", "left")
    ways = travel_mm if isinstance(travel_mm, Mapping) else dict.fromkeys(kinds, travel_mm)
    blended = [
        Excursion(
            kind=kind,
            blend=blend,
            travel_mm=(1.0 - blend) * ways[kind] + blend * ways["protrusive"],
            travel_along=travel_along,
        )
        for kind in kinds[1:]
        for blend in (0.0, *BLENDS)
    ]
    protrusion = Excursion(
        kind="protrusive", travel_mm=ways["protrusive"], travel_along=travel_along
    )
    return (protrusion, *blended)


def fan(
    settings: ArticulatorSettings,
    *,
    travel_mm: Mapping[Kind, float] | float,
    travel_along: Along,
    steps: int = STEPS,
) -> Array:
    """Every position of the fan of excursions, one excursion after the other.

    The immediate side shift is a stage of its own before each lateral travel.

    Parameters
    ----------
    settings : ArticulatorSettings
        The articulator.
    travel_mm, travel_along
        As for ``fan_excursions``.
    steps : int
        Steps of each travel.

    Returns
    -------
    ndarray, shape (n, 4, 4)

    Raises
    ------
    CondyleOutOfPath, ImpossibleGeometry, PinLeavesTable, PinUnreachable
    """
    excursions = fan_excursions(travel_mm=travel_mm, travel_along=travel_along)
    return np.concatenate(
        [path.transforms for path in fan_paths(settings, excursions, steps=steps)]
    )


def fan_paths(
    settings: ArticulatorSettings, excursions: Sequence[Excursion], *, steps: int = STEPS
) -> tuple[motion.LowerPositions, ...]:
    """The positions of each excursion, as ``fan`` puts them one after the other."""
    return tuple(
        motion.lower_positions(settings=settings, excursion=excursion, steps=steps)
        for excursion in excursions
    )


def _ever_inside(field: HeightField, samples: Samples, transforms: npt.ArrayLike) -> Which:
    """The samples that the other arch reaches at some position: only these have a depth."""
    T = np.asarray(transforms, dtype=float).reshape(-1, 4, 4)
    lowest = np.full(len(samples), np.inf, dtype=np.float32)
    for start in range(0, len(T), POSITIONS_AT_ONCE):
        some = T[start : start + POSITIONS_AT_ONCE]
        gaps = sample_gaps(field, samples.points_mm, some, member=samples.member)
        np.minimum(lowest, gaps.min(axis=0), out=lowest)
    return np.flatnonzero(lowest <= ROUND_OFF_MM)


def _swept(field: HeightField, way: Carried) -> tuple[Array32, Which]:
    """The extreme reach over each sample, as height in the axes of the view, and its position."""
    sign = np.float32(field.sign)
    height = np.full(len(way.points_mm), np.nan, dtype=np.float32)
    position = np.full(len(way.points_mm), -1, dtype=np.intp)
    for start in range(0, len(way.points_mm), SAMPLES_AT_ONCE):
        block = way.points_mm[start : start + SAMPLES_AT_ONCE]
        middle = block.mean(axis=0)
        x, y, first = np.ascontiguousarray((block - middle).T, dtype=np.float32)
        best = np.full(len(block), -np.inf, dtype=np.float32)
        made = np.full(len(block), -1, dtype=np.intp)
        for number, (A, c) in enumerate(zip(*in_cells(field, way, middle), strict=True)):
            u0, v0, w0 = A[:, :1] * x + A[:, 1:2] * y + c
            z = first
            for _ in range(ROUNDS):
                surface, ok, _x, _y = field.look_up(
                    u0 + A[0, 2] * z, v0 + A[1, 2] * z, slopes=False
                )
                z = (surface - w0) / A[2, 2]
            reach = np.where(ok, sign * z, -np.inf)
            higher = reach > best
            best[higher] = reach[higher]
            made[higher] = number
        some = made >= 0
        height[start : start + len(block)][some] = sign * best[some] + np.float32(middle[2])
        position[start : start + len(block)] = made
    return height, position


def _square_to(field: HeightField, way: Carried, height: Array32, position: Which) -> Array:
    """Cosine between the vertical of the samples and the normal of what swept over them."""
    cosines = np.ones(len(position))
    those = np.flatnonzero(position >= 0)
    A, b = way.A[position[those]], way.b[position[those]]
    points = way.points_mm[those].copy()
    points[:, 2] = height[those]
    q = np.einsum("mij,mj->mi", A, points) + b
    _z, _ok, along_x, along_y = field.look_up(*field.cells(q[:, 0], q[:, 1]))
    normal = np.column_stack([-along_x, -along_y, np.ones(len(those))])
    lifted = np.einsum("mij,mi->mj", A, normal)[:, 2]
    cosines[those] = lifted / np.linalg.norm(normal, axis=1)
    return cosines
