"""Which positions of a case are set with denture teeth, and against what."""

from __future__ import annotations

from labcases import notation
from labcases.enums import Arch, OpposingTooth, ToothStatus
from labcases.models import Prescription


def positions(arch: str) -> tuple[str, ...]:
    """The 16 positions of an arch in mouth order, from the patient's right."""
    return notation.UPPER if arch == Arch.UPPER else notation.LOWER


def other_arch(arch: str) -> str:
    return Arch.LOWER if arch == Arch.UPPER else Arch.UPPER


def replaced(prescription: Prescription) -> list[str]:
    """Positions that receive a denture tooth: all that do not stay, but third molars.

    Leaving the third molars out is common practice, no source.
    """
    return [
        tooth
        for tooth in positions(prescription.arch)
        if prescription.teeth.get(tooth, ToothStatus.LOST) != ToothStatus.STAYS
        and not tooth.endswith("8")
    ]


OUT_AT_SURGERY = (ToothStatus.EXTRACT_AT_SURGERY, ToothStatus.STOP)
COMES_OUT = (ToothStatus.EXTRACT_FIRST, *OUT_AT_SURGERY)


def to_be_extracted(prescription: Prescription) -> list[str]:
    """Natural teeth of the arch that come out, now or at surgery."""
    return [t for t in positions(prescription.arch) if prescription.teeth.get(t) in COMES_OUT]


def shows_the_front(prescription: Prescription) -> bool:
    """Whether an upper central incisor still stands from which display and midline are read."""
    return prescription.arch == Arch.UPPER and any(
        prescription.teeth.get(tooth) != ToothStatus.LOST for tooth in ("11", "21")
    )


def posterior_sites(prescription: Prescription) -> list[str]:
    return [tooth for tooth in replaced(prescription) if notation.is_posterior(tooth)]


def staying(prescription: Prescription) -> list[str]:
    """Posterior natural teeth that stay in the arch of the denture."""
    return [
        tooth
        for tooth in positions(prescription.arch)
        if notation.is_posterior(tooth)
        and prescription.teeth.get(tooth, ToothStatus.LOST) == ToothStatus.STAYS
    ]


def opposing(prescription: Prescription) -> dict[str, OpposingTooth]:
    """The other arch from its canines back: what each tooth is, without those that are missing."""
    found = {
        tooth: OpposingTooth(prescription.opposing.get(tooth, OpposingTooth.MISSING))
        for tooth in positions(other_arch(prescription.arch))
        if notation.is_posterior(tooth) or tooth.endswith("3")
    }
    return {tooth: kind for tooth, kind in found.items() if kind != OpposingTooth.MISSING}


def antagonist(prescription: Prescription, tooth: str) -> str | None:
    """What stands opposite a position: ``natural``, ``denture`` or nothing."""
    found = prescription.opposing.get(notation.opposing(tooth), OpposingTooth.MISSING)
    return None if found == OpposingTooth.MISSING else str(found)


def kind(prescription: Prescription, tooth: str) -> OpposingTooth:
    """What stands at any position of either arch once the denture is set."""
    if tooth in positions(prescription.arch):
        if tooth in replaced(prescription):
            return OpposingTooth.DENTURE
        stays = prescription.teeth.get(tooth) == ToothStatus.STAYS
        return OpposingTooth.NATURAL if stays else OpposingTooth.MISSING
    return OpposingTooth(prescription.opposing.get(tooth, OpposingTooth.MISSING))
