"""Two scans made ready for a check: read, registered, settled, seen as heights."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from occlusion.clearance.opposed import Facing, Opposed
from occlusion.ranges import EngineWarning
from occlusion.surfaces.heightfield import HeightField, height_field
from occlusion.surfaces.meshes import Mesh
from occlusion.surfaces.samples import INCLINES, Region, Samples, samples_of

POSTERIOR_MM = 12.0
"""Nearer to the midline a tooth has no buccal and lingual side to tell (common practice,
no source)."""

ROBUST_CELLS = 25
"""A surface of fewer cells is no scan of a tooth: its plain minimum is told."""


@dataclass(frozen=True)
class ScanPair:
    """Both arches in articulator axes, and what bringing them there has said."""

    lower: Mesh
    upper: Mesh
    vertical_sd_mm: dict[str, float]
    assumptions: tuple[str, ...]
    warnings: tuple[EngineWarning, ...]


def oppose(pair: ScanPair, *, regions: Sequence[Region] = (), pitch_mm: float = 0.1) -> Opposed:
    """Heights and samples of two scans.

    Parameters
    ----------
    pair : ScanPair
        Both arches.
    regions : sequence of Region
        Named places of the upper surface; without any it is one region, ``all``.
    pitch_mm : float
        Distance of the cells.
    """
    lower = height_field(pair.lower.triangles_mm, member="lower", pitch_mm=pitch_mm)
    upper = height_field(pair.upper.triangles_mm, member="upper", pitch_mm=pitch_mm)
    samples = samples_of(upper, regions=regions)
    names = samples.names
    return Opposed(
        facings=(Facing(lower, with_inclines(samples, upper, regions)),),
        material=dict.fromkeys(names, "denture"),
        robust=len(samples) > ROBUST_CELLS * len(names),
        vertical_sd_mm={name: pair.vertical_sd_mm.get(name, 0.0) for name in names},
        assumptions=(
            "The upper surface is taken as denture teeth, the lower as natural ones.",
            f"Surfaces are heights at every {pitch_mm:g} mm; what hangs under is filled up.",
            *pair.assumptions,
        ),
        warnings=pair.warnings,
    )


def with_inclines(samples: Samples, own: HeightField, regions: Sequence[Region]) -> Samples:
    """Say of each sample of a posterior region on which incline it lies.

    Buccal is the half away from the midline, mesial the half in front of the centre; inner
    is the slope that faces the fossa. Nearer to the midline nothing is told.
    """
    if not regions:
        return samples
    x, y = samples.points_mm[:, 0], samples.points_mm[:, 1]
    _z, _ok, _along_x, along_y = own.look_up(*own.cells(x, y))
    told = np.full(len(samples), -1, dtype=np.int16)
    for number, region in enumerate(regions):
        centre_x, centre_y = region.centre_mm
        if abs(centre_y) < POSTERIOR_MM:
            continue
        side = np.sign(centre_y)
        buccal = side * (y - centre_y) > 0
        # Towards a tip an upper surface falls, a lower one rises.
        falls_outward = side * along_y * (1.0 if samples.member == "upper" else -1.0) < 0
        inner = np.where(buccal, falls_outward, ~falls_outward)
        mesial = x > centre_x
        words = np.array(
            [INCLINES.index(_words(b, i, m)) for b in (0, 1) for i in (0, 1) for m in (0, 1)],
            dtype=np.int16,
        )
        code = 4 * buccal.astype(int) + 2 * inner.astype(int) + mesial.astype(int)
        mine = samples.region == number
        told[mine] = words[code[mine]]
    return replace(samples, incline=told)


def _words(buccal: int, inner: int, mesial: int) -> str:
    cusp = "buccal" if buccal else "lingual"
    return f"{cusp} {'inner' if inner else 'outer'} {'mesial' if mesial else 'distal'}"
