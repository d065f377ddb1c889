"""The verb ``clearance``: two surfaces along excursions, told per tooth or region."""

from __future__ import annotations

from typing import get_args

from occlusion.articulator import Excursion, choose
from occlusion.clearance import (
    AskedExcursion,
    Doubt,
    ExcursionClearance,
    Reduction,
    RegionClearance,
    surface_clearance,
)
from occlusion.door.faces import read_faces
from occlusion.door.shared import Plain, plain, read_settings
from occlusion.door.spreads import read_spread
from occlusion.errors import OcclusionError
from occlusion.front import FrontGuidance
from occlusion.ranges import check_hard, usual, warnings_for
from occlusion.requests import REQUIRED, take, take_list
from occlusion.schemes import Scheme
from occlusion.teeth import is_tooth

KEYS: Plain = {
    "articulator": REQUIRED,
    "excursions": REQUIRED,
    "lower_surface": None,
    "upper_surface": None,
    "lower_landmarks": None,
    "upper_landmarks": None,
    "lower_material": None,
    "upper_material": None,
    "calliper": None,
    "curve": None,
    "regions": None,
    "pitch_mm": 0.1,
    "contact_band_mm": 0.1,
    "scheme": None,
    "front": None,
    "probes_mm": None,
    "spread": None,
}

MOST_EXCURSIONS = 30
"""Excursions in one request."""

MOST_PROBES = 10_000


def clearance(request: object) -> Plain:
    """States, gaps, reductions and spreads along the excursions asked for."""
    told = take(request, field="", keys=KEYS)
    settings, assumed = read_settings(told["articulator"])
    asked = _excursions(told["excursions"], assumed)
    scheme: Scheme | None = told["scheme"]
    if scheme is not None:
        choose(scheme, get_args(Scheme), field="scheme", label="scheme")
    front = None if told["front"] is None else _front(told["front"], assumed)
    band = check_hard("band_mm", told["contact_band_mm"], field="contact_band_mm")
    probes = [] if told["probes_mm"] is None else _probes(told["probes_mm"])
    given = request if isinstance(request, dict) else {}
    assumed += [
        f"{key} is not given: {KEYS[key]}."
        for key in ("pitch_mm", "contact_band_mm")
        if key not in given
    ]
    spread = None if told["spread"] is None else read_spread(told["spread"], settings, assumed)
    surfaces = read_faces(told, settings, spread.cusp_angle_deg if spread else 0.0)
    found = surface_clearance(
        settings=settings,
        asked=asked,
        surfaces=surfaces,
        front=front,
        scheme=scheme,
        band_mm=band,
        draws=spread.draws if spread else None,
        probes_mm=probes,
        exact_normals=True,
    )
    unusual = [usual("travel_mm", one.travel_mm) for one in asked]
    return {
        "excursions": [_excursion(row) for row in found.excursions],
        "reduction": [_reduction(row) for row in found.reduction],
        "envelope_z_mm": list(found.envelope_z_mm),
        "assumptions": [*assumed, *found.assumptions],
        "warnings": plain(
            [*warnings_for(settings), *(one for one in unusual if one), *found.warnings]
        ),
    }


def _excursions(value: object, assumed: list[str]) -> list[AskedExcursion]:
    rows = []
    for index, entry in enumerate(take_list(value, field="excursions", most=MOST_EXCURSIONS)):
        field = f"excursions.{index}"
        told = take(
            entry,
            field=field,
            keys={
                "excursion": REQUIRED,
                "blend": 0,
                "travel_mm": REQUIRED,
                "travel_along": REQUIRED,
                "steps": 30,
            },
        )
        if "steps" not in entry:
            assumed.append(f"{field}.steps is not given: 30.")
        try:
            excursion = Excursion(
                kind=told["excursion"],
                blend=told["blend"],
                travel_mm=told["travel_mm"],
                travel_along=told["travel_along"],
            )
            rows.append(
                AskedExcursion(
                    kind=excursion.kind,
                    blend=excursion.blend,
                    travel_mm=excursion.travel_mm,
                    travel_along=excursion.travel_along,
                    steps=told["steps"],
                )
            )
        except OcclusionError as refusal:
            refusal.field = f"{field}.{refusal.field}"
            raise
    return rows


def _front(value: object, assumed: list[str]) -> FrontGuidance:
    told = take(
        value,
        field="front",
        keys={"overjet_mm": REQUIRED, "overbite_mm": REQUIRED, "facet_deg": None},
    )
    assumed.append("The front teeth named in front guide wherever they are steeper than the table.")
    try:
        return FrontGuidance(guided_by="stone teeth", **told)
    except OcclusionError as refusal:
        refusal.field = f"front.{refusal.field}"
        raise


def _probes(value: object) -> list[tuple[float, float]]:
    rows = []
    for index, entry in enumerate(take_list(value, field="probes_mm", most=MOST_PROBES)):
        pair = take_list(entry, field=f"probes_mm.{index}", exactly=2)
        x, y = (
            check_hard("coordinate_mm", item, field=f"probes_mm.{index}.{axis}")
            for axis, item in zip("xy", pair, strict=True)
        )
        rows.append((x, y))
    return rows


def _excursion(row: ExcursionClearance) -> Plain:
    return {
        "excursion": row.excursion,
        "blend": row.blend,
        "travel_mm": row.travel_mm,
        "pin_lift_mm": row.pin_lift_mm,
        "at_travel_mm": row.pin_lift_at_mm,
        "front_lift_mm": row.front_lift_mm,
        "regions": [_region(one) for one in row.regions],
    }


def _region(row: RegionClearance) -> Plain:
    return {
        "name": row.name,
        "state": row.state,
        "verdict": row.verdict,
        "min_vertical_gap_mm": row.vertical_mm,
        "min_normal_gap_mm": row.normal_mm,
        "robust_vertical_gap_mm": row.robust_mm,
        "at_mm": None if row.at_mm is None else list(row.at_mm),
        "at_travel_mm": row.at_travel_mm,
        "place": row.place,
        "contact_area_mm2": row.contact_area_mm2,
        "pin_lift_mm": row.pin_lift_mm,
        "conditional": row.conditional,
        "spread": _spread(row.doubt),
        "series": [
            {
                "travel_mm": step.travel_mm,
                "min_vertical_gap_mm": step.vertical_mm,
                "min_normal_gap_mm": step.normal_mm,
            }
            for step in row.series
        ],
    }


def _spread(doubt: Doubt | None) -> Plain | None:
    if doubt is None:
        return None
    return {
        "sd_mm": doubt.sd_mm,
        "p05_mm": doubt.p05_mm,
        "p95_mm": doubt.p95_mm,
        "p_interference": doubt.p_interference,
    }


def _reduction(row: Reduction) -> Plain:
    if row.object is None:
        return {"name": row.name, "place": row.place, "text": "the dentist decides"}
    return {
        "name": row.name,
        "reduce_vertical_mm": row.vertical_mm,
        "reduce_normal_mm": row.normal_mm,
        "incline": row.incline,
        "object": "denture",
        "tooth": row.object if is_tooth(row.object) else None,
        "place": row.place,
        "at_mm": list(row.at_mm),
        "excursion": row.excursion,
    }
