"""Inputs of the clearance check as plain values, the same on both sides."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

Plain = dict[str, Any]

_TOLD: Plain = {
    "articulator": {
        "intercondylar_mm": 110.0,
        "condylar_right_deg": 30.0,
        "condylar_left_deg": 30.0,
        "bennett_right_deg": 15.0,
        "bennett_left_deg": 15.0,
        "side_shift_right_mm": 0.0,
        "side_shift_left_mm": 0.0,
        "incisal_table_deg": 20.0,
        "wing_right_deg": 20.0,
        "wing_left_deg": 20.0,
        "table_on": "lower",
        "reference_plane": "axis plane",
        "plane_tilt_deg": 0.0,
        "incisal_x_mm": 80.0,
        "incisal_z_mm": -32.0,
        "pin_x_mm": None,
        "pin_z_mm": None,
        "pin_opening_mm": 0.0,
    },
    "front": {"front_guide": "table", "overjet_mm": 2.0, "overbite_mm": 0.5},
    "cusp_angle_deg": 20.0,
    "scheme": "balanced",
    "arch": "upper",
    "teeth": {
        tooth: {"antagonist": "natural"}
        for tooth in ("17", "16", "15", "14", "24", "25", "26", "27")
    },
    "deviations": {},
    "neighbours": {},
    "opposing": {f"{side}{number}": {"material": "natural"} for side in "43" for number in "76543"},
}


def told(
    articulator: Plain | None = None,
    teeth: Plain | None = None,
    opposing: Plain | None = None,
    **more: Any,
) -> Plain:
    """The inputs with some of them changed; readings are added to single teeth.

    A tooth of the other arch that becomes nothing is missing there.
    """
    found = deepcopy(_TOLD)
    found["articulator"] |= articulator or {}
    for tooth, readings in (opposing or {}).items():
        if readings is None:
            del found["opposing"][tooth]
        else:
            found["opposing"][tooth] |= readings
    for tooth, readings in (teeth or {}).items():
        found["teeth"].setdefault(tooth, {"antagonist": "natural"})
        found["teeth"][tooth] |= readings
    return {**found, **more}


def words(findings: Plain) -> dict[tuple[str, str], str]:
    """The state of each tooth in each excursion."""
    return {
        (row["excursion"], tooth["tooth"]): tooth["state"]
        for row in findings["excursions"]
        for tooth in row["teeth"]
    }
