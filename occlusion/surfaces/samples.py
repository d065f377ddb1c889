"""Points of one arch's surface, and the region and incline each belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from occlusion.articulator import Member
from occlusion.errors import BadRequest
from occlusion.ranges import check_hard
from occlusion.surfaces._raster import Array32
from occlusion.surfaces.heightfield import HeightField

Index = npt.NDArray[np.int16]

INCLINES: tuple[str, ...] = (
    "buccal outer mesial",
    "buccal outer distal",
    "buccal inner mesial",
    "buccal inner distal",
    "lingual inner mesial",
    "lingual inner distal",
    "lingual outer mesial",
    "lingual outer distal",
)
"""The inclines of a tooth, from the cheek inward: cusp, side of its tip, and half of the tooth."""


@dataclass(frozen=True)
class Samples:
    """Points of one arch's surface.

    Attributes
    ----------
    member : {"upper", "lower"}
        The member that carries them.
    points_mm : ndarray of float32, shape (m, 3)
        In articulator axes, at closed maximum intercuspation.
    region : ndarray of int16, shape (m,)
        Index into ``names``; -1 in none.
    names : tuple of str
        The regions: tooth numbers, or names that were given.
    incline : ndarray of int16, shape (m,)
        Index into ``INCLINES``; -1 not told.
    cell_mm2 : float
        Area over the plane that one sample stands for.
    """

    member: Member
    points_mm: Array32
    region: Index
    names: tuple[str, ...]
    incline: Index
    cell_mm2: float

    def __len__(self) -> int:
        return len(self.points_mm)

    def of(self, name: str) -> npt.NDArray[np.intp]:
        """Where the samples of a region stand.

        Raises
        ------
        BadRequest
            There is no region of this name.
        """
        if name not in self.names:
            raise BadRequest(
                f"There is no region {name!r}. Choose one of: {', '.join(self.names)}.",
                field="region",
                value=name,
                limit=list(self.names),
            )
        return np.flatnonzero(self.region == self.names.index(name))

    def taken(self, chosen: npt.NDArray[Any]) -> Samples:
        """Some of them, by a mask or by their places; the regions keep their numbers."""
        return replace(
            self,
            points_mm=self.points_mm[chosen],
            region=self.region[chosen],
            incline=self.incline[chosen],
        )


@dataclass(frozen=True)
class Region:
    """A named place on an arch: everything within a radius seen from above."""

    name: str
    centre_mm: tuple[float, float]
    radius_mm: float


def samples_of(field: HeightField, *, regions: Sequence[Region] = (), name: str = "all") -> Samples:
    """Every cell of a field as a sample.

    Parameters
    ----------
    field : HeightField
        The arch that carries the samples.
    regions : sequence of Region, optional
        In x and y of the articulator. A sample within several belongs to the one with the
        nearest centre. Without any, all samples are in one region.
    name : str
        Name of that one region.

    Returns
    -------
    Samples
        In articulator axes also where the field has a tilted view; no incline is told.

    Raises
    ------
    BadRequest
        Two regions have one name.
    NotANumber, OutOfRange
        A region is nowhere or has no size.
    """
    points = field.nodes_mm() @ field.view
    names = tuple(region.name for region in regions) or (name,)
    if len(set(names)) < len(names):
        raise BadRequest(
            f"Two regions have one name: {', '.join(names)}. Name each region once.",
            field="regions",
            value=list(names),
        )
    for region in regions:
        for value in region.centre_mm:
            check_hard("coordinate_mm", value, field="regions.centre_mm")
        check_hard("region_radius_mm", region.radius_mm, field="regions.radius_mm")
    everywhere = np.zeros(len(points), dtype=np.int16)
    number = _nearest(points[:, 0], points[:, 1], regions) if regions else everywhere
    return Samples(
        member=field.member,
        points_mm=points.astype(np.float32),
        region=number,
        names=names,
        incline=np.full(len(points), -1, dtype=np.int16),
        cell_mm2=field.pitch_mm**2,
    )


def _nearest(
    x_mm: npt.NDArray[np.float64], y_mm: npt.NDArray[np.float64], regions: Sequence[Region]
) -> Index:
    """For each place the region with the nearest centre among those it is in, else -1."""
    best = np.full(len(x_mm), np.inf)
    number = np.full(len(x_mm), -1, dtype=np.int16)
    for which, region in enumerate(regions):
        away = np.hypot(x_mm - region.centre_mm[0], y_mm - region.centre_mm[1])
        closer = (away <= region.radius_mm) & (away < best)
        best[closer] = away[closer]
        number[closer] = which
    return number
