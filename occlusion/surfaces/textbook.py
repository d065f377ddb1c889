"""The textbook tooth: every measure that was not taken, and the cusps that follow.

A tooth has its cusps at height 0 here; ``occlusion.surfaces.layout`` puts it in its place. How
high cusps stand over their fossa is no measure: it follows from angle and separation.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from occlusion.surfaces.calliper import CalliperTooth
from occlusion.surfaces.cusps import CuspForm, CuspSide, Material
from occlusion.teeth import crown, is_anterior

TIP_SEPARATION_SHARE = 0.58
"""Distance of buccal and lingual tips in buccolingual widths (common practice, no source):
5.2 mm on a premolar of 9 mm."""

MOLAR_TIPS_SHARE = 0.488
"""Distance of the tips along the arch in mesiodistal widths: 4.88 of 10 mm (source: molar_tips)."""

FIVE_CUSPS = (("MB", 0.24), ("DB", -0.16), ("D", -0.42))
"""Buccal row of a lower first molar, in mesiodistal widths to mesial: five cusps are published
(source: molar_cusps), their places are common practice without a source."""

DISTAL_CUSP_DROP_MM = 0.5
"""How much lower the distal cusp stands (common practice, no source)."""

LONE_CUSP_SHARE = 0.1
"""How far to buccal the one cusp of a lower first premolar stands, in buccolingual widths
(common practice, no source)."""

DENTURE_CUSP_DEG = 20.0
"""Cusps of a denture tooth when nothing is told (source: cusp_forms)."""

NATURAL_CUSP_DEG = {"6": 19.25}
"""Cusps of natural first molars (source: natural_cusps_2022)."""

OTHER_NATURAL_CUSP_DEG = 20.0
"""Cusps of other natural back teeth (common practice, no source)."""

PALATAL_FACET_DEG: dict[Material, float] = {"denture": 20.0, "natural": 40.0}
"""Palatal facet of an upper front tooth (common practice, no source)."""

LOWER_FRONT_DEG = 60.0
"""Both sides of the edge of a lower front tooth (common practice, no source)."""

OUTER_INCLINE_DEG = 45.0
"""Outer incline of a back tooth (common practice, no source)."""

LABIAL_DEG = 70.0
"""Labial surface of an upper front tooth (common practice, no source)."""

EDGE_SLOPE_DEG = 30.0
"""How an incisal edge or a canine tip falls along the arch (common practice, no source)."""

EDGE_SHARE = 0.8
"""Length of an incisal edge in mesiodistal widths; a canine has a tip (common practice, no
source)."""

LABIAL_OF_EDGE_MM = 1.5
"""How far an upper front crown reaches to labial of its edge (common practice, no source)."""

TIP_ROUNDNESS_MM = 0.5
"""rho: at 20 deg the tip has a radius of 1.374 mm (common practice, no source)."""


@dataclass(frozen=True)
class Measures:
    """Every measure of one tooth as a number.

    ``rim_v_mm`` is how far to buccal the middle of the crown lies from the centre, ``line_v_mm``
    how far the row that the arch is laid out along. Cusps stand at height 0 here, or below it.
    """

    tooth: str
    md_mm: float
    bl_mm: float
    cusp_height_mm: float
    tip_height_mm: float
    tilt_deg: float
    rim_v_mm: float
    line_v_mm: float
    cusps: tuple[CuspForm, ...]


def measures_of(tooth: CalliperTooth) -> Measures:
    """The measures with the textbook in the place of what was not given."""
    row = crown(tooth.tooth)
    md = _or(tooth.md_mm, row.mesiodistal_mm)
    bl = _or(tooth.bl_mm, row.buccolingual_mm)
    rho = _or(tooth.tip_roundness_mm, TIP_ROUNDNESS_MM)
    front = is_anterior(tooth.tooth)
    cusps = _front_cusp(tooth, md, rho) if front else _back_cusps(tooth, md, bl, rho)
    half = 0.0 if len(cusps) == 1 else max(c.v_mm for c in cusps)
    return Measures(
        tooth=tooth.tooth,
        md_mm=md,
        bl_mm=bl,
        cusp_height_mm=math.tan(math.radians(cusps[0].inner_deg)) * (math.hypot(half, rho) - rho),
        tip_height_mm=_or(tooth.tip_height_mm, 0.0),
        tilt_deg=_or(tooth.tilt_deg, 0.0),
        rim_v_mm=LABIAL_OF_EDGE_MM - bl / 2.0 if front and tooth.member == "upper" else 0.0,
        line_v_mm=max(c.v_mm for c in cusps),
        cusps=cusps,
    )


def lone_cusp(tooth: CalliperTooth) -> bool:
    """A lower first premolar whose tips were not measured: it has a buccal one only."""
    return tooth.member == "lower" and tooth.tooth[1] == "4" and tooth.tip_separation_mm is None


def five_cusps(tooth: CalliperTooth) -> bool:
    """A lower first molar."""
    return tooth.member == "lower" and tooth.tooth[1] == "6"


def cusp_angle_of(tooth: CalliperTooth) -> float:
    """The cusp angle, or facet of a front tooth, that the tooth is drawn with."""
    if tooth.cusp_angle_deg is not None:
        return tooth.cusp_angle_deg
    if is_anterior(tooth.tooth):
        return PALATAL_FACET_DEG[tooth.material] if tooth.member == "upper" else LOWER_FRONT_DEG
    if tooth.material == "denture":
        return DENTURE_CUSP_DEG
    return NATURAL_CUSP_DEG.get(tooth.tooth[1], OTHER_NATURAL_CUSP_DEG)


def _back_cusps(tooth: CalliperTooth, md: float, bl: float, rho: float) -> tuple[CuspForm, ...]:
    angle = cusp_angle_of(tooth)
    half = _or(tooth.tip_separation_mm, TIP_SEPARATION_SHARE * bl) / 2.0

    def cusp(name: str, side: CuspSide, u: float, v: float, z: float = 0.0) -> CuspForm:
        return CuspForm(
            name=name,
            side=side,
            u_mm=u,
            v_mm=v,
            tip_z_mm=z,
            inner_deg=angle,
            outer_deg=_or(tooth.outer_incline_deg, OUTER_INCLINE_DEG),
            mesial_deg=_or(tooth.mesial_slope_deg, angle),
            distal_deg=_or(tooth.distal_slope_deg, angle),
            roundness_mm=rho,
        )

    number = tooth.tooth[1]
    if number in "45":
        if lone_cusp(tooth):
            return (cusp("B", "buccal", 0.0, LONE_CUSP_SHARE * bl),)
        return (cusp("B", "buccal", 0.0, half), cusp("L", "lingual", 0.0, -half))
    quarter = MOLAR_TIPS_SHARE * md / 2.0
    lingual = (
        cusp("ML", "lingual", quarter, -half),
        cusp("DL", "lingual", -quarter, -half),
    )
    if five_cusps(tooth):
        drop = {"D": -DISTAL_CUSP_DROP_MM}
        row = tuple(
            cusp(name, "buccal", share * md, half, drop.get(name, 0.0))
            for name, share in FIVE_CUSPS
        )
        return (*row, *lingual)
    return (cusp("MB", "buccal", quarter, half), cusp("DB", "buccal", -quarter, half), *lingual)


def _front_cusp(tooth: CalliperTooth, md: float, rho: float) -> tuple[CuspForm, ...]:
    upper, canine = tooth.member == "upper", tooth.tooth[1] == "3"
    facet = cusp_angle_of(tooth)
    other = _or(tooth.outer_incline_deg, LABIAL_DEG if upper else LOWER_FRONT_DEG)
    return (
        CuspForm(
            name="tip" if canine else "edge",
            side="buccal",
            u_mm=0.0,
            v_mm=0.0,
            tip_z_mm=0.0,
            inner_deg=facet if upper else other,
            outer_deg=other if upper else facet,
            mesial_deg=_or(tooth.mesial_slope_deg, EDGE_SLOPE_DEG),
            distal_deg=_or(tooth.distal_slope_deg, EDGE_SLOPE_DEG),
            roundness_mm=rho,
            half_edge_mm=0.0 if canine else EDGE_SHARE * md / 2.0,
        ),
    )


def _or(given: float | None, textbook: float) -> float:
    return textbook if given is None else given
