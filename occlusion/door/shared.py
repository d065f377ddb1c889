"""What several verbs read and write: the articulator object, points, warnings."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, get_args

from occlusion.articulator import (
    ArticulatorSettings,
    CondylarSide,
    IncisalTable,
    Member,
    ReferencePlane,
    choose,
)
from occlusion.errors import shorten
from occlusion.ranges import EngineWarning, check_hard, check_point
from occlusion.requests import REQUIRED, take, take_text
from occlusion.teeth import check_side, is_tooth

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


def read_settings(value: object) -> tuple[ArticulatorSettings, list[str]]:
    """Settings from the articulator object, and a sentence for each default used."""
    told = take(value, field="articulator", keys=ARTICULATOR_KEYS)
    given = value if isinstance(value, dict) else {}
    inclination = sides_of(told, "condylar_inclination_deg", "condylar inclination")
    bennett = sides_of(told, "bennett_deg", "Bennett angle")
    shift = sides_of(told, "immediate_side_shift_mm", "immediate side shift", default=0)
    wing = sides_of(told, "lateral_wing_deg", "lateral wing")
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


def sides_of(told: Plain, key: str, label: str, default: object = REQUIRED) -> dict[str, float]:
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


def read_point(
    entry: object, *, field: str, member: object = REQUIRED
) -> tuple[str, Member, tuple[float, float, float]]:
    told = take(entry, field=field, keys={"name": REQUIRED, "member": member, "mm": REQUIRED})
    name = take_text(told["name"], field=f"{field}.name")
    choose(told["member"], get_args(Member), field=f"{field}.member", label="member")
    chosen: Member = "upper" if told["member"] == "upper" else "lower"
    point = check_point(told["mm"], field=f"{field}.mm", label=f"point {shorten(name)}")
    if is_tooth(name):
        check_side(name, point[1], field=f"{field}.mm")
    return name, chosen, point


def plain(warnings: Iterable[EngineWarning]) -> list[dict[str, str]]:
    return [{"code": one.code, "text": one.text, "source": one.source} for one in warnings]
