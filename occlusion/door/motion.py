"""The verb ``motion``: where the lower member stands at the end of one excursion."""

from __future__ import annotations

import numpy as np

from occlusion.articulator import Excursion
from occlusion.door.shared import Plain, plain, read_point, read_settings
from occlusion.motion import landmark_movement, lower_position, path_angle_deg
from occlusion.ranges import usual, warnings_for
from occlusion.requests import REQUIRED, take, take_list
from occlusion.sources import MODEL_LIMITS

NOT_MOVED_MM = 1e-9
"""A shorter movement has no direction."""


def motion(request: object) -> Plain:
    """Where the lower member stands at the end of one excursion."""
    told = take(
        request,
        field="",
        keys={
            "articulator": REQUIRED,
            "excursion": REQUIRED,
            "blend": 0,
            "travel_mm": REQUIRED,
            "travel_along": REQUIRED,
            "points": REQUIRED,
        },
    )
    settings, assumed = read_settings(told["articulator"])
    excursion = Excursion(
        kind=told["excursion"],
        blend=told["blend"],
        travel_mm=told["travel_mm"],
        travel_along=told["travel_along"],
    )
    points = [
        read_point(entry, field=f"points.{index}")
        for index, entry in enumerate(take_list(told["points"], field="points"))
    ]
    position = lower_position(settings=settings, excursion=excursion)
    if isinstance(request, dict) and "blend" not in request:
        assumed.append("blend is not given: 0, the excursion itself.")
    if excursion.is_protrusion and excursion.travel_along == "path":
        assumed.append("In protrusion the condyle with the steeper path has the travel given.")
    rows = []
    for name, member, point in points:
        moved = landmark_movement(position, point, member=member)
        angle: float | None = None
        if member == "lower" and float(np.linalg.norm(moved)) > NOT_MOVED_MM:
            angle = float(path_angle_deg(moved))
        rows.append({"name": name, "displacement_mm": moved.tolist(), "path_angle_deg": angle})
    travel = usual("travel_mm", excursion.travel_mm)
    return {
        "transform": position.transform.tolist(),
        "hinge_angle_deg": position.hinge_deg,
        "advance_mm": position.advance_mm,
        "pin_point_mm": list(position.pin_point_mm),
        "condyles_mm": {
            "right": list(position.condyle_right_mm),
            "left": list(position.condyle_left_mm),
        },
        "points": rows,
        "assumptions": [*assumed, *MODEL_LIMITS],
        "warnings": plain([*warnings_for(settings), *([travel] if travel else [])]),
    }
