"""Two scans made ready for a check: read, registered, settled, seen as heights."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from occlusion.articulator import Member
from occlusion.clearance.opposed import Facing, Material, Opposed
from occlusion.errors import OutsideScan
from occlusion.frames import Array
from occlusion.ranges import EngineWarning
from occlusion.sources import cite
from occlusion.surfaces.gaps import FAR_MM, MOST_OUTSIDE, sample_gaps
from occlusion.surfaces.heightfield import HeightField, height_field, tilted_view
from occlusion.surfaces.meshes import Mesh
from occlusion.surfaces.samples import INCLINES, Region, Samples, samples_of
from occlusion.surfaces.undercut import undercut_share, undercut_warning
from occlusion.teeth import is_anterior, is_tooth

POSTERIOR_MM = 12.0
"""Nearer to the midline a tooth has no buccal and lingual side to tell (common practice,
no source)."""

TILT_DEG = 30.0
"""Lean of the axis that front teeth are seen along: their walls are too steep from above."""

_LOWER: Member = "lower"
_UPPER: Member = "upper"

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


def oppose(
    pair: ScanPair,
    *,
    regions: Sequence[Region] = (),
    pitch_mm: float = 0.1,
    upper_material: Material = "denture",
    lower_material: Material = "natural",
) -> Opposed:
    """Heights and samples of two scans.

    The upper scan carries the samples, unless only the lower one is a denture: then the lower
    does, so that regions and depths are those of teeth that could yield.

    Parameters
    ----------
    pair : ScanPair
        Both arches.
    regions : sequence of Region
        Named places of the surface that carries the samples; without any it is one region,
        ``all``.
    pitch_mm : float
        Distance of the cells.
    upper_material, lower_material : {"denture", "natural"}
        Of what the teeth of each scan are. A natural one is never the object of a depth.
    """
    looked: Member = (
        "lower" if (upper_material, lower_material) == ("natural", "denture") else "upper"
    )
    own = lower_material if looked == "lower" else upper_material
    front = [region for region in regions if _is_front(region.name)]
    back = [region for region in regions if not _is_front(region.name)]
    facings = [_facing(pair, looked, back, pitch_mm)] if back or not front else []
    if front:
        facings.append(_facing(pair, looked, front, pitch_mm, view=tilted_view(member="lower")))
    names = [name for facing in facings for name in facing.samples.names]
    cells = sum(len(facing.samples) for facing in facings)
    told = [
        f"The upper scan is of {upper_material} teeth, the lower of {lower_material} ones; what is "
        f"told is told of the {looked} teeth.",
        f"Surfaces are heights at every {pitch_mm:g} mm; what hangs under is filled up.",
    ]
    if front:
        told.append(
            f"Front regions ({', '.join(region.name for region in front)}) are looked at along an "
            f"axis that leans {TILT_DEG:g} deg to labial; their gaps are along that axis."
        )
    return Opposed(
        facings=tuple(facings),
        material=dict.fromkeys(names, own),
        robust=cells > ROBUST_CELLS * len(names),
        vertical_sd_mm={name: pair.vertical_sd_mm.get(name, 0.0) for name in names},
        assumptions=(*told, *pair.assumptions),
        warnings=(*pair.warnings, *_hidden(pair, facings)),
    )


def _is_front(name: str) -> bool:
    return is_tooth(name) and is_anterior(name)


def _facing(
    pair: ScanPair,
    looked: Member,
    regions: Sequence[Region],
    pitch_mm: float,
    *,
    view: Array | None = None,
) -> Facing:
    """Both scans seen along one axis: the lower from its end, the upper against it."""
    lower, upper = (
        height_field(mesh.triangles_mm, member=member, pitch_mm=pitch_mm, view=view)
        for mesh, member in ((pair.lower, _LOWER), (pair.upper, _UPPER))
    )
    carrier, field = (upper, lower) if looked == "upper" else (lower, upper)
    samples = samples_of(carrier, regions=regions)
    x, y = samples.points_mm[:, 0], samples.points_mm[:, 1]
    for region in regions:
        away = np.hypot(x - region.centre_mm[0], y - region.centre_mm[1])
        if not (away <= region.radius_mm).any():
            raise OutsideScan(
                f"Region {region.name} has nothing of the {looked} scan in it. Move its centre "
                "onto a tooth, or leave the region out.",
                field="regions",
                value=region.name,
            )
    return Facing(field, samples if view is not None else with_inclines(samples, carrier, regions))


def _hidden(pair: ScanPair, facings: Sequence[Facing]) -> list[EngineWarning]:
    """Warnings on undercuts, and on samples that lie beside the other scan where they stand."""
    hanging = undercut_warning(undercut_share(pair.lower.triangles_mm, facings[0].field))
    found = [hanging] if hanging is not None else []
    shut = np.eye(4)
    for facing in facings:
        samples = facing.samples
        counted = samples.region >= 0
        gaps = sample_gaps(facing.field, samples.points_mm, shut, member=samples.member)
        for number, name in enumerate(samples.names):
            mine = samples.region == number
            if mine.any() and bool((gaps[mine] >= FAR_MM).all()):
                raise OutsideScan(
                    f"Region {name} lies wholly beside the other scan. Scan that arch further, or "
                    "leave the region out.",
                    field="regions",
                    value=name,
                )
        share = float((gaps[counted] >= FAR_MM).mean()) if counted.any() else 0.0
        if share > MOST_OUTSIDE:
            found.append(
                EngineWarning(
                    "outside_scan",
                    f"{100 * share:.0f} % of the samples have nothing of the other scan "
                    "opposite and are left out. Scan further if teeth are among them.",
                    cite("practice"),
                )
            )
    return found


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
