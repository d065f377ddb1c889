"""Both arches of a case as the engine's teeth from callipers."""

from __future__ import annotations

from typing import Literal, cast

from labcases import notation
from labcases.domain.calculations.inputs import Plain
from occlusion.articulator import ArticulatorSettings
from occlusion.surfaces.arches import Arches, set_up
from occlusion.surfaces.calliper import CalliperTooth

Material = Literal["denture", "natural"]

MEASURES = {
    "mesiodistal_mm": "md_mm",
    "buccolingual_mm": "bl_mm",
    "tip_separation_mm": "tip_separation_mm",
    "cusp_angle_deg": "cusp_angle_deg",
    "tip_height_mm": "tip_height_mm",
    "tilt_deg": "tilt_deg",
}
"""Kept reading -> the engine's measure."""


def arches(told: Plain, settings: ArticulatorSettings) -> Arches:
    """The posterior teeth of both arches, the denture teeth settled into contact.

    Raises
    ------
    OcclusionError
        A reading that no tooth can have.
    """
    own = [
        _tooth(tooth, "denture", values, settings, cusp_deg=told["cusp_angle_deg"])
        for tooth, values in told["teeth"].items()
    ]
    own += [
        _tooth(tooth, "natural", values, settings) for tooth, values in told["neighbours"].items()
    ]
    opposing = [
        _tooth(tooth, cast(Material, values["material"]), values, settings)
        for tooth, values in told["opposing"].items()
    ]
    upper, lower = (own, opposing) if told["arch"] == "upper" else (opposing, own)
    return set_up(
        upper=upper,
        lower=lower,
        incisal_point_mm=settings.incisal_point_mm,
        settings=settings,
    )


def _tooth(
    tooth: str,
    material: Material,
    values: Plain,
    settings: ArticulatorSettings,
    *,
    cusp_deg: float | None = None,
) -> CalliperTooth:
    measures = {name: values[kept] for kept, name in MEASURES.items() if kept in values}
    if cusp_deg is not None:
        measures.setdefault("cusp_angle_deg", cusp_deg)
    behind, out = values.get("behind_incisal_mm"), values.get("from_midline_mm")
    if behind is not None and out is not None:
        side = 1.0 if notation.side_of(tooth) == "left" else -1.0
        measures["centre_mm"] = (settings.incisal_point_mm[0] - behind, side * out)
    return CalliperTooth(tooth=tooth, material=material, **measures)
