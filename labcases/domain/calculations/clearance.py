"""The clearance check of a case: each posterior tooth in each excursion."""

from __future__ import annotations

from typing import Any

from labcases import notation
from labcases.domain.calculations.inputs import Plain
from labcases.domain.calculations.refusals import CannotCompute
from labcases.domain.calculations.settings import engine_settings, form_field
from occlusion import facet_check as clearance
from occlusion import spread, teeth
from occlusion.articulator import ArticulatorSettings
from occlusion.errors import OcclusionError
from occlusion.ranges import warnings_for

BAND_MM = 0.10
"""Width of the contact band for a set-up in wax (common practice, no source)."""


def findings(told: Plain) -> dict[str, Any]:
    """State and verdict per tooth and excursion, with the assumptions behind them."""
    _complete(told)
    try:
        settings = engine_settings(told["articulator"])
        sites, left_out, assumed = _sites(told, settings)
        if not sites:
            raise CannotCompute(
                "No posterior tooth of this case has an opposing tooth, so nothing can be checked.",
                part="prescription",
                field="opposing",
            )
        found = clearance.facet_clearance(
            settings=settings,
            sites=sites,
            front=clearance.FrontGuidance(
                guided_by=told["front"]["front_guide"],
                overjet_mm=told["front"]["overjet_mm"],
                overbite_mm=told["front"]["overbite_mm"],
            ),
            scheme=told["scheme"],
            band_mm=BAND_MM,
            reading_half_widths=spread.DEFAULT_HALF_WIDTHS,
        )
        warnings = [*warnings_for(settings), *found.warnings]
    except OcclusionError as refusal:
        raise CannotCompute(
            str(refusal), part="settings", field=form_field(refusal.field)
        ) from refusal
    return {
        "scheme": told["scheme"],
        "band_mm": BAND_MM,
        "excursions": [_excursion(row) for row in found.excursions],
        "assumptions": [*found.assumptions, *assumed],
        "warnings": [{"code": w.code, "text": w.text, "source": w.source} for w in warnings],
        "left_out": left_out,
    }


def _complete(told: Plain) -> None:
    if told["articulator"] is None:
        raise CannotCompute("Enter the articulator record first.", part="settings")
    if told["cusp_angle_deg"] is None:
        raise CannotCompute("Enter the tooth selection first.", part="teeth")
    if told["scheme"] is None:
        raise CannotCompute(
            "The prescription names no occlusal scheme.", part="prescription", field="scheme"
        )


def _sites(
    told: Plain, settings: ArticulatorSettings
) -> tuple[list[clearance.FacetSite], list[dict[str, str]], list[str]]:
    """Sites that can be judged, those left out with a sentence, and what was assumed."""
    layout = teeth.arch_landmarks(arch=told["arch"], incisal_point_mm=settings.incisal_point_mm)
    cusp = told["cusp_angle_deg"]
    sites, left_out = [], []
    by_default, by_layout = [], []
    for tooth, values in told["teeth"].items():
        if values["antagonist"] is None:
            left_out.append(
                {"tooth": tooth, "text": "No opposing tooth, so there is nothing to check."}
            )
            continue
        facets = [
            values.get(name)
            for name in ("protrusive_facet_deg", "working_facet_deg", "balancing_facet_deg")
        ]
        if any(facet is None for facet in facets):
            by_default.append(tooth)
        protrusive, working, balancing = (cusp if f is None else f for f in facets)
        place, measured = _landmark(tooth, values, layout[tooth], settings)
        if not measured:
            by_layout.append(tooth)
        sites.append(
            clearance.FacetSite(
                tooth=tooth,
                landmark_mm=place,
                protrusive_facet_deg=protrusive,
                working_facet_deg=working,
                balancing_facet_deg=balancing,
                antagonist=values["antagonist"],
            )
        )
    assumed = []
    if by_default:
        assumed.append(
            f"Facets without a calliper reading slope by the cusp angle of the selection "
            f"({cusp:g}°): {', '.join(by_default)}."
        )
    if by_layout:
        assumed.append(
            "Teeth without a measured place stand where textbook crown widths put them: "
            f"{', '.join(by_layout)}."
        )
    return sites, left_out, assumed


def _landmark(
    tooth: str,
    values: Plain,
    textbook_mm: tuple[float, float, float],
    settings: ArticulatorSettings,
) -> tuple[tuple[float, float, float], bool]:
    """Where the tooth stands: as measured behind the incisal point and from the midline."""
    behind, out = values.get("behind_incisal_mm"), values.get("from_midline_mm")
    if behind is None or out is None:
        return textbook_mm, False
    side = 1.0 if notation.side_of(tooth) == "left" else -1.0
    x, _y, z = settings.incisal_point_mm
    return (x - behind, side * out, z), True


def _excursion(row: Any) -> dict[str, Any]:
    return {
        "excursion": row.excursion,
        "travel_mm": row.travel_mm,
        "pin_lift_mm": row.pin_lift_mm,
        "pin_lift_at_mm": row.pin_lift_at_mm,
        "teeth": [
            {
                "tooth": site.tooth,
                "role": site.role,
                "state": site.state,
                "verdict": site.verdict,
                "gap_mm": site.gap_mm,
                "at_travel_mm": site.at_travel_mm,
                "sd_mm": site.sd_mm,
                "p_interference": site.p_interference,
                "conditional": site.conditional,
                "series": [list(pair) for pair in site.series],
            }
            for site in row.sites
        ],
    }
