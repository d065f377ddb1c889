"""Choosing teeth: sizes, room, cusp form and material. Ranges and reasons, never one answer."""

from occlusion.selection.anterior import (
    Estimate,
    Measures,
    Proposal,
    anterior_widths,
    measure_warnings,
    proposals,
)
from occlusion.selection.cusps import CuspAdvice, CuspForm, cusp_form, cusp_height_mm
from occlusion.selection.materials import Caution, material_against
from occlusion.selection.room import (
    SideRoom,
    ToothSizes,
    crown_size_check,
    posterior_room,
    tooth_sizes,
)

__all__ = [
    "Caution",
    "CuspAdvice",
    "CuspForm",
    "Estimate",
    "Measures",
    "Proposal",
    "SideRoom",
    "ToothSizes",
    "anterior_widths",
    "crown_size_check",
    "cusp_form",
    "cusp_height_mm",
    "material_against",
    "measure_warnings",
    "posterior_room",
    "proposals",
    "tooth_sizes",
]
