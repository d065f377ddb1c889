"""The verb ``pin``: what opening the pin does, and how far high teeth lift it."""

from __future__ import annotations

from occlusion import pin as pins
from occlusion.door.shared import Plain, plain, read_point, read_settings
from occlusion.errors import BadRequest
from occlusion.ranges import check_hard, check_point, usual, warnings_for
from occlusion.requests import REQUIRED, take, take_list
from occlusion.sources import MODEL_LIMITS


def pin(request: object) -> Plain:
    """The rise of the pin from tips that stand too low, or what opening it does to points."""
    if isinstance(request, dict) and "articulator" in request:
        return _pin_opened(request)
    told = take(
        request,
        field="",
        keys={"pin_point_mm": REQUIRED, "lower_rim_z_mm": REQUIRED, "upper_tips_mm": REQUIRED},
    )
    found = pins.pin_rise(
        pin_point_mm=check_point(told["pin_point_mm"], field="pin_point_mm", label="pin point"),
        lower_rim_z_mm=told["lower_rim_z_mm"],
        upper_tips_mm=[
            check_point(tip, field=f"upper_tips_mm.{index}", label=f"upper tip {index}")
            for index, tip in enumerate(take_list(told["upper_tips_mm"], field="upper_tips_mm"))
        ],
    )
    lifted = usual("pin_opening_mm", found.pin_rise_mm)
    return {
        "pin_rise_mm": found.pin_rise_mm,
        "first_contact_index": found.first_contact_index,
        "pin_rise_if_only_this_tip_mm": list(found.pin_rise_if_only_this_tip_mm),
        "grind_to_close_mm": list(found.grind_to_close_mm),
        "assumptions": [
            "The lower rim is flat and horizontal; tips are counted from 0.",
            "The rise is the drop of the lower point under the pin, opened about the hinge axis.",
            "Depths are of denture teeth only, straight up; a natural tooth is never reduced on "
            "this answer's word.",
            *MODEL_LIMITS,
        ],
        "warnings": plain([lifted] if lifted else []),
    }


def _pin_opened(request: object) -> Plain:
    told = take(
        request,
        field="",
        keys={"articulator": REQUIRED, "opening_mm": REQUIRED, "points": REQUIRED},
    )
    settings, assumed = read_settings(told["articulator"])
    opening = check_hard("pin_opening_mm", told["opening_mm"], field="opening_mm")
    names, places = [], {}
    for index, entry in enumerate(take_list(told["points"], field="points")):
        name, member, point = read_point(entry, field=f"points.{index}", member="lower")
        if member != "lower":
            raise BadRequest(
                "Only lower points move when the pin is opened. Send lower points.",
                field=f"points.{index}.member",
                value=member,
                limit=["lower"],
            )
        names.append(name)
        places[str(index)] = point
    found = pins.open_pin(settings=settings, opening_mm=opening, points_mm=places)
    opened = usual("pin_opening_mm", opening)
    return {
        "hinge_angle_deg": found.hinge_deg,
        "points": [
            {"name": name, "drop_mm": found.drop_mm[key], "back_mm": found.back_mm[key]}
            for name, key in zip(names, places, strict=True)
        ],
        "assumptions": [
            *assumed,
            "The opening is counted from the closed pin; the record's own opening is not added.",
            "An opened pin is a temporary aid and is never counted as room.",
            *MODEL_LIMITS,
        ],
        "warnings": plain([*warnings_for(settings), *([opened] if opened else [])]),
    }
