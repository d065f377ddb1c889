"""Condylar inclination from the gap that opens behind in protrusion.

The lower jaw goes forward by a known way and the gap between back teeth that touched before
is read. A steeper condylar path opens a larger gap; the incisal table and the rigid body say
how much larger. One gap tells one inclination for both sides; a gap on each side tells both,
because the jaw also rolls.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, get_args

import numpy as np
from scipy.optimize import brentq, least_squares

from occlusion import curves
from occlusion.articulator import ArticulatorSettings, Point, choose
from occlusion.errors import BadRequest, NoSolution, OcclusionError, RecordTooShort
from occlusion.frames import Array
from occlusion.motion import facet_gap_mm
from occlusion.ranges import LIMITS, SIDES_DIFFER_DEG, EngineWarning, check_hard, check_point, usual
from occlusion.records._forward import forward, moved_in_plane, travel_for_advance_mm
from occlusion.sources import cite

AdvanceAt = Literal["condyle", "incisor"]

LEAST_ADVANCE_MM = 3.0
"""A shorter advance is refused: 0.1 mm between flat rims is then over 4 deg (source: geometry)."""

ADVISED_MM = (5.0, 6.0)
"""Advance at which records are usually taken (source: oh_2020)."""

STEP_DEG = 0.01
GAPS_DISAGREE = 3.0
"""Gaps that are left over by more than 3 reading errors are remarked upon."""


@dataclass(frozen=True, kw_only=True)
class PosteriorGap:
    """A gap read between back teeth in protrusion.

    Parameters
    ----------
    point_mm : tuple of float
        Where the lower tooth stands when closed, in articulator axes.
    gap_mm : float
        Upright gap to the upper tooth that it touched when closed.
    facet_deg : float
        Slope along the path of the surface that the gap is read to; 0 for flat rims.
    """

    point_mm: Point
    gap_mm: float
    facet_deg: float = 0.0

    def __post_init__(self) -> None:
        point = check_point(self.point_mm, field="point_mm", label="place of the gap")
        object.__setattr__(self, "point_mm", point)
        object.__setattr__(self, "gap_mm", check_hard("posterior_gap_mm", self.gap_mm))
        object.__setattr__(self, "facet_deg", check_hard("facet_deg", self.facet_deg))


@dataclass(frozen=True)
class InclinationFromGap:
    """Condylar inclination that gaps behind tell.

    Attributes
    ----------
    condylar_inclination_deg : dict of str to float
        By condyle, ``"right"`` and ``"left"``, against the plane of the settings.
    sd_deg : dict of str to float
        Standard deviation from the reading error of the gaps alone.
    told_apart : bool
        Whether each side has its own value; False: one value for both.
    mm_per_deg : tuple of float
        How much each gap grows for a degree more on both sides.
    left_over_mm : float
        Root mean square of what the gaps and the answer differ by.
    assumptions, warnings
        What the answer rests on, and what looks wrong.
    """

    condylar_inclination_deg: dict[str, float]
    sd_deg: dict[str, float]
    told_apart: bool
    mm_per_deg: tuple[float, ...]
    left_over_mm: float
    assumptions: tuple[str, ...]
    warnings: tuple[EngineWarning, ...]


def inclination_from_posterior_gap(
    *,
    settings: ArticulatorSettings,
    advance_mm: float,
    gaps: Sequence[PosteriorGap],
    reading_sd_mm: float = 0.1,
    advance_at: AdvanceAt = "condyle",
) -> InclinationFromGap:
    """Condylar inclination at which these gaps open in protrusion.

    Parameters
    ----------
    settings : ArticulatorSettings
        The articulator; its two condylar inclinations are not used.
    advance_mm : float
        How far forward the record was taken.
    gaps : sequence of PosteriorGap
        One or more. With gaps on both sides each condyle gets its own inclination.
    reading_sd_mm : float
        Standard deviation of a gap as read.
    advance_at : {"condyle", "incisor"}
        Where the advance was read. The two differ by a tenth or more, and a degree or two of
        the answer with them.

    Raises
    ------
    RecordTooShort
        The advance is under 3 mm.
    NoSolution
        No inclination from 0 to 75 deg, or none that the path allows, opens these gaps.
    BadRequest, NotANumber, OutOfRange, PinLeavesTable

    Notes
    -----
    Source: geometry; solved on the rigid body itself, see ``occlusion.motion``.
    """
    advance = _check_advance(advance_mm)
    error = check_hard("reading_sd_mm", reading_sd_mm)
    choose(advance_at, get_args(AdvanceAt), field="advance_at", label="place of the advance")
    if not gaps:
        raise BadRequest(
            "No gap is given. Give the gap at one back tooth or more.", field="gaps", value=0
        )
    opened = _Opened(settings, advance, tuple(gaps), advance_at)
    apart = {math.copysign(1.0, gap.point_mm[1]) for gap in gaps if gap.point_mm[1]} == {-1.0, 1.0}
    steepest = opened.steepest_deg()
    angles = opened.common(steepest)
    if apart or len(gaps) > 1:
        angles = opened.fitted(angles, steepest, apart=apart)
    slopes = opened.slopes(angles, apart=apart)
    covariance = np.linalg.pinv(slopes.T @ slopes)
    sds = error * np.sqrt(np.diag(covariance))
    inclination = {"right": float(angles[0]), "left": float(angles[-1])}
    left_over = float(np.sqrt((opened.differences(angles) ** 2).mean()))
    return InclinationFromGap(
        condylar_inclination_deg=inclination,
        sd_deg={"right": float(sds[0]), "left": float(sds[-1])},
        told_apart=apart,
        mm_per_deg=tuple(float(value) for value in slopes.sum(axis=1)),
        left_over_mm=left_over,
        assumptions=_assumptions(apart, error, advance_at),
        warnings=tuple(_warnings(inclination, advance, left_over, error, apart)),
    )


class _Opened:
    """The gaps of a protrusion as a function of the two inclinations."""

    def __init__(
        self,
        settings: ArticulatorSettings,
        advance_mm: float,
        gaps: tuple[PosteriorGap, ...],
        advance_at: AdvanceAt,
    ) -> None:
        self.settings, self.advance_mm, self.advance_at = settings, advance_mm, advance_at
        self.points = np.array([gap.point_mm for gap in gaps])
        self.read = np.array([gap.gap_mm for gap in gaps])
        self.facets = np.array([gap.facet_deg for gap in gaps])

    def differences(self, angles: Array) -> Array:
        """Gaps of the rigid body less the gaps as read, for inclinations right and left."""
        right, left = float(angles[0]), float(angles[-1])
        settings = replace(
            self.settings,
            right=replace(self.settings.right, inclination_deg=right),
            left=replace(self.settings.left, inclination_deg=left),
        )
        at_incisor = self.advance_at == "incisor"
        travel = travel_for_advance_mm(settings, self.advance_mm) if at_incisor else self.advance_mm
        moved = moved_in_plane(settings, self.points, forward(travel))
        return np.asarray(facet_gap_mm(moved, self.facets) - self.read)

    def steepest_deg(self) -> float:
        """The steepest inclination on which this advance can be computed at all."""
        limit = LIMITS["condylar_inclination_deg"]
        self.differences(np.array([limit.hard_low]))
        for angle in np.arange(limit.hard_high, limit.hard_low, -1.0):
            try:
                self.differences(np.array([angle]))
            except OcclusionError:
                continue
            return float(angle)
        return limit.hard_low

    def common(self, steepest_deg: float) -> Array:
        """One inclination for both sides that meets the mean of the gaps."""

        def mean(angle: float) -> float:
            return float(self.differences(np.array([angle])).mean())

        low, high = mean(0.0), mean(steepest_deg)
        if low * high > 0.0:
            gap = float(self.read.mean())
            raise NoSolution(
                f"No condylar inclination from 0 to {steepest_deg:g} deg opens a gap of {gap:.2f} "
                f"mm there; {gap + low:.2f} to {gap + high:.2f} mm can be. Check the advance, the "
                "gap, and the table that the record was taken against.",
                field="gaps",
                value=gap,
                limit=(gap + low, gap + high),
            )
        return np.array([brentq(mean, 0.0, steepest_deg, xtol=1e-12)])

    def fitted(self, start: Array, steepest_deg: float, *, apart: bool) -> Array:
        """Inclinations that meet all gaps best."""
        first = np.clip(np.repeat(start, 2 if apart else 1), 1e-3, steepest_deg - 1e-3)
        found = least_squares(
            self.differences, first, bounds=(0.0, steepest_deg), xtol=1e-14, ftol=1e-14, gtol=1e-14
        ).x
        at_end = (found < 1e-3) | (found > steepest_deg - 1e-3)
        off = float(np.abs(self.differences(found)).max())
        if at_end.any() and off > 1e-6:
            raise NoSolution(
                f"No two inclinations from 0 to {steepest_deg:g} deg open these gaps; the nearest "
                f"leave {off:.2f} mm. Read the gaps of both sides again.",
                field="gaps",
                value=off,
                limit=(0.0, steepest_deg),
            )
        return np.asarray(found)

    def slopes(self, angles: Array, *, apart: bool) -> Array:
        """How much each gap grows per degree, shape (gaps, 1) or by side (gaps, 2)."""
        columns = []
        for index in range(2 if apart else 1):
            step = np.zeros(2 if apart else 1)
            step[index] = STEP_DEG if angles[index] > STEP_DEG else -STEP_DEG
            columns.append(
                (self.differences(angles) - self.differences(angles - step)) / step[index]
            )
        return np.array(columns).T


def inclination_from_flat_rims(
    *,
    separation_mm: float,
    behind_mm: float,
    advance_mm: float,
    height_mm: float,
    balkwill_deg: float,
    reading_sd_mm: float = 0.1,
) -> InclinationFromGap:
    """The same from the gap of flat rims on a flat table, in the sagittal plane.

    Parameters
    ----------
    separation_mm, behind_mm : float
        Gap between the rims, and how far behind the incisal point it was read.
    advance_mm : float
        Advance of the incisal point along the rim.
    height_mm, balkwill_deg : float
        The triangle, see ``occlusion.curves``.
    reading_sd_mm : float
        Standard deviation of the gap.

    Raises
    ------
    RecordTooShort
        The advance is under 3 mm.
    NoSolution
        No inclination from 0 to 75 deg opens this gap.

    Notes
    -----
    Source: christensen_1958, turned round.
    """
    advance = _check_advance(advance_mm)
    gap = check_hard("posterior_gap_mm", separation_mm, field="separation_mm")
    error = check_hard("reading_sd_mm", reading_sd_mm)

    def inclination(separation: float) -> float:
        return curves.inclination_from_rims_deg(
            separation_mm=separation,
            behind_mm=behind_mm,
            advance_mm=advance,
            height_mm=height_mm,
            balkwill_deg=balkwill_deg,
        )

    angle = inclination(gap)
    limit = LIMITS["condylar_inclination_deg"]
    if not limit.hard_low <= angle <= limit.hard_high:
        raise NoSolution(
            f"A gap of {gap:g} mm asks for {angle:.0f} deg of condylar inclination; 0 to 75 deg "
            "can be set. Read gap and advance again.",
            field="separation_mm",
            value=gap,
            limit=limit.hard,
        )
    step_mm = 1e-4
    per_mm = (inclination(gap + step_mm) - angle) / step_mm
    sides = {"right": angle, "left": angle}
    return InclinationFromGap(
        condylar_inclination_deg=sides,
        sd_deg=dict.fromkeys(sides, error * per_mm),
        told_apart=False,
        mm_per_deg=(1.0 / per_mm,),
        left_over_mm=0.0,
        assumptions=_assumptions(False, error, "incisor"),
        warnings=tuple(_warnings(sides, advance, 0.0, error, False)),
    )


def _check_advance(advance_mm: float) -> float:
    advance = check_hard("travel_mm", advance_mm, field="advance_mm", label="advance")
    if advance < LEAST_ADVANCE_MM:
        raise RecordTooShort(
            f"The record was taken {advance:g} mm forward. Take one of {LEAST_ADVANCE_MM:g} mm or "
            f"more, better {ADVISED_MM[0]:g} to {ADVISED_MM[1]:g}: under that a tenth of a "
            "millimetre between flat rims is over 4 deg.",
            field="advance_mm",
            value=advance,
            limit=LEAST_ADVANCE_MM,
        )
    return advance


def _assumptions(apart: bool, error_mm: float, advance_at: AdvanceAt) -> tuple[str, ...]:
    told = [
        f"Each gap is read to a standard deviation of {error_mm:g} mm; the advance, read at the "
        f"{advance_at}, and the table count as exact.",
        "The condylar path is straight: a real one is some 2 deg flatter at 3 mm than at 1 mm.",
    ]
    if not apart:
        told.insert(0, "Both condyles are taken as equally steep. Gaps of both sides tell more.")
    return tuple(told)


def _warnings(
    inclination: dict[str, float],
    advance_mm: float,
    left_over_mm: float,
    error_mm: float,
    apart: bool,
) -> list[EngineWarning]:
    found = []
    if advance_mm < ADVISED_MM[0]:
        found.append(
            EngineWarning(
                "short_advance",
                f"The record was taken {advance_mm:g} mm forward. At {ADVISED_MM[0]:g} to "
                f"{ADVISED_MM[1]:g} mm the same reading error counts for less.",
                cite("oh_2020"),
            )
        )
    if left_over_mm > max(GAPS_DISAGREE * error_mm, 1e-6):
        found.append(
            EngineWarning(
                "gaps_disagree",
                f"The gaps do not belong together: {left_over_mm:.2f} mm are left over, more than "
                f"a reading error of {error_mm:g} mm explains. Read them again.",
                cite("practice"),
            )
        )
    for side, angle in inclination.items():
        if apart or side == "right":
            remark = usual("condylar_inclination_deg", round(angle, 1), side=side if apart else "")
            found += [remark] if remark else []
    difference = abs(inclination["right"] - inclination["left"])
    if difference > SIDES_DIFFER_DEG:
        found.append(
            EngineWarning(
                "sides_differ",
                f"Right and left condylar inclination differ by {difference:.1f} deg, more than "
                f"{SIDES_DIFFER_DEG:g}. Confirm the gaps of both sides.",
                cite("sides_differ_2013"),
            )
        )
    return found
