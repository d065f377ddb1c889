"""Cautions about materials: what a reader should weigh, never a refusal."""

from __future__ import annotations

from dataclasses import dataclass

from labcases.domain import opponent, teeth
from labcases.enums import OpposingTooth, ToothMaterial
from labcases.models import Prescription

PRACTICE = "common practice, no source"
"""The source of what the trade does and no text that was read says."""


@dataclass(frozen=True)
class Caution:
    """One thing to weigh, with its source beside it."""

    code: str
    text: str
    source: str


def of_material(prescription: Prescription, material: str) -> list[Caution]:
    """Cautions about a tooth material against what stands in the other arch."""
    if material != ToothMaterial.PORCELAIN:
        return []
    kind = opponent.of(prescription)
    against = [
        tooth
        for tooth in teeth.replaced(prescription)
        if teeth.antagonist(prescription, tooth) == OpposingTooth.NATURAL
        and kind not in opponent.COMPLETE
    ]
    # The kind alone says that there are natural teeth, before the chart says which.
    unmarked = kind in opponent.WITH_NATURAL and not prescription.opposing
    found = [
        Caution(
            "hollow-grinding-porcelain",
            "Hollow-grinding takes away what holds a porcelain tooth in the base. Ask the dentist "
            "before any.",
            "common practice, no source",
        )
    ]
    if against or unmarked:
        where = ", ".join(against) or "positions that are not marked yet"
        found.insert(
            0,
            Caution(
                "porcelain-against-natural",
                f"Porcelain teeth would meet natural teeth at {where}. Resin wears "
                "and spares enamel; porcelain can wear natural teeth, most where it is not "
                "glazed. Grinding removes the wear-resistant outer layer of a denture tooth. The "
                "dentist decides.",
                "IADR/AADR 2012, abstract 158487: resin lost about ten times what enamel lost; "
                "Oral 2022;2(1):11: keep the outer layer; wear of enamel by porcelain: from "
                "memory",
            ),
        )
    return found
