"""Gaps between one arch's samples and the other arch's field, by looking up.

Nothing is rastered again: for each position of the lower member the samples are carried into
the axes of the field and its height is read there. Vertical is the vertical of the field: the
lower member's own while it moves, which differs from the upper's by its tilt of a degree or
two. A negative gap is an interference of that depth.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from occlusion.articulator import Member
from occlusion.frames import Array
from occlusion.ranges import check_hard
from occlusion.surfaces._carry import SAMPLES_AT_ONCE, Carried, carried, in_cells
from occlusion.surfaces._raster import Array32, Mask
from occlusion.surfaces.heightfield import HeightField, cos_of
from occlusion.surfaces.samples import Samples

FAR_MM = 99.0
"""Stands where a sample looks up nothing."""

LOWEST_CELLS = 25
"""Samples behind a robust minimum. The least of thousands of noisy gaps lies below the true one
by several times the noise; the mean of this many does not (computed on noisy surfaces)."""

MOST_OUTSIDE = 0.02
"""More of the samples beside the other scan than this is refused (common practice, no source)."""

Which = npt.NDArray[np.intp]


@dataclass(frozen=True)
class GapMaps:
    """Gaps of m samples at n positions.

    Attributes
    ----------
    gap_mm : ndarray of float32, shape (n, m)
        Along the vertical of the field; ``FAR_MM`` where the sample looks up nothing.
    normal_mm : ndarray of float32, shape (n, m)
        The same times the cosine of the opposing surface's slope at the foot. Good where the gap
        is small beside the shape: not across embrasures, not on walls steeper than 70 deg.
    outside : ndarray of bool, shape (n, m)
        Where the sample looks up nothing.
    """

    gap_mm: Array32
    normal_mm: Array32
    outside: Mask


def gap_maps(field: HeightField, samples: Samples, transforms: npt.ArrayLike) -> GapMaps:
    """Gaps of all samples at all positions.

    Parameters
    ----------
    field : HeightField
        The opposing arch.
    samples : Samples
        Of the other member.
    transforms : array_like, shape (n, 4, 4)
        Positions of the lower member, as ``occlusion.motion.lower_positions`` gives them.

    Returns
    -------
    GapMaps

    Raises
    ------
    BadRequest, NotANumber, ImpossibleGeometry
    """
    way = carried(field, samples.points_mm, transforms, member=samples.member)
    shape = (len(way.b), len(samples))
    gap, normal = np.empty(shape, np.float32), np.empty(shape, np.float32)
    outside = np.empty(shape, bool)
    _look(field, way, gap, normal, outside)
    return GapMaps(gap, normal, outside)


def vertical_maps(field: HeightField, samples: Samples, transforms: npt.ArrayLike) -> GapMaps:
    """As ``gap_maps``, with the vertical gaps in the place of the normal ones too.

    Cheaper where normal gaps are asked for at a few places only, and more exactly than by slope.
    """
    gaps = sample_gaps(field, samples.points_mm, transforms, member=samples.member)
    return GapMaps(gaps, gaps, gaps >= FAR_MM)


def sample_gaps(
    field: HeightField, points_mm: npt.ArrayLike, transforms: npt.ArrayLike, *, member: Member
) -> Array32:
    """The bare look-up of some points at any number of positions.

    Parameters
    ----------
    field : HeightField
        The opposing arch.
    points_mm : array_like, shape (m, 3)
        In articulator axes.
    transforms : array_like, shape (..., 4, 4)
        Positions of the lower member.
    member : {"upper", "lower"}
        The member that carries the points.

    Returns
    -------
    ndarray of float32, shape (..., m)
        Gaps along the vertical of the field, ``FAR_MM`` where nothing is looked up.

    Raises
    ------
    BadRequest, NotANumber, ImpossibleGeometry
    """
    T = np.asarray(transforms, dtype=float)
    way = carried(field, points_mm, T.reshape(-1, *T.shape[-2:]), member=member)
    gap = np.empty((len(way.b), len(way.points_mm)), np.float32)
    _look(field, way, gap, None, None)
    return gap.reshape(*T.shape[:-2], len(way.points_mm))


def minima(maps: GapMaps, samples: Samples) -> tuple[Array32, Which]:
    """The least gap of each region at each position.

    Returns
    -------
    tuple of ndarray, shapes (n, regions)
        Gaps in mm, and the sample that has each; ``FAR_MM`` and -1 where a region has none.
    """
    least = np.full((len(maps.gap_mm), len(samples.names)), FAR_MM, dtype=np.float32)
    at = np.full(least.shape, -1, dtype=np.intp)
    for region, those in _regions(samples):
        gaps = maps.gap_mm[:, those]
        lowest = gaps.argmin(axis=1)
        least[:, region] = np.take_along_axis(gaps, lowest[:, None], axis=1)[:, 0]
        at[:, region] = np.where(least[:, region] < FAR_MM, those[lowest], -1)
    return least, at


def robust_minima(maps: GapMaps, samples: Samples, *, lowest: int = LOWEST_CELLS) -> Array32:
    """Mean of the lowest gaps of each region at each position, shape (n, regions).

    For scans, whose noise pulls the least gap down. Noise-free it reads about 0.01 mm above
    the minimum at a pitch of 0.1 mm. ``FAR_MM`` where a region looks up nothing.
    """
    found = np.full((len(maps.gap_mm), len(samples.names)), FAR_MM, dtype=np.float32)
    for region, those in _regions(samples):
        gaps = maps.gap_mm[:, those]
        few = min(lowest, len(those))
        gaps = np.partition(gaps, few - 1, axis=1)[:, :few]
        near = gaps < FAR_MM
        count = near.sum(axis=1)
        mean = np.where(near, gaps, 0.0).sum(axis=1) / np.maximum(count, 1)
        found[:, region] = np.where(count > 0, mean, FAR_MM)
    return found


def contact_area_mm2(maps: GapMaps, samples: Samples, band_mm: float) -> Array:
    """Area over the plane where the gap is within a band or negative, shape (n, regions).

    Raises
    ------
    NotANumber, OutOfRange
    """
    band_mm = check_hard("band_mm", band_mm)
    area = np.zeros((len(maps.gap_mm), len(samples.names)))
    for region, those in _regions(samples):
        area[:, region] = (maps.gap_mm[:, those] <= band_mm).sum(axis=1) * samples.cell_mm2
    return area


def _look(
    field: HeightField,
    way: Carried,
    gap: Array32,
    normal: Array32 | None,
    outside: Mask | None,
) -> None:
    """Fill in the gaps, and what else is asked for, one block at a time.

    A block is many samples at one position, or few at as many positions as make up the size.
    """
    sign, far = np.float32(field.sign), np.float32(FAR_MM)
    for start in range(0, len(way.points_mm), SAMPLES_AT_ONCE):
        block = way.points_mm[start : start + SAMPLES_AT_ONCE]
        those = slice(start, start + len(block))
        middle = block.mean(axis=0)
        near = np.ascontiguousarray((block - middle).T, dtype=np.float32)
        A, c = in_cells(field, way, middle)
        together = max(1, SAMPLES_AT_ONCE // len(block))
        for first in range(0, len(A), together):
            at = slice(first, first + together)
            u, v, z = (A[at] @ near + c[at]).transpose(1, 0, 2)
            height, ok, along_x, along_y = field.look_up(u, v, slopes=normal is not None)
            vertical = (z - height) * sign
            if normal is not None:
                normal[at, those] = np.where(ok, vertical * cos_of(along_x, along_y), far)
            if outside is not None:
                np.logical_not(ok, out=outside[at, those])
            gap[at, those] = np.where(ok, vertical, far)


def _regions(samples: Samples) -> list[tuple[int, Which]]:
    """The regions that have samples, with the places of these."""
    order = np.argsort(samples.region, kind="stable")
    number, first = np.unique(samples.region[order], return_index=True)
    return [
        (int(region), those)
        for region, those in zip(number, np.split(order, first[1:]), strict=True)
        if region >= 0
    ]
