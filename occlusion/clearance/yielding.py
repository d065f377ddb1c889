"""What stands in the way of all excursions together, and which denture tooth could yield."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from occlusion.clearance.model import Reduction
from occlusion.clearance.opposed import Facing, Opposed, other
from occlusion.clearance.paths import AskedExcursion, Path
from occlusion.frames import Array
from occlusion.surfaces.envelope import reduction_depths, swept_envelope
from occlusion.surfaces.samples import INCLINES

NOTICED_MM = 0.005
"""A smaller depth is round-off of the surfaces."""


def reductions(
    asked: Sequence[AskedExcursion], paths: Sequence[Path], surfaces: Opposed
) -> tuple[Reduction, ...]:
    """Depth of each region, from the envelope that the other arch sweeps.

    The object of a depth is a denture tooth: that of the region, or else the denture tooth
    opposite. Where both are natural nothing is proposed and the place is named.
    """
    transforms = np.concatenate([path.transforms for path in paths])
    owner = np.repeat(np.arange(len(paths)), [len(path.transforms) for path in paths])
    found = []
    for facing in surfaces.facings:
        found_depths = reduction_depths(facing.field, facing.samples, transforms)
        vertical, position = found_depths.depth_mm, found_depths.position
        for region, name in enumerate(facing.samples.names):
            cells = np.flatnonzero(facing.samples.region == region)
            if not cells.size:
                continue
            deepest = int(cells[np.argmax(vertical[cells])])
            depth = float(vertical[deepest])
            if depth < NOTICED_MM:
                continue
            found.append(
                _reduction(
                    name=name,
                    surfaces=surfaces,
                    facing=facing,
                    cell=deepest,
                    vertical=depth,
                    normal=float(found_depths.normal_mm[deepest]),
                    asked=asked[int(owner[position[deepest]])],
                )
            )
    return tuple(found)


def _reduction(
    *,
    name: str,
    surfaces: Opposed,
    facing: Facing,
    cell: int,
    vertical: float,
    normal: float,
    asked: AskedExcursion,
) -> Reduction:
    x, y, z = (float(value) for value in facing.samples.points_mm[cell])
    place = surfaces.place_at(other(facing.samples.member), x, y)
    own = surfaces.material.get(name) == "denture"
    opposite = place is not None and surfaces.material.get(place) == "denture"
    incline = int(facing.samples.incline[cell])
    return Reduction(
        name=name,
        object=name if own else place if opposite else None,
        vertical_mm=vertical,
        normal_mm=normal,
        incline=INCLINES[incline] if own and incline >= 0 else None,
        at_mm=(x, y, z),
        place=place,
        excursion=asked.kind,
    )


def envelope_heights(
    paths: Sequence[Path], surfaces: Opposed, probes_mm: Sequence[tuple[float, float]]
) -> tuple[float | None, ...]:
    """Height that the lower surface sweeps above each probe, None where it never comes."""
    if not probes_mm:
        return ()
    field = next(
        facing.field if facing.field.member == "lower" else facing.own
        for facing in surfaces.facings
    )
    transforms: Array = np.concatenate([path.transforms for path in paths])
    xy = np.asarray(probes_mm, dtype=float)
    z, reached = field.at(xy[:, 0], xy[:, 1])
    start = np.where(reached, z, float(field.z_mm[field.inside].mean()))
    heights, position = swept_envelope(field, xy, transforms, start)
    return tuple(
        float(height) if where >= 0 else None
        for height, where in zip(heights, position, strict=True)
    )
