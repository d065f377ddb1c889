"""Cautions about materials: what a reader should weigh, never a refusal."""

from __future__ import annotations

from dataclasses import dataclass

from labcases.domain import teeth
from labcases.enums import OpposingTooth, ToothMaterial
from labcases.models import Prescription


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
    against = [
        tooth
        for tooth in teeth.replaced(prescription)
        if teeth.antagonist(prescription, tooth) == OpposingTooth.NATURAL
    ]
    found = [
        Caution(
            "hollow-grinding-porcelain",
            "Hollow-grinding takes away what holds a porcelain tooth in the base. Ask the dentist "
            "before any.",
            "common practice, no source",
        )
    ]
    if against:
        found.insert(
            0,
            Caution(
                "porcelain-against-natural",
                f"Porcelain teeth would meet natural teeth at {', '.join(against)}. Resin wears "
                "and spares enamel; porcelain can wear natural teeth, most where it is not "
                "glazed. Grinding removes the wear-resistant outer layer of a denture tooth. The "
                "dentist decides.",
                "IADR/AADR 2012, abstract 158487: resin lost about ten times what enamel lost; "
                "Oral 2022;2(1):11: keep the outer layer; wear of enamel by porcelain: from "
                "memory",
            ),
        )
    return found
