"""The clearance check: what meets what along an excursion, and what could yield."""

from occlusion.clearance.check import BAND_MM, surface_clearance
from occlusion.clearance.model import (
    Clearance,
    Doubt,
    ExcursionClearance,
    Reduction,
    RegionClearance,
    Step,
)
from occlusion.clearance.opposed import Facing, FormReading, Opposed
from occlusion.clearance.paths import AskedExcursion, blends_of, follow, travels_of

__all__ = [
    "BAND_MM",
    "AskedExcursion",
    "Clearance",
    "Doubt",
    "ExcursionClearance",
    "Facing",
    "FormReading",
    "Opposed",
    "Reduction",
    "RegionClearance",
    "Step",
    "blends_of",
    "follow",
    "surface_clearance",
    "travels_of",
]
