"""A hinge axis that was not found exactly: what is left of it at a tooth."""

from __future__ import annotations

import math
from dataclasses import dataclass

from occlusion.articulator import Point
from occlusion.pin import WrongAxis, wrong_axis
from occlusion.ranges import EngineWarning, check_hard, check_point, usual
from occlusion.sources import cite

USUAL_ERROR_MM = 5.0
"""Arbitrary axes are judged by this distance from the located one (zuckerman_1982)."""

DIRECTIONS: dict[str, tuple[float, float]] = {
    "forward": (1.0, 0.0),
    "backward": (-1.0, 0.0),
    "up": (0.0, 1.0),
    "down": (0.0, -1.0),
}
"""Where the mounted axis stands from the true one, as (x, z)."""

STEP_DEG = 5
"""Every so many degrees a direction is tried for the greatest shift."""

AXIS_FOUND: tuple[tuple[str, int, int], ...] = (
    ("arbitrary axis, first of four reports", 5, 95),
    ("arbitrary axis, second report", 5, 33),
    ("the second report's revised point", 5, 70),
    ("arbitrary axis, third report", 5, 20),
    ("arbitrary axis, fourth report", 6, 33),
    ("ear-type facebow, fourth report", 6, 56),
)
"""How, within how many mm, in how many per cent (zuckerman_1982)."""

SPREAD_AT_2_MM: tuple[tuple[float, float, int], ...] = (
    (0.0, 0.3, 87),
    (0.3, 0.5, 12),
    (0.5, math.inf, 1),
)
"""Error at the second molar from, to (mm), in per cent, for 2 mm of opening (morneburg_2002)."""


@dataclass(frozen=True)
class AxisError:
    """What an axis error and a record thickness do at a tooth.

    Attributes
    ----------
    theta_deg : float
        Turn about the true axis that the record asks for.
    residual_mm : float
        Shift that stays wherever the axis lies, 2 e sin(theta / 2): exact.
    by_direction : dict of str to WrongAxis
        For an axis mounted too far forward, backward, up, down.
    greatest_shift_mm : float
        Largest forward or backward shift at the tooth of any direction, closed to contact.
    notes : tuple of (str, str)
        What was found in people: a sentence, and its source.
    warnings : tuple of EngineWarning
    """

    theta_deg: float
    residual_mm: float
    by_direction: dict[str, WrongAxis]
    greatest_shift_mm: float
    notes: tuple[tuple[str, str], ...]
    warnings: tuple[EngineWarning, ...]


def axis_error_at(
    *,
    tooth_mm: Point,
    record_mm: float,
    record_at_mm: Point,
    axis_error_mm: float = USUAL_ERROR_MM,
) -> AxisError:
    """What an axis that lies wrong by so much does at a tooth, once the record is out.

    Parameters
    ----------
    tooth_mm : point
        Lower point that is watched, closed.
    record_mm : float
        Vertical opening that the record held at ``record_at_mm``.
    record_at_mm : point
        Where the thickness was read, closed.
    axis_error_mm : float
        Distance between the true and the mounted axis; 5 by default.

    Returns
    -------
    AxisError
        In the sagittal plane; y is not used.

    Raises
    ------
    NotANumber, OutOfRange, PinUnreachable
    """
    tooth = check_point(tooth_mm, field="tooth_mm")
    record_at = check_point(record_at_mm, field="record_at_mm")
    thickness = check_hard("record_mm", record_mm)
    error = check_hard("axis_error_mm", axis_error_mm)

    def towards(forward: float, upward: float) -> WrongAxis:
        return wrong_axis(
            record_point_mm=(record_at[0], record_at[2]),
            record_mm=thickness,
            axis_error_mm=(error * forward, error * upward),
            watched_point_mm=(tooth[0], tooth[2]),
        )

    named = {name: towards(*way) for name, way in DIRECTIONS.items()}
    around = (math.radians(angle) for angle in range(0, 360, STEP_DEG))
    shifts = [abs(towards(math.cos(a), math.sin(a)).forward_shift_mm) for a in around]
    found = (usual("record_mm", thickness), usual("axis_error_mm", error))
    return AxisError(
        theta_deg=named["forward"].theta_deg,
        residual_mm=named["forward"].residual_length_mm,
        by_direction=named,
        greatest_shift_mm=max(shifts),
        notes=_notes(),
        warnings=tuple(one for one in found if one is not None),
    )


def _notes() -> tuple[tuple[str, str], ...]:
    within = [percent for _, mm, percent in AXIS_FOUND if mm == USUAL_ERROR_MM]
    shares = ", ".join(
        f"{low:g} to {high:g} mm in {percent} %" if high < math.inf else f"more in {percent} %"
        for low, high, percent in SPREAD_AT_2_MM
    )
    return (
        (
            f"Arbitrary axes came within {USUAL_ERROR_MM:g} mm of the located one in "
            f"{min(within)} to {max(within)} % of patients, depending on the report.",
            cite("zuckerman_1982"),
        ),
        (
            f"Opened 2 mm about an arbitrary axis, the second molar was off by {shares}.",
            cite("morneburg_2002"),
        ),
        (
            "As published, an axis 5 mm too far forward and a record of 3 mm shift the second "
            "molar by about 0.2 mm.",
            cite("weinberg_1961"),
        ),
        (
            "One patient in ten was off by 0.34 mm or more; mounted by mean values 0.44 to 1.12.",
            cite("morneburg_2011"),
        ),
        (
            "The error grows with the axis error and with the thickness of the record; keep the "
            "record thin.",
            cite("axis_simulation"),
        ),
    )
