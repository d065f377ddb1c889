"""The verbs of the JSON door: a request's plain values in, an answer's plain values out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args

import numpy as np

from occlusion import pin as pins
from occlusion import space as spaces
from occlusion.articulator import (
    ArticulatorSettings,
    CondylarSide,
    Excursion,
    IncisalTable,
    Member,
    ReferencePlane,
    choose,
)
from occlusion.errors import BadRequest, OcclusionError, shorten
from occlusion.motion import landmark_movement, lower_position, path_angle_deg
from occlusion.ranges import EngineWarning, check_hard, check_point, usual, warnings_for
from occlusion.requests import REQUIRED, take, take_list, take_text
from occlusion.sources import MODEL_LIMITS
from occlusion.teeth import check_side

Plain = dict[str, Any]

ARTICULATOR_KEYS: Plain = {
    "intercondylar_mm": REQUIRED,
    "condylar_inclination_deg": REQUIRED,
    "bennett_deg": REQUIRED,
    "immediate_side_shift_mm": {"right": 0, "left": 0},
    "incisal_table_deg": REQUIRED,
    "lateral_wing_deg": REQUIRED,
    "table_on": REQUIRED,
    "incisal_point_mm": REQUIRED,
    "pin_point_mm": None,
    "pin_opening_mm": 0,
    "reference_plane": {},
}
"""Keys of the articulator object with their defaults."""

NOT_MOVED_MM = 1e-9
"""A shorter movement has no direction."""


def answer(verb: str, request: object) -> Plain:
    """The answer to a request, without the engine's version.

    Parameters
    ----------
    verb : str
        One of ``VERBS``.
    request : object
        Plain values, as JSON gives them.

    Raises
    ------
    OcclusionError
        Any refusal.
    """
    if verb not in VERBS:
        raise BadRequest(
            f"This version has no verb {shorten(verb)!r}. Use one of: {', '.join(VERBS)}.",
            field="verb",
            value=verb,
            limit=list(VERBS),
        )
    try:
        return VERBS[verb](request)
    except OcclusionError as refusal:
        inside = isinstance(request, dict) and "articulator" in request
        if inside and refusal.field.split(".")[0] in ARTICULATOR_KEYS:
            refusal.field = f"articulator.{refusal.field}"
        raise


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
    settings, assumed = _settings(told["articulator"])
    excursion = Excursion(
        kind=told["excursion"],
        blend=told["blend"],
        travel_mm=told["travel_mm"],
        travel_along=told["travel_along"],
    )
    points = [
        _point(entry, field=f"points.{index}")
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
        "warnings": _plain([*warnings_for(settings), *([travel] if travel else [])]),
    }


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
        "warnings": _plain([lifted] if lifted else []),
    }


def space(request: object) -> Plain:
    """The height budget of sites."""
    told = take(request, field="", keys={"sites": REQUIRED})
    keys: Plain = {
        "tooth": REQUIRED,
        "space_mm": REQUIRED,
        "space_from": "healed ridge",
        "base_min_mm": REQUIRED,
        "relief_mm": 0,
        "tooth_height_mm": REQUIRED,
        "shell_over_fossa_mm": REQUIRED,
        "shell_min_mm": REQUIRED,
        "approved_raise_mm": 0,
        "pin_ratio": None,
    }
    rows: list[Plain] = []
    assumed: list[str] = []
    warnings: list[EngineWarning] = []
    for index, entry in enumerate(take_list(told["sites"], field="sites")):
        values = take(entry, field=f"sites.{index}", keys=keys)
        try:
            found = spaces.site_budget(**values)
        except OcclusionError as refusal:
            refusal.field = f"sites.{index}.{refusal.field}"
            raise
        assumed += [
            f"Site {found.tooth}: {key} is not given: {keys[key]}."
            for key in ("space_from", "relief_mm", "approved_raise_mm")
            if key not in entry
        ]
        warnings += found.warnings
        rows.append(
            {
                "tooth": found.tooth,
                "hollow_mm": found.hollow_mm,
                "occlusal_budget_mm": found.occlusal_budget_mm,
                "shell_left_mm": found.shell_left_mm,
                "fits": found.fits,
                "short_by_mm": found.short_by_mm,
                "ways_out": list(found.ways_out),
                "reading_half_width_mm": found.reading_half_width_mm,
            }
        )
    return {
        "sites": rows,
        "assumptions": [
            *assumed,
            "Space is at the prescribed vertical. An opened pin is a temporary aid and is never "
            "counted as room.",
            "What may come off the occlusal surface is also at most half the cusp's height, so "
            "that the form remains.",
            MODEL_LIMITS[0],
        ],
        "warnings": _plain(warnings),
    }


VERBS: dict[str, Callable[[object], Plain]] = {"motion": motion, "pin": pin, "space": space}
"""The verbs of this version."""


def _pin_opened(request: object) -> Plain:
    told = take(
        request,
        field="",
        keys={"articulator": REQUIRED, "opening_mm": REQUIRED, "points": REQUIRED},
    )
    settings, assumed = _settings(told["articulator"])
    opening = check_hard("pin_opening_mm", told["opening_mm"], field="opening_mm")
    names, places = [], {}
    for index, entry in enumerate(take_list(told["points"], field="points")):
        name, member, point = _point(entry, field=f"points.{index}", member="lower")
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
        "warnings": _plain([*warnings_for(settings), *([opened] if opened else [])]),
    }


def _settings(value: object) -> tuple[ArticulatorSettings, list[str]]:
    """Settings from the articulator object, and a sentence for each default used."""
    told = take(value, field="articulator", keys=ARTICULATOR_KEYS)
    given = value if isinstance(value, dict) else {}
    inclination = _sides(told, "condylar_inclination_deg", "condylar inclination")
    bennett = _sides(told, "bennett_deg", "Bennett angle")
    shift = _sides(told, "immediate_side_shift_mm", "immediate side shift", default=0)
    wing = _sides(told, "lateral_wing_deg", "lateral wing")
    plane = take(
        told["reference_plane"],
        field="reference_plane",
        keys={"name": "axis plane", "tilt_deg": 0},
    )
    choose(
        told["table_on"],
        get_args(Member),
        field="table_on",
        label="the member with the table",
    )
    pin_point = told["pin_point_mm"]
    sides = {
        side: CondylarSide(
            inclination_deg=inclination[side],
            bennett_deg=bennett[side],
            immediate_side_shift_mm=shift[side],
        )
        for side in ("right", "left")
    }
    settings = ArticulatorSettings(
        intercondylar_mm=told["intercondylar_mm"],
        right=sides["right"],
        left=sides["left"],
        table=IncisalTable(
            sagittal_deg=told["incisal_table_deg"],
            wing_right_excursion_deg=wing["right"],
            wing_left_excursion_deg=wing["left"],
            mounted_on=told["table_on"],
        ),
        incisal_point_mm=told["incisal_point_mm"],
        pin_point_mm=pin_point,
        pin_opening_mm=told["pin_opening_mm"],
        reference_plane=ReferencePlane(name=plane["name"], tilt_deg=plane["tilt_deg"]),
    )
    assumed = []
    if "immediate_side_shift_mm" not in given:
        assumed.append("immediate_side_shift_mm is not given: 0 mm on both sides.")
    if pin_point is None:
        assumed.append("pin_point_mm is not given: the pin stands at the incisal point.")
    if "pin_opening_mm" not in given:
        assumed.append("pin_opening_mm is not given: 0 mm.")
    if "reference_plane" not in given:
        assumed.append("reference_plane is not given: the axis plane, without tilt.")
    return settings, assumed


def _sides(told: Plain, key: str, label: str, default: object = REQUIRED) -> dict[str, float]:
    """A value of the right and one of the left, each checked under its own name."""
    values = take(told[key], field=key, keys={"right": default, "left": default})
    return {
        side: check_hard(
            key,
            values[side],
            field=f"{key}.{side}",
            label=f"{label} of the {side} excursion"
            if key == "lateral_wing_deg"
            else f"{side} {label}",
        )
        for side in ("right", "left")
    }


def _point(
    entry: object, *, field: str, member: object = REQUIRED
) -> tuple[str, Member, tuple[float, float, float]]:
    told = take(entry, field=field, keys={"name": REQUIRED, "member": member, "mm": REQUIRED})
    name = take_text(told["name"], field=f"{field}.name")
    choose(told["member"], get_args(Member), field=f"{field}.member", label="member")
    chosen: Member = "upper" if told["member"] == "upper" else "lower"
    point = check_point(told["mm"], field=f"{field}.mm", label=f"point {shorten(name)}")
    if len(name) == 2 and name.isascii() and name[0] in "1234" and name[1] in "12345678":
        check_side(name, point[1], field=f"{field}.mm")
    return name, chosen, point


def _plain(warnings: list[EngineWarning]) -> list[dict[str, str]]:
    return [{"code": one.code, "text": one.text, "source": one.source} for one in warnings]
