"""Rise of the pin on whole surfaces: which tooth holds it off its table, and by how much.

The lower member is opened about the hinge axis until nothing of the two surfaces overlaps any
more; the rise is the drop of its pin point. The flat-rim form of the same question is
``occlusion.pin.pin_rise``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from occlusion import frames
from occlusion.errors import ImpossibleGeometry, NoSolution
from occlusion.frames import Array
from occlusion.guidance import opening_rad
from occlusion.pin import Point
from occlusion.ranges import LIMITS, EngineWarning, check_point, usual
from occlusion.surfaces.gaps import FAR_MM, gap_maps, sample_gaps
from occlusion.surfaces.heightfield import HeightField
from occlusion.surfaces.samples import Samples

TOUCHING_MM = 1e-5
"""A least gap within this of zero is a touch; heights are kept to about half of it."""

USUAL_ROUNDS, MOST_ROUNDS = 12, 60
"""Rounds by the ratio of distances, of which eight are usual; then halving, which takes thirty."""

MOST_OPENING_MM = LIMITS["pin_opening_mm"].hard_high
"""The search goes no further."""

FINEST_MM = 1e-7
"""Two openings as near as this are one: single precision tells no finer gap."""

NEAR_MM = 0.3
"""What is nearer than this with the pin closed is searched first, and then everything."""

ELSEWHERE = "elsewhere"
"""Name of the samples that belong to no region."""

Material = Literal["denture", "natural"]
Which = npt.NDArray[np.intp]


@dataclass(frozen=True)
class ToothRise:
    """One region of the sampled arch under a pin that is held off its table.

    Attributes
    ----------
    name : str
        Tooth or region.
    rise_if_only_this_mm : float
        Rise of the pin if the other teeth were not there.
    interference_mm : float
        Greatest vertical overlap with the pin on its table.
    gap_mm, normal_gap_mm : float or None
        Least gap that remains here once the pin has risen; None without antagonist.
    depth_mm, normal_depth_mm, volume_mm3 : float or None
        Reduction that lets the pin back on its table, vertical and square to the opposing
        surface, and what it takes away. None at a natural tooth, which is never reduced.
    place_mm : point or None
        Where it is nearest to its antagonist once the pin has risen.
    text : str
    """

    name: str
    rise_if_only_this_mm: float
    interference_mm: float
    gap_mm: float | None
    normal_gap_mm: float | None
    depth_mm: float | None
    normal_depth_mm: float | None
    volume_mm3: float | None
    place_mm: Point | None
    text: str


@dataclass(frozen=True)
class SurfaceRise:
    """How far two surfaces lift the pin.

    Attributes
    ----------
    pin_rise_mm, hinge_deg : float
        Drop of the pin point, and the turn about the hinge axis; 0 when nothing overlaps.
    first_contact : str or None
        The region that touches first, ``"elsewhere"`` outside all of them; None without a rise.
    contact_mm : point or None
        Where, on the member that carries the samples.
    opposing : str or None
        The tooth it meets there, where the caller can tell.
    teeth : tuple of ToothRise
        In the order of the regions.
    warnings : tuple of EngineWarning
    """

    pin_rise_mm: float
    hinge_deg: float
    first_contact: str | None
    contact_mm: Point | None
    opposing: str | None
    teeth: tuple[ToothRise, ...]
    warnings: tuple[EngineWarning, ...]


def surface_rise(
    field: HeightField,
    samples: Samples,
    *,
    pin_point_mm: Point,
    materials: Mapping[str, Material] | None = None,
    opposing_at: Callable[[float, float], str | None] | None = None,
    lowest: int = 1,
) -> SurfaceRise:
    """Rise of the pin, the tooth that makes it, and what would bring the pin back.

    Parameters
    ----------
    field : HeightField
        One arch, at closed maximum intercuspation.
    samples : Samples
        The other arch, its regions the teeth that are judged.
    pin_point_mm : point
        The lower point under the pin.
    materials : mapping, optional
        Denture or natural by region; denture where it is left out.
    opposing_at : callable, optional
        The tooth of the field at x and y, closed.
    lowest : int
        Cells behind a least gap: 1 for models from callipers. Scans are noisy, and the least of
        thousands of cells lies below the surface; 25 are usual there.

    Raises
    ------
    ImpossibleGeometry
        The pin, or what lifts it, lies behind the hinge axis.
    NoSolution
        No opening of the pin within its limits frees the surfaces.
    """
    pin = np.array(check_point(pin_point_mm, field="pin_point_mm"))
    if pin[0] <= 0:
        raise ImpossibleGeometry(
            "The pin point lies behind the hinge axis. Enter it with x pointing forward.",
            field="pin_point_mm.x",
            value=float(pin[0]),
        )
    groups = {name: samples.of(name) for name in samples.names}
    groups[ELSEWHERE] = np.flatnonzero(samples.region < 0)
    closed = gap_maps(field, samples, _opened(pin, 0.0))
    alone = {
        name: _alone(field, samples, pin, those, closed.gap_mm[0][those], lowest)
        for name, those in groups.items()
    }
    highest = max(alone.values(), default=0.0)
    # Opened to the highest single rise, another tooth may still stand in the way: opening also
    # carries the lower member back, up a steep incline.
    search = _Search(field, samples, pin, list(groups.values()), lowest)
    rise = search.free(highest)
    least, group, sample = search.least(rise)
    lifted = rise > 0.0 and least < FAR_MM
    contact = _place(samples, sample) if lifted else None
    risen = gap_maps(field, samples, _opened(pin, rise))
    teeth = tuple(
        _tooth(
            name,
            alone[name],
            samples,
            those,
            (closed.gap_mm[0], closed.normal_mm[0], risen.gap_mm[0], risen.normal_mm[0]),
            natural=(materials or {}).get(name, "denture") == "natural",
        )
        for name, those in groups.items()
        if name in samples.names
    )
    warned = usual("pin_opening_mm", rise)
    return SurfaceRise(
        pin_rise_mm=rise,
        hinge_deg=math.degrees(float(opening_rad(pin, np.array(rise)))),
        first_contact=list(groups)[group] if lifted else None,
        contact_mm=contact,
        opposing=opposing_at(contact[0], contact[1]) if contact and opposing_at else None,
        teeth=teeth,
        warnings=(warned,) if warned else (),
    )


@dataclass(frozen=True)
class _Search:
    """The least gap of some samples at any opening of the pin, and where it comes to zero."""

    field: HeightField
    samples: Samples
    pin: Array
    groups: list[Which]
    lowest: int

    def least(self, opening_mm: float) -> tuple[float, int, int]:
        """The least gap, its group and its sample; far without antagonist."""
        gaps = sample_gaps(
            self.field,
            self.samples.points_mm,
            _opened(self.pin, opening_mm),
            member=self.samples.member,
        )[0]
        best = (FAR_MM, 0, 0)
        for number, those in enumerate(self.groups):
            if not len(those):
                continue
            here = gaps[those]
            few = np.sort(np.partition(here, min(self.lowest, len(here)) - 1)[: self.lowest])
            mean = float(few[few < FAR_MM].mean()) if few[0] < FAR_MM else FAR_MM
            if mean < best[0]:
                best = (mean, number, int(those[here.argmin()]))
        return best

    def free(self, start_mm: float) -> float:
        """The opening at which nothing overlaps any more, from a start at which it may still."""
        opening, overlapping = start_mm, start_mm
        apart = math.inf
        for turn in range(MOST_ROUNDS):
            gap, _, sample = self.least(opening)
            if abs(gap) < TOUCHING_MM or (gap >= 0.0 and opening == start_mm):
                return opening
            if gap < 0.0:
                overlapping = opening
            else:
                apart = opening
            if apart - overlapping < FINEST_MM:
                return apart
            if overlapping >= MOST_OPENING_MM:
                break
            better = self._better(opening, gap, sample)
            if turn >= USUAL_ROUNDS or not overlapping < better < apart:
                better = (overlapping + apart) / 2.0  # without an end: as far as it goes
            opening = min(better, MOST_OPENING_MM)
        raise NoSolution(
            f"The surfaces overlap however far the pin is opened, up to {MOST_OPENING_MM:g} mm. "
            "Check how the casts are mounted and that they are in millimetres.",
            field="pin_rise_mm",
            limit=MOST_OPENING_MM,
        )

    def _better(self, opening: float, gap: float, sample: int) -> float:
        """A better opening: a tooth goes down in the ratio of its distance to the pin's."""
        x = float(self.samples.points_mm[sample, 0])
        if x <= 0:
            raise ImpossibleGeometry(
                "The surfaces meet behind the hinge axis. Check where the casts stand: x points "
                "forward of the axis.",
                field="samples",
                value=x,
            )
        return opening - gap * float(self.pin[0]) / x


def _alone(
    field: HeightField,
    samples: Samples,
    pin: Array,
    those: Which,
    closed: npt.NDArray[np.float32],
    lowest: int,
) -> float:
    """Rise from one region: first from what is near, and then from all of it."""
    if not len(those):
        return 0.0
    few = min(lowest, len(those)) - 1
    near = those[closed <= max(NEAR_MM, float(np.partition(closed, few)[few]))]
    opening = 0.0
    for some in (near, those):
        taken = samples.taken(some)
        opening = _Search(field, taken, pin, [np.arange(len(some))], lowest).free(opening)
    return opening


def _opened(pin: Array, opening_mm: float) -> Array:
    """Position of the lower member with the pin opened, shape (1, 4, 4)."""
    turn = frames.about_y(opening_rad(pin, np.array(opening_mm)))
    return frames.transform(turn[None], np.zeros((1, 3)))


def _tooth(
    name: str,
    alone: float,
    samples: Samples,
    those: Which,
    maps: tuple[npt.NDArray[np.float32], ...],
    *,
    natural: bool,
) -> ToothRise:
    closed, closed_normal, risen, risen_normal = (one[those] for one in maps)
    if not len(those) or not (risen < FAR_MM).any():
        text = f"{name} has no antagonist here."
        none = None if natural else 0.0
        return ToothRise(name, alone, 0.0, None, None, none, none, none, None, text)
    overlap, normal = (_deepest(one) for one in (closed, closed_normal))
    nearest = int(those[risen.argmin()])
    removed = float(np.maximum(-closed.astype(float), 0.0).sum()) * samples.cell_mm2
    return ToothRise(
        name=name,
        rise_if_only_this_mm=alone,
        interference_mm=overlap,
        gap_mm=float(risen.min()),
        normal_gap_mm=float(risen_normal.min()),
        depth_mm=None if natural else overlap,
        normal_depth_mm=None if natural else normal,
        volume_mm3=None if natural else removed,
        place_mm=_place(samples, nearest),
        text=_said(name, overlap, natural),
    )


def _said(name: str, overlap: float, natural: bool) -> str:
    if overlap <= TOUCHING_MM:
        return f"{name} does not hold the pin up: none predicted above 0 mm."
    if natural:
        return f"{name} is natural and stands {overlap:.2f} mm in the way: the dentist decides."
    return (
        f"{name} stands {overlap:.2f} mm in the way: taken off the denture tooth where foil marks "
        "it, that much lets the pin back."
    )


def _deepest(gaps: npt.NDArray[np.float32]) -> float:
    """Greatest overlap, 0 where there is none."""
    return max(0.0, -float(gaps.min()))


def _place(samples: Samples, sample: int) -> Point:
    x, y, z = (float(value) for value in samples.points_mm[sample])
    return (x, y, z)
