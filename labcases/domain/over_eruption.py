"""Natural opposing teeth that stand beyond the occlusal plane: findings, never advice."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from labcases import notation, validators
from labcases.domain import teeth
from labcases.enums import Arch, OpposingTooth
from labcases.enums.opponent import HeightReading
from labcases.models import Prescription

SPLIT = (
    "Bruce, Complete dentures opposing natural teeth, J Prosthet Dent, first page read: "
    "published practice is split between grinding the natural teeth and fitting the denture"
)
"""Why nothing here says what becomes of a natural tooth."""

REQUEST = "Adjusting natural teeth is the dentist's decision; request it here."


def heights(row: Prescription) -> dict[str, Decimal]:
    """Natural opposing teeth that stand beyond the plane, in mouth order, and by how much."""
    return {
        tooth: Decimal(row.over_eruption_mm[tooth])
        for tooth in _natural(row)
        if Decimal(row.over_eruption_mm.get(tooth, "0")) > 0
    }


def finding(tooth: str, height_mm: Decimal) -> str:
    """What is seen of a natural tooth. It stays a finding: no advice changes such a tooth."""
    return f"{stands(tooth, height_mm)}: the dentist decides."


def stands(tooth: str, height_mm: Decimal) -> str:
    """Towards the other arch: above the plane for a lower tooth, below it for an upper one."""
    side = "above" if notation.arch_of(tooth) == Arch.LOWER else "below"
    return f"{tooth} stands {height_mm.normalize():f} mm {side} the plane"


def read_by(row: Prescription) -> str:
    """How the heights were read, in words."""
    how = row.over_eruption_by
    if not how:
        return "how it was read is not said"
    label = str(HeightReading(how).label)
    return label[:1].lower() + label[1:]


def as_tip_height(tooth: str, height_mm: Decimal) -> Decimal:
    """The same as callipers count it: tips above the curve, upwards positive in both arches."""
    return height_mm if notation.arch_of(tooth) == Arch.LOWER else -height_mm


def wrong_heights(row: Prescription) -> Iterator[tuple[str, str]]:
    """Heights that no natural tooth has, and heights of which nobody said how they were read."""
    other = teeth.positions(teeth.other_arch(row.arch))
    for tooth in other:
        mark = row.opposing.get(tooth)
        if tooth in row.over_eruption_mm and mark != OpposingTooth.NATURAL:
            is_now = f"is marked as '{OpposingTooth(mark).label.lower()}'" if mark else "is open"
            yield (
                "over_eruption_mm",
                f"{tooth} has a height of {row.over_eruption_mm[tooth]} mm, but {is_now}. Heights "
                "are read on natural teeth only: take it out, or mark the tooth as natural.",
            )
    if row.over_eruption_mm and not row.over_eruption_by:
        yield (
            "over_eruption_by",
            "Say how the heights beyond the occlusal plane were read.",
        )


def weighed(row: Prescription) -> Iterator[tuple[str, str, str]]:
    """What a reader weighs before signing: field, sentence and source."""
    found = heights(row)
    low, high = validators.usual("over_eruption_mm")
    for tooth, height_mm in found.items():
        unusual = "" if height_mm <= high else f" Usual is {low:f} to {high:f} mm: read it again."
        yield ("over_eruption_mm", f"{finding(tooth, height_mm)}{unusual}", SPLIT)


def _natural(row: Prescription) -> list[str]:
    other = teeth.positions(teeth.other_arch(row.arch))
    return [tooth for tooth in other if row.opposing.get(tooth) == OpposingTooth.NATURAL]
