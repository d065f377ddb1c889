"""Lab slip: the signed prescription with its items, dates and settings, for the bench."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from labcases.domain import (
    access,
    differences,
    disinfecting,
    ledger,
    mounting,
    over_eruption,
    teeth,
)
from labcases.enums import Arch, Notation, OpposingTooth, PaperKind, PhotographView, ToothStatus
from labcases.models import Box, BoxItem, Case, Prescription, User
from labcases.outputs import paper
from labcases.outputs.arch import MARK_OF_STATUS, ToothMark, arch_drawing
from labcases.outputs.check_view import show
from labcases.templatetags.units import mm

TEMPLATE = "outputs/lab_slip.html"


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """What the slip shows, on screen and on paper alike."""
    row = case.prescription
    return {
        **paper.common(case, PaperKind.LAB_SLIP, by, notation),
        "drawings": drawings(row, notation),
        "teeth": tooth_lists(row, notation),
        "depths": depths(row, notation),
        "photographs": ", ".join(PhotographView(one).label.lower() for one in row.photographs),
        "beyond": beyond(row, notation),
        "boxes": items(case),
        "appointments": list(case.appointments.all()),
        "record": getattr(case, "articulator", None),
        "mounting": getattr(case, "mounting", None),
        "verified": mounting.judge_of(case),
        "selection": getattr(case, "selection", None),
        "balance": ledger.balance(case),
        "questions": list(case.questions.select_related("asked_by", "answered_by")),
        "acts": access.acts(by, case),
    }


def items(case: Case) -> list[tuple[Box, list[tuple[BoxItem, str, disinfecting.State]]]]:
    """Every box with its items: what did not come as listed, and how each was disinfected."""
    return [
        (
            box,
            [
                (item, differences.arrival_words(item), disinfecting.state(item))
                for item in box.items.all()
            ],
        )
        for box in disinfecting.with_items(case.boxes.all())
    ]


def drawings(row: Prescription, notation: str) -> list[Any]:
    """Both arches, the upper one first."""
    marks = {
        **{t: ToothMark(MARK_OF_STATUS[ToothStatus(s)]) for t, s in row.teeth.items()},
        **{t: ToothMark(MARK_OF_STATUS[OpposingTooth(s)]) for t, s in row.opposing.items()},
    }
    return [
        arch_drawing(arch=arch, teeth=marks, notation=Notation(notation))
        for arch in (Arch.UPPER, Arch.LOWER)
    ]


def tooth_lists(row: Prescription, notation: str) -> list[tuple[str, str]]:
    """The same as words: what happens at which positions."""
    found = []
    own = teeth.positions(row.arch)
    for status in ToothStatus:
        here = [show(t, notation) for t in own if row.teeth.get(t) == status]
        if here:
            found.append((f"{row.get_arch_display()}: {status.label.lower()}", " ".join(here)))
    other = teeth.other_arch(row.arch)
    for opposing in OpposingTooth:
        here = [
            show(t, notation) for t in teeth.positions(other) if row.opposing.get(t) == opposing
        ]
        if here:
            found.append((f"{Arch(other).label}: {opposing.label.lower()}", " ".join(here)))
    replaced = [show(t, notation) for t in teeth.replaced(row)]
    found.append(("Denture teeth at", " ".join(replaced) or "none"))
    return found


def depths(row: Prescription, notation: str) -> str:
    """The deepest pockets that were probed, tooth by tooth."""
    return ", ".join(
        f"{show(tooth, notation)}: {mm(Decimal(row.probing_mm[tooth]))}"
        for tooth in teeth.positions(row.arch)
        if tooth in row.probing_mm
    )


def beyond(row: Prescription, notation: str) -> str:
    """Natural opposing teeth beyond the occlusal plane, and how that was read."""
    found = ", ".join(
        f"{show(tooth, notation)} by {mm(height_mm)}"
        for tooth, height_mm in over_eruption.heights(row).items()
    )
    if not found:
        return ""
    return (
        f"{found} ({over_eruption.read_by(row)}). The dentist decides; no natural tooth is changed "
        "on this sheet's word."
    )
