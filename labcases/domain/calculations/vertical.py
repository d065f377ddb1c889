"""What readings of the vertical in the mouth say; the dentist decides on the vertical."""

from __future__ import annotations

from decimal import Decimal

from occlusion.errors import OcclusionError
from occlusion.vertical import Judged, closest_speaking_space, freeway_space


def freeway(rest_mm: Decimal, occlusion_mm: Decimal) -> Judged | None:
    """Freeway space of two readings, and its band; nothing for readings that no face has."""
    try:
        return freeway_space(
            resting_vertical_mm=float(rest_mm), occlusal_vertical_mm=float(occlusion_mm)
        )
    except OcclusionError:
        return None


def speaking(measured_mm: Decimal) -> Judged | None:
    """The closest speaking space as it was measured; never worked out from the freeway space."""
    try:
        return closest_speaking_space(measured_mm=float(measured_mm))
    except OcclusionError:
        return None
