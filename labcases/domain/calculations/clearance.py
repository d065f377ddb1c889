"""The clearance check of a case: each posterior tooth in each excursion, on whole surfaces."""

from __future__ import annotations

import json
from copy import deepcopy
from dataclasses import replace
from functools import lru_cache
from typing import Any

from labcases.domain.calculations import _arches
from labcases.domain.calculations.inputs import Plain
from labcases.domain.calculations.refusals import CannotCompute
from labcases.domain.calculations.settings import engine_settings, form_field
from occlusion.articulator import ArticulatorSettings
from occlusion.clearance import (
    BAND_MM,
    Clearance,
    ExcursionClearance,
    Opposed,
    Reduction,
    RegionClearance,
    blends_of,
    callipers,
    follow,
    surface_clearance,
    travels_of,
)
from occlusion.errors import OcclusionError
from occlusion.front import FrontGuidance
from occlusion.ranges import warnings_for
from occlusion.spread import DEFAULT_HALF_WIDTHS, Draws, Measured, draws_of
from occlusion.surfaces.arches import Arches

PITCH_MM = 0.1

DRAWS = 1000

KEPT_ANSWERS = 16
"""The same question is asked again by papers and people; its answer is never another one."""

SETTINGS_READ = ("condylar_inclination_deg", "bennett_deg", "incisal_table_deg", "lateral_wing_deg")
"""Readings of the articulator that may be off. The pin is none of them: the teeth are set to
touch with the pin where it stands, whatever its scale says."""

CUSPS = {"natural": callipers.NATURAL_CUSP_DEG, "denture": callipers.DENTURE_CUSP_DEG}

DEVIATION = {
    "condylar_right_sd_deg": ("condylar_inclination_deg.right", "condylar_right_deg"),
    "condylar_left_sd_deg": ("condylar_inclination_deg.left", "condylar_left_deg"),
    "bennett_right_sd_deg": ("bennett_deg.right", "bennett_right_deg"),
    "bennett_left_sd_deg": ("bennett_deg.left", "bennett_left_deg"),
}
"""Kept deviation -> the engine's name of the reading, and the field that holds its value."""

SDS_IN_HALF_WIDTH = 1.96
"""95 of 100 normal errors lie within so many standard deviations."""


def findings(told: Plain) -> dict[str, Any]:
    """State and verdict per tooth and excursion, what could yield, and the assumptions behind.

    Raises
    ------
    CannotCompute
        Something is not entered, or the engine refuses a setting.
    """
    return deepcopy(_findings(json.dumps(told)))


@lru_cache(maxsize=KEPT_ANSWERS)
def _findings(kept: str) -> dict[str, Any]:
    told = json.loads(kept)
    complete(told)
    left_out = [
        {"tooth": tooth, "text": "No opposing tooth, so there is nothing to check."}
        for tooth, values in told["teeth"].items()
        if values["antagonist"] is None
    ]
    if len(left_out) == len(told["teeth"]):
        raise CannotCompute(
            "No posterior tooth of this case has an opposing tooth, so nothing can be checked.",
            part="prescription",
            field="opposing",
        )
    settings, arches = set_up_of(told)
    try:
        found = _check(
            told, settings, callipers.oppose(arches, pitch_mm=PITCH_MM, cusp_half_width_deg=CUSPS)
        )
        warnings = [*warnings_for(settings), *found.warnings]
    except OcclusionError as refusal:
        raise CannotCompute(
            str(refusal), part="settings", field=form_field(refusal.field)
        ) from refusal
    alone = {
        region.name
        for excursion in found.excursions
        for region in excursion.regions
        if region.gap_mm is None
    }
    wanted = []
    for tooth, values in told["teeth"].items():
        if values["antagonist"] is None:
            continue
        if tooth in alone:
            text = "The tooth of its name stands opposite, but nothing lies under this one."
            left_out.append({"tooth": tooth, "text": text})
        else:
            wanted.append(tooth)
    return {
        "scheme": told["scheme"],
        "band_mm": BAND_MM,
        "excursions": [_excursion(row, wanted) for row in found.excursions],
        "reduction": [_reduction(row) for row in found.reduction if row.name in wanted],
        "assumptions": [*_opened(settings), *found.assumptions],
        "warnings": [{"code": w.code, "text": w.text, "source": w.source} for w in warnings],
        "left_out": left_out,
    }


def set_up_of(told: Plain) -> tuple[ArticulatorSettings, Arches]:
    """Settings that can be followed, and both arches; ``told`` is complete.

    Raises
    ------
    CannotCompute
        The engine refuses a setting or a measure.
    """
    try:
        settings = engine_settings(told["articulator"])
        _followed(told, settings)
    except OcclusionError as refusal:
        raise CannotCompute(
            str(refusal), part="settings", field=form_field(refusal.field)
        ) from refusal
    try:
        return settings, _arches.arches(told, settings)
    except OcclusionError as refusal:
        raise CannotCompute(str(refusal), part="sites") from refusal


def closed(settings: ArticulatorSettings) -> ArticulatorSettings:
    """With the pin closed: the teeth are set to touch wherever it stands."""
    return replace(settings, pin_opening_mm=0.0)


def front_of(told: Plain) -> FrontGuidance:
    """The front teeth as read."""
    return FrontGuidance(
        guided_by=told["front"]["front_guide"],
        overjet_mm=told["front"]["overjet_mm"],
        overbite_mm=told["front"]["overbite_mm"],
    )


def _followed(told: Plain, settings: ArticulatorSettings) -> None:
    """Refuse settings that cannot be followed before anything is said of the teeth."""
    front = front_of(told)
    for asked in travels_of(front, steps=2):
        follow(settings=settings, asked=asked, front=front)


def _check(told: Plain, settings: ArticulatorSettings, surfaces: Opposed) -> Clearance:
    front = front_of(told)
    shut = closed(settings)
    return surface_clearance(
        settings=shut,
        asked=travels_of(front),
        surfaces=surfaces,
        front=front,
        scheme=told["scheme"],
        band_mm=BAND_MM,
        draws=_draws(told, shut),
        swept_too=blends_of(front),
    )


def _draws(told: Plain, settings: ArticulatorSettings) -> Draws:
    """Settings that the readings may have meant."""
    widths = {name: DEFAULT_HALF_WIDTHS[name] for name in SETTINGS_READ}
    readings = readings_of(told)
    return draws_of(settings, half_widths=widths, readings=readings or None, draws=DRAWS)


def readings_of(told: Plain) -> dict[str, Measured]:
    """Readings whose deviation is kept; it goes before the usual error."""
    return {
        DEVIATION[name][0]: Measured(
            told["articulator"][DEVIATION[name][1]], min(20.0, SDS_IN_HALF_WIDTH * sd), "normal"
        )
        for name, sd in told["deviations"].items()
    }


def complete(told: Plain) -> None:
    """Refuse what lacks something, and say which part mends it."""
    if told["articulator"] is None:
        raise CannotCompute("Enter the articulator record first.", part="settings")
    if told["cusp_angle_deg"] is None:
        raise CannotCompute("Enter the tooth selection first.", part="teeth")
    if told["scheme"] is None:
        raise CannotCompute(
            "The prescription names no occlusal scheme.", part="prescription", field="scheme"
        )


def _opened(settings: ArticulatorSettings) -> list[str]:
    if settings.pin_opening_mm == 0.0:
        return []
    return [
        f"The record has the pin at {settings.pin_opening_mm:g} mm; the check counts from the "
        "closed pin: an opened pin makes no room."
    ]


def _excursion(row: ExcursionClearance, wanted: list[str]) -> dict[str, Any]:
    by_name = {region.name: region for region in row.regions}
    return {
        "excursion": row.excursion,
        "travel_mm": row.travel_mm,
        "pin_lift_mm": row.front_lift_mm,
        "pin_lift_at_mm": row.front_lift_at_mm,
        "teeth": [_tooth(by_name[tooth]) for tooth in wanted if tooth in by_name],
    }


def _tooth(row: RegionClearance) -> dict[str, Any]:
    doubt = row.doubt
    return {
        "tooth": row.name,
        "role": row.role,
        "state": row.state,
        "verdict": row.verdict,
        "gap_mm": row.gap_mm,
        "at_travel_mm": row.told_at_mm,
        "place": row.place,
        "pin_lift_mm": row.pin_lift_mm,
        "sd_mm": doubt.sd_mm if doubt else None,
        "p_interference": doubt.p_interference if doubt else None,
        "conditional": row.conditional,
        "series": [[step.travel_mm, step.vertical_mm] for step in row.series],
    }


def _reduction(row: Reduction) -> dict[str, Any]:
    return {
        "tooth": row.name,
        "object": row.object,
        "vertical_mm": row.vertical_mm,
        "normal_mm": row.normal_mm,
        "incline": row.incline,
        "place": row.place,
        "excursion": row.excursion,
    }
