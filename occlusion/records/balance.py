"""Settings worked out backwards from contacts that are wanted, or not wanted.

A table just steep enough that the front teeth do not meet; how far a back tooth must be
tilted so that its cusps run along its path; the one curve that would tilt all of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq, least_squares

from occlusion import frames
from occlusion.articulator import ArticulatorSettings, Excursion, Point
from occlusion.errors import BadRequest, NoSolution, OcclusionError, OutOfRange
from occlusion.frames import Array
from occlusion.guidance import SINGULAR_MARGIN_DEG, arc_slope_deg
from occlusion.motion import facet_gap_mm, landmark_movement, lower_positions, path_angle_deg
from occlusion.ranges import LIMITS, EngineWarning, check_hard, check_point
from occlusion.records._forward import forward, moved_in_plane, travel_for_advance_mm
from occlusion.sources import cite

SETTING_TOLERANCE_DEG = 2.0
"""A cusp this near to its path counts as balanced (common practice, no source)."""

FLATTEST_PER_MM = 1e-4
"""A curve flatter than a radius of 10 m is a plane."""

STEPS = 30
ROUND_OFF_MM = 1e-9


@dataclass(frozen=True)
class AnteriorTable:
    """The flattest table that keeps front teeth apart, and the travel at which it was asked.

    ``table_deg`` is against the plane of the settings; ``travel_mm`` is the advance of the
    condyles; ``warnings`` say what to keep in mind.
    """

    table_deg: float
    travel_mm: float
    warnings: tuple[EngineWarning, ...]


@dataclass(frozen=True, kw_only=True)
class BalanceTooth:
    """A lower back tooth: where it stands, and the effective angle of the cusps it meets.

    ``cusp_deg`` is against the plane of the settings along the path: cusp angle of the tooth
    and tilt at which it stands together.
    """

    tooth: str
    point_mm: Point
    cusp_deg: float

    def __post_init__(self) -> None:
        field = f"{self.tooth}.point_mm"
        point = check_point(self.point_mm, field=field, label=f"place of tooth {self.tooth}")
        object.__setattr__(self, "point_mm", point)
        cusp = check_hard("cusp_angle_deg", self.cusp_deg, field=f"{self.tooth}.cusp_deg")
        object.__setattr__(self, "cusp_deg", cusp)


@dataclass(frozen=True)
class ToothTilt:
    """How far a tooth is from running along its path.

    Attributes
    ----------
    tooth : str
        As given.
    path_deg : float
        The effective cusp angle that stays in contact: the angle of the tooth's path.
    tilt_deg : float
        What is missing of it; positive: the distal end must stand higher.
    gap_mm : float
        Gap at the end of the movement as the tooth stands; negative: interference.
    balanced : bool
        Whether the tilt is within 2 deg.
    """

    tooth: str
    path_deg: float
    tilt_deg: float
    gap_mm: float
    balanced: bool


@dataclass(frozen=True)
class CompensatingCurve:
    """The sphere whose slope tilts the teeth into balance.

    Attributes
    ----------
    radius_mm : float or None
        None: a plane, or a curve that bulges upward, which no curve of Spee does.
    lowest_x_mm : float or None
        Where it is lowest; None for a plane.
    tilts_deg : tuple of float
        Slope that the curve gives each tooth.
    gaps_mm : tuple of float
        Gaps that it leaves at the end of the movement; negative: interference.
    warnings
        Whether such a curve is usual.
    """

    radius_mm: float | None
    lowest_x_mm: float | None
    tilts_deg: tuple[float, ...]
    gaps_mm: tuple[float, ...]
    warnings: tuple[EngineWarning, ...]


def table_for_anterior_contact(
    *,
    settings: ArticulatorSettings,
    facet_deg: float,
    clearance_mm: float,
    advance_mm: float,
) -> AnteriorTable:
    """The flattest incisal table on which the front teeth just do not meet in protrusion.

    The lower incisal edge runs ``clearance_mm`` forward before it is under the palatal facet,
    which then falls by its slope. With the pin at the incisal point the answer is
    atan((1 - clearance / advance) tan(facet)); elsewhere the rigid body decides.

    Parameters
    ----------
    settings : ArticulatorSettings
        The articulator; its table angle is not used.
    facet_deg : float
        Slope of the palatal facet, against the plane of the settings.
    clearance_mm : float
        Horizontal way from the lower incisal edge to the facet, when closed.
    advance_mm : float
        How far the incisal point goes forward.

    Returns
    -------
    AnteriorTable
        0 deg where a flat table is already enough.

    Raises
    ------
    NoSolution
        No table up to 60 deg, or up to the arc of the guided point, keeps them apart.
    NotANumber, OutOfRange

    Notes
    -----
    Source: geometry.
    """
    facet = check_hard("front_facet_deg", facet_deg, field="facet_deg")
    clearance = check_hard("overjet_mm", clearance_mm, field="clearance_mm", label="clearance")
    advance = check_hard("travel_mm", advance_mm, field="advance_mm", label="advance")
    if clearance < 0.0 or advance <= clearance:
        raise OutOfRange(
            f"The incisal point goes {advance:g} mm forward and {clearance:g} mm lie before the "
            "facet. Enter a clearance of 0 or more, and an advance beyond it.",
            field="advance_mm",
            value=advance,
            limit=(clearance, LIMITS["travel_mm"].hard_high),
        )

    def least_gap(table_deg: float) -> float:
        on_table = replace(settings, table=replace(settings.table, sagittal_deg=table_deg))
        return _least_anterior_gap(on_table, facet, clearance, advance)

    flattest, steepest = 0.0, _steepest_table_deg(settings, least_gap)
    if least_gap(flattest) < -ROUND_OFF_MM:
        if least_gap(steepest) < 0.0:
            raise NoSolution(
                f"No incisal table up to {steepest:.0f} deg keeps front teeth apart whose facet "
                f"stands at {facet:g} deg. More overjet, or a flatter facet, would.",
                field="facet_deg",
                value=facet,
                limit=steepest,
            )
        flattest = float(brentq(least_gap, flattest, steepest, xtol=1e-10))
    on_table = replace(settings, table=replace(settings.table, sagittal_deg=flattest))
    apart = EngineWarning(
        "anterior_just_apart",
        f"At {flattest:.1f} deg the front teeth just do not meet. A steeper table separates the "
        "back teeth further, a flatter one lets the front teeth lift the pin.",
        cite("geometry"),
    )
    return AnteriorTable(flattest, travel_for_advance_mm(on_table, advance), (apart,))


def tilt_for_balance(
    *, settings: ArticulatorSettings, excursion: Excursion, teeth: Sequence[BalanceTooth]
) -> tuple[ToothTilt, ...]:
    """How far each back tooth must be tilted so that it stays in contact.

    Cusps stay in contact when they are as steep as the path of their tooth (swenson: cusp
    angle and curve together make the path).

    Parameters
    ----------
    settings : ArticulatorSettings
        The articulator.
    excursion : Excursion
        The movement, to its end.
    teeth : sequence of BalanceTooth
        The teeth.
    """
    moved = _moved(settings, excursion, teeth)
    cusps = np.array([tooth.cusp_deg for tooth in teeth])
    paths, gaps = path_angle_deg(moved), facet_gap_mm(moved, cusps)
    return tuple(
        ToothTilt(
            tooth=tooth.tooth,
            path_deg=float(path),
            tilt_deg=float(path) - tooth.cusp_deg,
            gap_mm=float(gap),
            balanced=abs(float(path) - tooth.cusp_deg) <= SETTING_TOLERANCE_DEG,
        )
        for tooth, path, gap in zip(teeth, paths, gaps, strict=True)
    )


def compensating_curve(
    *,
    settings: ArticulatorSettings,
    excursion: Excursion,
    teeth: Sequence[BalanceTooth],
    lowest_x_mm: float | None = None,
) -> CompensatingCurve:
    """The sphere that brings all these teeth nearest to balance, by least squares of the gaps.

    Parameters
    ----------
    settings : ArticulatorSettings
        The articulator.
    excursion : Excursion
        The movement, to its end.
    teeth : sequence of BalanceTooth
        Two or more, or one with ``lowest_x_mm``.
    lowest_x_mm : float, optional
        Where the curve is lowest, forward of the axis; None: wherever it fits best.

    Raises
    ------
    BadRequest
        Too few teeth to tell a curve.
    """
    needed = 2 if lowest_x_mm is None else 1
    if len({tooth.point_mm[0] for tooth in teeth}) < needed:
        raise BadRequest(
            f"{len(teeth)} teeth at one distance tell no curve. Give two or more, one behind the "
            "other, or say where the curve is lowest.",
            field="teeth",
            value=len(teeth),
            limit=needed,
        )
    moved = _moved(settings, excursion, teeth)
    cusps = np.array([tooth.cusp_deg for tooth in teeth])
    x = np.array([tooth.point_mm[0] for tooth in teeth])
    middle = float(x.mean())
    lowest = None if lowest_x_mm is None else check_hard("coordinate_mm", lowest_x_mm)

    def slopes(unknown: Array) -> Array:
        """Slope of the curve at each tooth, in degrees: asin of a straight line in x."""
        if lowest is None:
            sine = unknown[0] + unknown[1] * (middle - x)
        else:
            sine = unknown[0] * (lowest - x)
        return np.asarray(np.degrees(np.arcsin(np.clip(sine, -1.0, 1.0))))

    def gaps(unknown: Array) -> Array:
        return facet_gap_mm(moved, cusps + slopes(unknown))

    start = np.zeros(2 if lowest is None else 1)
    best = least_squares(gaps, start, xtol=1e-14, ftol=1e-14, gtol=1e-14).x
    per_mm = float(best[-1])
    radius = 1.0 / per_mm if per_mm > FLATTEST_PER_MM else None
    deepest = lowest
    if radius is not None and lowest is None:
        deepest = middle + float(best[0]) * radius
    return CompensatingCurve(
        radius_mm=radius,
        lowest_x_mm=None if radius is None else deepest,
        tilts_deg=tuple(float(value) for value in slopes(best)),
        gaps_mm=tuple(float(value) for value in gaps(best)),
        warnings=_of_curve(per_mm),
    )


def _of_curve(per_mm: float) -> tuple[EngineWarning, ...]:
    """What to say of a curve of this many radii a millimetre."""
    limit = LIMITS["curve_radius_mm"]
    usual = f"usual curves have a radius of {limit.usual_low:g} to {limit.usual_high:g} mm"
    if abs(per_mm) <= FLATTEST_PER_MM:
        text = f"A flat plane fits these teeth best; {usual}."
        return (EngineWarning("curve_flat", text, cite(limit.source)),)
    radius = 1.0 / per_mm
    if limit.usual_low <= radius <= limit.usual_high:
        return ()
    asked = f"A radius of {radius:.0f} mm" if radius > 0 else "Only a curve that bulges upward"
    text = (
        f"{asked} would balance these teeth; {usual}. This is not a usual curve: change table or "
        "cusp."
    )
    return (EngineWarning("curve_unusual", text, cite(limit.source)),)


def _moved(
    settings: ArticulatorSettings, excursion: Excursion, teeth: Sequence[BalanceTooth]
) -> Array:
    if not teeth:
        raise BadRequest("No tooth is given. Give one or more.", field="teeth", value=0)
    return moved_in_plane(settings, [tooth.point_mm for tooth in teeth], excursion)


def _least_anterior_gap(
    settings: ArticulatorSettings, facet_deg: float, clearance_mm: float, advance_mm: float
) -> float:
    """Least gap over the facet from where the edge comes under it to the end."""
    travel = travel_for_advance_mm(settings, advance_mm)
    positions = lower_positions(settings=settings, excursion=forward(travel), steps=STEPS)
    moved = landmark_movement(positions, settings.incisal_point_mm)
    moved = frames.into_plane(moved, tilt_deg=settings.reference_plane.tilt_deg)
    ahead = moved[:, 0] - moved[0, 0] - clearance_mm
    gaps = moved[0, 2] - moved[:, 2] - ahead * math.tan(math.radians(facet_deg))
    return float(gaps[1:][(ahead > 0.0)[1:]].min())


def _steepest_table_deg(settings: ArticulatorSettings, computed: Callable[[float], float]) -> float:
    """The steepest table that the guided point can follow to the end of the movement."""
    x, _, z = settings.guided_point_mm
    along_arc = arc_slope_deg(x_mm=x, z_mm=z) - settings.reference_plane.tilt_deg
    highest = min(LIMITS["incisal_table_deg"].hard_high, along_arc - SINGULAR_MARGIN_DEG - 1e-6)
    for table in np.arange(highest, 0.0, -1.0):
        try:
            computed(float(table))
        except OcclusionError:
            continue
        return float(table)
    return 0.0
