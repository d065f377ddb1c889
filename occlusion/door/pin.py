"""The verb ``pin``: what opening the pin does, and how far high teeth lift it."""

from __future__ import annotations

from occlusion import pin as pins
from occlusion import readings
from occlusion.articulator import ArticulatorSettings
from occlusion.door.shared import Plain, plain, read_point, read_settings
from occlusion.errors import BadRequest, ImpossibleGeometry
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
        keys={
            "articulator": REQUIRED,
            "opening_mm": REQUIRED,
            "points": REQUIRED,
            "incline_deg": 0,
        },
    )
    settings, assumed = read_settings(told["articulator"])
    opening = check_hard("pin_opening_mm", told["opening_mm"], field="opening_mm")
    incline = check_hard(
        "cusp_angle_deg", told["incline_deg"], field="incline_deg", label="incline"
    )
    if isinstance(request, dict) and "incline_deg" not in request:
        assumed.append("incline_deg is not given: gaps are those of flat surfaces.")
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
    turned = pins.open_pin(settings=settings, opening_mm=opening, points_mm={})
    found = pins.opening_at_teeth(
        settings=settings, opening_mm=opening, points_mm=places, incline_deg=incline
    )
    opened = usual("pin_opening_mm", opening)
    return {
        "hinge_angle_deg": turned.hinge_deg,
        "points": [
            {
                "name": name,
                "drop_mm": one.drop_mm,
                "back_mm": one.back_mm,
                "straight_line_mm": one.straight_line_mm,
                "gap_mm": one.gap_mm,
                "normal_gap_mm": one.normal_gap_mm,
            }
            for name, one in zip(names, found, strict=True)
        ],
        "straight_pin": _straight_pin(settings, opening),
        "assumptions": [
            *assumed,
            "The opening is counted from the closed pin; the record's own opening is not added.",
            "The drop is how far a point goes down. A gap opens over a lower incline that falls "
            "forward, in z and square to it; the point also goes back, so gap and drop differ.",
            "An opened pin is a temporary aid and is never counted as room.",
            *MODEL_LIMITS,
        ],
        "warnings": plain([*warnings_for(settings), *([opened] if opened else [])]),
    }


def _straight_pin(settings: ArticulatorSettings, reading_mm: float) -> Plain | None:
    """What a straight pin set to this reading really opens; null where it meets no table."""
    try:
        found = readings.straight_pin(settings=settings, reading_mm=reading_mm)
    except ImpossibleGeometry:
        return None
    return {"opening_mm": found.opening_mm, "bench": found.bench, "text": found.text}
