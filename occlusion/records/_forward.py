"""Movements of lower points along the plane of the settings, and how far protrusion must go."""

from __future__ import annotations

from typing import Any

import numpy as np

from occlusion import frames
from occlusion.articulator import ArticulatorSettings, Excursion
from occlusion.errors import NoSolution
from occlusion.frames import Array
from occlusion.motion import landmark_movement, lower_position

ROUNDS = 60
CLOSE_ENOUGH_MM = 1e-12


def forward(travel_mm: float) -> Excursion:
    """Protrusion by this advance of the condyles."""
    return Excursion(kind="protrusive", travel_mm=travel_mm, travel_along="horizontal")


def moved_in_plane(settings: ArticulatorSettings, points_mm: Any, excursion: Excursion) -> Array:
    """Movements of lower points (m, 3) at the end of an excursion, seen from the plane."""
    position = lower_position(settings=settings, excursion=excursion)
    tilt = settings.reference_plane.tilt_deg
    return frames.into_plane(landmark_movement(position, points_mm), tilt_deg=tilt)


def travel_for_advance_mm(settings: ArticulatorSettings, advance_mm: float) -> float:
    """Advance of the condyles at which the incisal point has gone forward by ``advance_mm``.

    Raises
    ------
    NoSolution
        It does not go that far.
    """
    incisal = np.array([settings.incisal_point_mm])
    start = moved_in_plane(settings, incisal, forward(0.0))[0, 0]
    travel = advance_mm
    for _ in range(ROUNDS):  # the ratio hardly changes with travel, so a handful are needed
        reached = moved_in_plane(settings, incisal, forward(travel))[0, 0] - start
        if reached <= 0.0:
            break
        better = travel * advance_mm / reached
        if abs(better - travel) < CLOSE_ENOUGH_MM:
            return float(better)
        travel = float(better)
    raise NoSolution(
        "The incisal point does not go that far forward. Check advance and table.",
        field="advance_mm",
        value=advance_mm,
    )
