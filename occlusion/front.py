"""Front teeth as a guide: when they are steeper than the table they lift the pin.

The model: the lower incisal edge touches a straight facet of the upper front teeth at
maximum intercuspation and slides down it while it is still behind the upper edge, that
is, until it has gone forward by the overjet. For that long the facet stands in for the
table's sagittal angle, at the incisal point and fixed to the upper member; the wings stay,
because overjet and overbite say nothing of lateral facets. Past the upper edge the table
guides again, so that no room is promised that the front teeth may not give.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal, get_args

import numpy as np
import numpy.typing as npt

from occlusion import frames
from occlusion.articulator import ArticulatorSettings, Excursion, Kind, ReferencePlane, choose
from occlusion.frames import Array
from occlusion.guidance import SINGULAR_MARGIN_DEG, arc_slope_deg, opening_rad
from occlusion.motion import LowerPositions, landmark_movement, lower_position
from occlusion.ranges import LIMITS, EngineWarning, check_hard
from occlusion.sources import cite
from occlusion.teeth import UPPER_CROWNS

GuidedBy = Literal["table", "stone teeth", "denture teeth"]

LONGEST_TRAVEL_MM = 6.0
"""No check looks further than this (common practice, no source)."""

PAST_EDGE_MM = 1.0
"""Protrusion is followed this far past edge to edge (common practice, no source)."""

STEEPEST_FACET_DEG = 85.0
"""A vertical facet is computed as this."""

READINGS_DISAGREE_DEG = 10.0
"""A facet further than this from overbite over overjet asks for a second look."""


@dataclass(frozen=True, kw_only=True)
class FrontGuidance:
    """Front teeth as read by callipers.

    Parameters
    ----------
    guided_by : {"table", "stone teeth", "denture teeth"}
        What guides in front. With ``"table"`` the front teeth are only compared with it.
    overjet_mm, overbite_mm : float
        From lower to upper incisal edge, forward and down.
    facet_deg : float, optional
        Slope of the upper facet; None means atan(overbite / overjet).
    canine_width_mm : float
        Mesiodistal width of the upper canine, for the lateral travel.
    plane : ReferencePlane, optional
        The plane the facet is read against; None means that of the settings.
    """

    guided_by: GuidedBy
    overjet_mm: float
    overbite_mm: float
    facet_deg: float | None = None
    canine_width_mm: float = UPPER_CROWNS[2].mesiodistal_mm
    plane: ReferencePlane | None = None

    def __post_init__(self) -> None:
        choose(self.guided_by, get_args(GuidedBy), field="guided_by", label="front guide")
        for name in ("overjet_mm", "overbite_mm"):
            object.__setattr__(self, name, check_hard(name, getattr(self, name)))
        width = check_hard("crown_width_mm", self.canine_width_mm, field="canine_width_mm")
        object.__setattr__(self, "canine_width_mm", width)
        if self.facet_deg is not None:
            facet = check_hard("front_facet_deg", self.facet_deg, field="facet_deg")
            object.__setattr__(self, "facet_deg", facet)

    @property
    def reach_mm(self) -> float:
        """How far forward the lower edge stays behind the upper one; 0: it never does."""
        if self.overjet_mm < 0 or self.overbite_mm <= 0:
            return 0.0
        least = self.overbite_mm / math.tan(math.radians(STEEPEST_FACET_DEG))
        return max(self.overjet_mm, least)

    @property
    def slope_deg(self) -> float:
        """Slope of the facet: as read, else from overbite and overjet; 0 without overlap."""
        if self.reach_mm == 0.0:
            return 0.0
        if self.facet_deg is not None:
            return self.facet_deg
        return math.degrees(math.atan2(self.overbite_mm, self.reach_mm))

    def travel_mm(self, kind: Kind) -> float:
        """How far an excursion is followed, as forward travel of the leading condyle.

        Protrusive: overjet and 1 mm more. Lateral: canine tip to tip, the overjet out and
        half a canine along. At most 6 mm.
        """
        overjet = max(self.overjet_mm, 0.0)
        if kind == "protrusive":
            return min(LONGEST_TRAVEL_MM, overjet + PAST_EDGE_MM)
        return min(LONGEST_TRAVEL_MM, math.hypot(overjet, self.canine_width_mm / 2.0))


@dataclass(frozen=True)
class PinLift:
    """How far the front teeth lift the pin in one excursion, and where they guide.

    ``ruled`` marks the positions in which they do.
    """

    lift_mm: float
    at_travel_mm: float
    ruled: npt.NDArray[np.bool_]


def steepest_deg(settings: ArticulatorSettings) -> float:
    """The steepest front facet that the model can follow with these settings."""
    x, _, z = settings.incisal_point_mm
    along_arc = arc_slope_deg(x_mm=x, z_mm=z) - settings.reference_plane.tilt_deg
    return min(LIMITS["incisal_table_deg"].hard_high, along_arc - SINGULAR_MARGIN_DEG - 1e-6)


def guided_settings(
    settings: ArticulatorSettings, front: FrontGuidance
) -> ArticulatorSettings | None:
    """The settings with the front facet in place of the table; None where it is not steeper."""
    if front.plane is not None:
        frames.same_plane(settings.reference_plane.key, front.plane.key, field="front.plane")
    slope = min(front.slope_deg, steepest_deg(settings))
    if slope <= settings.table.sagittal_deg:
        return None
    opened = opening_rad(np.array(settings.guided_point_mm), np.array(settings.pin_opening_mm))
    incisal = np.array(settings.incisal_point_mm)
    drop = float((incisal - frames.about_y(opened) @ incisal)[2])
    return replace(
        settings,
        table=replace(settings.table, sagittal_deg=slope, mounted_on="upper"),
        pin_point_mm=None,
        pin_opening_mm=drop,
    )


def pin_lift(
    *,
    settings: ArticulatorSettings,
    guided: ArticulatorSettings,
    front: FrontGuidance,
    excursion: Excursion,
    on_table: LowerPositions,
    on_teeth: LowerPositions,
) -> PinLift:
    """How far the front teeth lift the pin off its table along an excursion.

    Parameters
    ----------
    settings, guided : ArticulatorSettings
        As read, and with the front facet as guide.
    front : FrontGuidance
        The front teeth.
    excursion : Excursion
        The movement.
    on_table, on_teeth : LowerPositions
        The same positions of one set of settings, guided by each.
    """
    forward = _forward_mm(settings, on_teeth)
    ruled = np.logical_and.accumulate(forward <= front.reach_mm + 1e-9)
    lift = np.where(ruled, on_table.pin_point_mm[:, 2] - _pin_z(settings, on_teeth), 0.0)
    highest = int(np.argmax(lift))
    best, at = float(lift[highest]), float(on_table.advance_mm[highest])
    if not ruled.all() and excursion.travel_mm > 0:
        end = _travel_to(settings, guided, front, excursion, on_teeth, forward, ruled)
        last = replace(excursion, travel_mm=end)
        table = lower_position(settings=settings, excursion=last)
        teeth = lower_position(settings=guided, excursion=last)
        pin = np.array(settings.guided_point_mm)
        at_end = table.pin_point_mm[2] - float((teeth.transform @ np.append(pin, 1.0))[2])
        if at_end > best:
            best, at = at_end, end
    return PinLift(max(best, 0.0), at if best > 0 else 0.0, ruled)


def warnings_for_front(
    settings: ArticulatorSettings, front: FrontGuidance
) -> tuple[EngineWarning, ...]:
    """What is unusual about the front teeth, or beyond the model."""
    found = []
    if front.overjet_mm < 0 or front.overbite_mm < 0:
        found.append(
            EngineWarning(
                "front_not_modelled",
                "Overjet or overbite is below 0: guidance by the front teeth is not modelled, the "
                "table guides throughout.",
                cite("practice"),
            )
        )
    if front.slope_deg > steepest_deg(settings):
        found.append(
            EngineWarning(
                "front_too_steep",
                f"The front facet stands at {front.slope_deg:.0f} deg, steeper than the "
                f"{steepest_deg(settings):.0f} deg that the model can follow. The pin lifts at "
                "least as far as said.",
                cite("geometry"),
            )
        )
    if front.facet_deg is not None and front.reach_mm > 0:
        implied = math.degrees(math.atan2(front.overbite_mm, front.reach_mm))
        if abs(front.facet_deg - implied) > READINGS_DISAGREE_DEG:
            found.append(
                EngineWarning(
                    "front_readings_disagree",
                    f"The front facet reads {front.facet_deg:g} deg, overbite over overjet gives "
                    f"{implied:.0f} deg. Read all three again.",
                    cite("practice"),
                )
            )
    return tuple(found)


def _forward_mm(settings: ArticulatorSettings, positions: LowerPositions) -> Array:
    """Advance of the incisal point along the reference plane, from its first position."""
    moved = landmark_movement(positions, settings.incisal_point_mm)
    moved = frames.into_plane(moved, tilt_deg=settings.reference_plane.tilt_deg)
    return np.asarray(moved[..., 0] - moved[..., :1, 0])


def _pin_z(settings: ArticulatorSettings, positions: LowerPositions) -> Array:
    pin = np.array(settings.guided_point_mm)
    return np.asarray(frames.apply(positions.transforms, pin[None, :])[..., 0, 2])


def _travel_to(
    settings: ArticulatorSettings,
    guided: ArticulatorSettings,
    front: FrontGuidance,
    excursion: Excursion,
    on_teeth: LowerPositions,
    forward: Array,
    ruled: npt.NDArray[np.bool_],
) -> float:
    """Travel at which the lower edge comes under the upper one, by false position."""
    first = max(int(np.argmin(ruled)), 1)
    travel = on_teeth.advance_mm
    low, high = float(travel[first - 1]), float(travel[first])
    below, above = float(forward[first - 1]), float(forward[first])
    incisal = np.array([settings.incisal_point_mm])
    tilt = settings.reference_plane.tilt_deg
    start = frames.into_plane(landmark_movement(on_teeth.at(0), incisal), tilt_deg=tilt)[0, 0]
    guess = low
    for _ in range(4):
        if above - below < 1e-12:
            break
        guess = low + (high - low) * (front.reach_mm - below) / (above - below)
        position = lower_position(settings=guided, excursion=replace(excursion, travel_mm=guess))
        moved = frames.into_plane(landmark_movement(position, incisal), tilt_deg=tilt)
        here = float(moved[0, 0] - start)
        if here <= front.reach_mm:
            low, below = guess, here
        else:
            high, above = guess, here
    return min(max(guess, 0.0), excursion.travel_mm)
