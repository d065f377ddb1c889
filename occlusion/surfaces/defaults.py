"""The defaults of the textbook in words: what stands for a measure not taken, and its source."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from occlusion.sources import cite
from occlusion.surfaces.calliper import CalliperTooth
from occlusion.surfaces.textbook import (
    DENTURE_CUSP_DEG,
    LOWER_FRONT_DEG,
    NATURAL_CUSP_DEG,
    OTHER_NATURAL_CUSP_DEG,
    OUTER_INCLINE_DEG,
    PALATAL_FACET_DEG,
    TIP_ROUNDNESS_MM,
    TIP_SEPARATION_SHARE,
    five_cusps,
    lone_cusp,
)
from occlusion.teeth import is_anterior


def sentences(teeth: Sequence[CalliperTooth]) -> list[str]:
    """Every default that stands for a measure of these teeth, one sentence a default."""
    said = []
    for measure, stands_for, words, source in _DEFAULTS:
        named = [t.tooth for t in teeth if (not measure or measure in t.defaults) and stands_for(t)]
        if named:
            whom = "all teeth" if len(named) == len(teeth) else ", ".join(named)
            said.append(f"{words} ({cite(source)}): {whom}.")
    return said


def _back(tooth: CalliperTooth) -> bool:
    return not is_anterior(tooth.tooth)


def _front(tooth: CalliperTooth) -> bool:
    return is_anterior(tooth.tooth)


def _upper_front(tooth: CalliperTooth) -> bool:
    return _front(tooth) and tooth.member == "upper"


def _lower_front(tooth: CalliperTooth) -> bool:
    return _front(tooth) and tooth.member == "lower"


def _paired(tooth: CalliperTooth) -> bool:
    return _back(tooth) and not lone_cusp(tooth)


def _molar(tooth: CalliperTooth) -> bool:
    return tooth.tooth[1] in "678"


def _first_molar(tooth: CalliperTooth) -> bool:
    return tooth.material == "natural" and tooth.tooth[1] in NATURAL_CUSP_DEG


def _denture_back(tooth: CalliperTooth) -> bool:
    return _back(tooth) and tooth.material == "denture"


def _other_natural(tooth: CalliperTooth) -> bool:
    return _back(tooth) and tooth.material == "natural" and not _first_molar(tooth)


def _denture_front(tooth: CalliperTooth) -> bool:
    return _upper_front(tooth) and tooth.material == "denture"


def _natural_front(tooth: CalliperTooth) -> bool:
    return _upper_front(tooth) and tooth.material == "natural"


_DEFAULTS: tuple[tuple[str, Callable[[CalliperTooth], bool], str, str], ...] = (
    ("md_mm", lambda _t: True, "Mesiodistal widths are the textbook's", "crown_table"),
    ("bl_mm", lambda _t: True, "Buccolingual widths are the textbook's", "crown_table"),
    (
        "tip_separation_mm",
        _paired,
        f"Buccal and lingual tips stand {TIP_SEPARATION_SHARE:.0%} of the width apart",
        "practice",
    ),
    ("tip_separation_mm", lone_cusp, "One buccal cusp and no lingual one", "practice"),
    ("", _molar, "Tips along the arch stand 49% of the width apart", "molar_tips"),
    ("", five_cusps, "Three buccal cusps instead, the distal one lowest", "molar_cusps"),
    (
        "cusp_angle_deg",
        _denture_back,
        f"Denture cusps of {DENTURE_CUSP_DEG:g} deg",
        "cusp_forms",
    ),
    (
        "cusp_angle_deg",
        _first_molar,
        f"Natural cusps of {NATURAL_CUSP_DEG['6']:g} deg",
        "natural_cusps_2022",
    ),
    (
        "cusp_angle_deg",
        _other_natural,
        f"Natural cusps of {OTHER_NATURAL_CUSP_DEG:g} deg",
        "practice",
    ),
    (
        "cusp_angle_deg",
        _denture_front,
        f"A palatal facet of {PALATAL_FACET_DEG['denture']:g} deg",
        "practice",
    ),
    (
        "cusp_angle_deg",
        _natural_front,
        f"A palatal facet of {PALATAL_FACET_DEG['natural']:g} deg",
        "practice",
    ),
    (
        "cusp_angle_deg",
        _lower_front,
        f"Both sides of the edge fall by {LOWER_FRONT_DEG:g} deg",
        "practice",
    ),
    (
        "outer_incline_deg",
        _back,
        f"Outer inclines of {OUTER_INCLINE_DEG:g} deg",
        "practice",
    ),
    ("mesial_slope_deg", _back, "Mesial slopes as steep as the cusp angle", "practice"),
    ("distal_slope_deg", _back, "Distal slopes as steep as the cusp angle", "practice"),
    (
        "tip_roundness_mm",
        lambda _t: True,
        f"Tips and edges are rounded with {TIP_ROUNDNESS_MM:g} mm",
        "practice",
    ),
)
"""Measure ("": none can be given), the teeth that its default stands for, the default in words,
and its source. Heights and tilts have 0 for a default, which the sentence on the curve tells."""
