"""What stands in the way of all excursions together, and which denture tooth could yield."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from occlusion.clearance.model import Reduction
from occlusion.clearance.opposed import Facing, Opposed
from occlusion.clearance.paths import AskedExcursion, Path
from occlusion.frames import Array
from occlusion.surfaces.envelope import reduction_depths, swept_envelope
from occlusion.surfaces.samples import INCLINES

Mask = npt.NDArray[np.bool_]

NOTICED_MM = 0.005
"""A smaller depth is round-off of the surfaces."""


def reductions(
    asked: Sequence[AskedExcursion],
    paths: Sequence[Path],
    surfaces: Opposed,
    near: Sequence[Mask | None],
) -> tuple[Reduction, ...]:
    """Depth of each region, from the envelope that the other arch sweeps.

    The object of a depth is a denture tooth: that of the region, or else the denture tooth
    opposite. Where both are natural nothing is proposed and the place is named.

    ``near`` says for each facing which samples come near at all; None: look at all of them.
    """
    transforms = np.concatenate([path.transforms for path in paths])
    owner = np.repeat(np.arange(len(paths)), [len(path.transforms) for path in paths])
    found = []
    for whole, mask in zip(surfaces.facings, near, strict=True):
        facing = whole if mask is None else replace(whole, samples=whole.samples.taken(mask))
        if not len(facing.samples):
            continue
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
                    transform=transforms[position[deepest]],
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
    transform: Array,
) -> Reduction:
    x, y, z = (float(value) for value in facing.samples.points_mm[cell])
    place = surfaces.met(facing, cell, transform)
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
    field = surfaces.lower
    if field is None:
        return tuple(None for _ in probes_mm)
    transforms: Array = np.concatenate([path.transforms for path in paths])
    xy = np.asarray(probes_mm, dtype=float)
    start_z_mm = float(field.z_mm[field.inside].mean())
    heights, position = swept_envelope(field, xy, transforms, start_z_mm)
    return tuple(
        float(height) if where >= 0 else None
        for height, where in zip(heights, position, strict=True)
    )
