"""An articulator record as the engine's settings, and what is unusual about it."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass

from labcases.domain.calculations import inputs
from labcases.domain.calculations.inputs import Plain
from labcases.models import ArticulatorRecord
from occlusion.articulator import (
    ArticulatorSettings,
    CondylarSide,
    IncisalTable,
    ReferencePlane,
)
from occlusion.errors import OcclusionError
from occlusion.ranges import EngineWarning, warnings_for


@dataclass(frozen=True)
class SettingsFindings:
    """What the engine thinks of a record.

    ``refusal`` is the sentence of a setting that cannot be, ``field`` the form field
    that mends it; ``digest`` names exactly these warnings about exactly this record.
    """

    warnings: tuple[EngineWarning, ...] = ()
    refusal: str = ""
    field: str = ""
    digest: str = ""


def engine_settings(told: Plain) -> ArticulatorSettings:
    """Kept inputs as the engine's settings.

    Raises
    ------
    OcclusionError
        A setting lies outside the hard limits.
    """
    pin = None
    if told["pin_x_mm"] is not None and told["pin_z_mm"] is not None:
        pin = (told["pin_x_mm"], 0.0, told["pin_z_mm"])
    return ArticulatorSettings(
        intercondylar_mm=told["intercondylar_mm"],
        right=CondylarSide(
            inclination_deg=told["condylar_right_deg"],
            bennett_deg=told["bennett_right_deg"],
            immediate_side_shift_mm=told["side_shift_right_mm"],
        ),
        left=CondylarSide(
            inclination_deg=told["condylar_left_deg"],
            bennett_deg=told["bennett_left_deg"],
            immediate_side_shift_mm=told["side_shift_left_mm"],
        ),
        table=IncisalTable(
            sagittal_deg=told["incisal_table_deg"],
            wing_right_excursion_deg=told["wing_right_deg"],
            wing_left_excursion_deg=told["wing_left_deg"],
            mounted_on=told["table_on"],
        ),
        incisal_point_mm=(told["incisal_x_mm"], 0.0, told["incisal_z_mm"]),
        pin_point_mm=pin,
        pin_opening_mm=told["pin_opening_mm"],
        reference_plane=ReferencePlane(
            name=told["reference_plane"], tilt_deg=told["plane_tilt_deg"]
        ),
    )


def settings_findings(record: ArticulatorRecord) -> SettingsFindings:
    """Warnings about a record, or the reason why the engine refuses it."""
    told = inputs.articulator(record)
    try:
        settings = engine_settings(told)
        warnings = tuple(warnings_for(settings))
    except OcclusionError as refusal:
        return SettingsFindings(refusal=str(refusal), field=_form_field(refusal.field))
    text = json.dumps([told, [w.code for w in warnings]], sort_keys=True)
    return SettingsFindings(
        warnings=warnings, digest=hashlib.sha256(text.encode()).hexdigest() if warnings else ""
    )


def _form_field(engine_field: str) -> str:
    """The form field that a field of the engine belongs to, as near as its name tells."""
    names = {
        "condylar_inclination_deg": "condylar_right_deg",
        "bennett_deg": "bennett_right_deg",
        "immediate_side_shift_mm": "side_shift_right_mm",
        "lateral_wing_deg": "wing_right_deg",
        "incisal_point_mm": "incisal_x_mm",
        "pin_point_mm": "pin_x_mm",
    }
    return names.get(engine_field.split(".")[0], engine_field)
