"""Mark-up of natural teeth for the dentist: where something was found, and never a depth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from labcases import notation as numbers
from labcases.domain import natural_teeth, teeth
from labcases.domain.natural_teeth import NaturalFinding, Word
from labcases.enums import Arch, Notation, OpposingTooth, PaperKind
from labcases.models import Case, User
from labcases.outputs import paper
from labcases.outputs.arch import ArchDrawing, Mark, ToothMark, arch_drawing
from labcases.outputs.check_view import show
from labcases.templatetags.units import mm

TEMPLATE = "outputs/natural_sheet.html"
MIDDLE_MM = 8


@dataclass(frozen=True)
class Label:
    """What stands beside a tooth in the drawing; coordinates are those of the drawing."""

    x: float
    y: float
    text: str

    @property
    def anchor(self) -> str:
        """It grows towards the middle of the arch, off the teeth beside it."""
        if abs(self.x) < MIDDLE_MM:
            return "middle"
        return "start" if self.x < 0 else "end"


@dataclass(frozen=True)
class MarkedArch:
    """An arch with the natural teeth at which something was found."""

    drawing: ArchDrawing
    labels: list[Label]


@dataclass(frozen=True)
class Line:
    """One natural tooth: its number in the drawing, what was found, the dentist's word."""

    number: int
    tooth: str
    name: str
    findings: list[NaturalFinding]
    stands: str
    word: Word


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """Every natural tooth at which something was found, drawn and in words."""
    found = lines(case, notation)
    return {
        **paper.common(case, PaperKind.NATURAL_TEETH, by, notation),
        "lines": list(found.values()),
        "arches": [
            marked(case, arch, found, notation)
            for arch in Arch
            if any(numbers.arch_of(tooth) == arch for tooth in found)
        ],
    }


def lines(case: Case, notation: str) -> dict[str, Line]:
    """Tooth -> its line, in mouth order."""
    by_tooth: dict[str, list[NaturalFinding]] = {}
    for one in natural_teeth.findings(case):
        by_tooth.setdefault(one.tooth, []).append(one)
    return {
        tooth: Line(
            number=number,
            tooth=show(tooth, notation),
            name=numbers.name(tooth),
            findings=here,
            stands=next((mm(one.stands_mm) for one in here if one.stands_mm is not None), ""),
            word=natural_teeth.word(case, tooth),
        )
        for number, (tooth, here) in enumerate(by_tooth.items(), start=1)
    }


def marked(case: Case, arch: Arch, found: dict[str, Line], notation: str) -> MarkedArch:
    """One arch: natural teeth as such, with a letter of the line, and mm beyond the plane."""
    marks = {
        tooth: ToothMark(_MARKS[teeth.kind(case.prescription, tooth)], note=_note(found, tooth))
        for tooth in teeth.positions(arch)
    }
    drawing = arch_drawing(arch=arch, teeth=marks, notation=Notation(notation))
    labels = [
        Label(
            _inward(shape.state_x), shape.state_y, found[shape.tooth].stands or f"({line.number})"
        )
        for shape in drawing.shapes
        if (line := found.get(shape.tooth)) is not None
    ]
    return MarkedArch(drawing, labels)


def _inward(x: float) -> float:
    """A little off the tooth, where the arch has a side."""
    return x if abs(x) < MIDDLE_MM else round(x - (2 if x > 0 else -2), 2)


_MARKS = {
    OpposingTooth.NATURAL: Mark.NATURAL,
    OpposingTooth.DENTURE: Mark.DENTURE,
    OpposingTooth.MISSING: Mark.MISSING,
}


def _note(found: dict[str, Line], tooth: str) -> str:
    return "; ".join(one.text for one in found[tooth].findings) if tooth in found else ""
