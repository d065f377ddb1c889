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
from occlusion.ranges import LIMITS, EngineWarning, warnings_for


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
        right=_side(told, "right"),
        left=_side(told, "left"),
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


def _side(told: Plain, side: str) -> CondylarSide:
    """One condylar path; a refusal names the side, which the engine does not know here."""
    try:
        return CondylarSide(
            inclination_deg=told[f"condylar_{side}_deg"],
            bennett_deg=told[f"bennett_{side}_deg"],
            immediate_side_shift_mm=told[f"side_shift_{side}_mm"],
        )
    except OcclusionError as refusal:
        label = LIMITS[refusal.field].label
        raise type(refusal)(
            f"{side.capitalize()} {label}{refusal.text[len(label) :]}",
            field=f"{refusal.field}.{side}",
            value=refusal.value,
            limit=refusal.limit,
        ) from refusal


def settings_findings(record: ArticulatorRecord) -> SettingsFindings:
    """Warnings about a record, or the reason why the engine refuses it."""
    told = inputs.articulator(record)
    try:
        settings = engine_settings(told)
        warnings = tuple(warnings_for(settings))
    except OcclusionError as refusal:
        return SettingsFindings(refusal=str(refusal), field=form_field(refusal.field))
    text = json.dumps([told, [w.code for w in warnings]], sort_keys=True)
    return SettingsFindings(
        warnings=warnings, digest=hashlib.sha256(text.encode()).hexdigest() if warnings else ""
    )


def form_field(engine_field: str) -> str:
    """The form field that a field of the engine belongs to, or nothing."""
    name, _, part = engine_field.partition(".")
    names = {
        "condylar_inclination_deg": f"condylar_{part}_deg",
        "bennett_deg": f"bennett_{part}_deg",
        "immediate_side_shift_mm": f"side_shift_{part}_mm",
        "lateral_wing_deg": f"wing_{part}_deg",
        "incisal_point_mm": f"incisal_{part}_mm",
        "pin_point_mm": f"pin_{part}_mm",
        "reference_plane": "plane_tilt_deg" if part == "tilt_deg" else "reference_plane",
        "table": "table_on",
    }
    found = names.get(name, name)
    return found if found in (*inputs.ARTICULATOR, *inputs.FRONT) else ""
