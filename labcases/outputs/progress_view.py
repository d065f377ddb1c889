"""How far the set-up is, at a glance: a sign for each tooth and step, on the arch and in a table.

The drawing and the table say the same. Signs are those of the whole tool, told apart by their
shape.
"""

from __future__ import annotations

from dataclasses import dataclass

from labcases.domain import progress, teeth
from labcases.domain.progress import State, Step, ToothProgress
from labcases.enums import Arch, Notation
from labcases.models import Case
from labcases.outputs._arch_geometry import PLACES, Place, Point, rounded
from labcases.outputs.arch import (
    MARK_OF_STATUS,
    ArchDrawing,
    Mark,
    ToothMark,
    arch_drawing,
)
from labcases.outputs.setup_view import PartProgress
from labcases.outputs.setup_view import progress as parts_of
from labcases.templatetags.units import tooth_number, tooth_words

SIGNS: dict[State, tuple[str, str]] = {
    State.NOT_YET: ("not yet", "Not yet"),
    State.OPEN: ("waiting", "Last pass not as wanted, or not judged"),
    State.MARKS: ("warning", "Marks in that pass"),
    State.GROUND: ("on the bench", "Ground since: mark again"),
    State.DONE: ("done", "Done, as wanted"),
}
"""State -> its status mark and what the legend says of it."""

# Signs stand in rings around the arch, the first beside the teeth (millimetres of the drawing).
FIRST_RING_MM = 3.2
RING_MM = 4.7
VIEW_BOXES = {Arch.UPPER: "-66 -84 132 98", Arch.LOWER: "-66 -14 132 98"}
LETTER_OFF_MM = 4.6


@dataclass(frozen=True)
class Cell:
    """The sign of one step of one tooth."""

    step: str
    glyph: str
    word: str
    x: float = 0.0
    y: float = 0.0


@dataclass(frozen=True)
class GlanceTooth:
    """One tooth: its number, its outline, and its signs from the tooth outwards."""

    number: str
    words: str
    outline: str
    x: float
    y: float
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class Letter:
    """The letter of a ring, where the ring ends."""

    text: str
    x: float
    y: float


@dataclass(frozen=True)
class Glance:
    """What ``passes/_glance.html`` shows."""

    parts: list[PartProgress]
    steps: list[str]
    view_box: str
    title: str
    teeth: list[GlanceTooth]
    letters: list[Letter]
    legend: list[tuple[str, str]]


def glance(case: Case, notation: str) -> Glance:
    """Each denture tooth with a sign a step, and both parts of the set-up."""
    arch = Arch(case.prescription.arch)
    found = progress.of(case)
    used = {state for row in found for state in row.states.values()}
    return Glance(
        parts=parts_of(case, notation),
        steps=[step.value for step in Step],
        view_box=VIEW_BOXES[arch],
        title=f"{arch.label} arch, the patient's right on the left of the picture. Signs from the "
        "tooth outwards: set, centric, working, balancing, protrusive. The table says the same.",
        teeth=[_tooth(row, arch, notation) for row in found],
        letters=[letter for right in (True, False) for letter in _letters(arch, right=right)],
        legend=[SIGNS[state] for state in State if state in used],
    )


def _tooth(row: ToothProgress, arch: Arch, notation: str) -> GlanceTooth:
    place = PLACES[arch][int(row.tooth[1]) - 1]
    right = row.tooth[0] in "14"
    x, y = _drawn(place.centre, arch, right=right)
    cells = []
    for number, (step, state) in enumerate(row.states.items()):
        at = _drawn(place.at(along=0, out=_ring_mm(place, number)), arch, right=right)
        glyph, word = SIGNS[state]
        cells.append(Cell(step.value, glyph, word, round(at[0], 2), round(at[1], 2)))
    return GlanceTooth(
        number=tooth_number(row.tooth, notation),
        words=tooth_words(row.tooth, notation),
        outline=rounded([_drawn(corner, arch, right=right) for corner in place.corners()]),
        x=round(x, 2),
        y=round(y + 1.3, 2),
        cells=tuple(cells),
    )


def _ring_mm(place: Place, ring: int) -> float:
    return place.depth_mm / 2 + FIRST_RING_MM + ring * RING_MM


def _letters(arch: Arch, *, right: bool) -> list[Letter]:
    """Behind the last tooth, where the third molar would stand."""
    last = PLACES[arch][7]
    found = []
    for number, step in enumerate(Step):
        x, y = _drawn(last.at(along=0, out=_ring_mm(last, number)), arch, right=right)
        found.append(Letter(step.value[0].upper(), round(x, 2), round(y + 1.3, 2)))
    return found


def _drawn(point: Point, arch: Arch, *, right: bool) -> Point:
    return point[0] * (-1 if right else 1), point[1] * (-1 if arch == Arch.UPPER else 1)


def small(case: Case, notation: str) -> ArchDrawing | None:
    """The same on a small arch, once a tooth is set: not yet, begun, or done in every step."""
    found = progress.of(case)
    if not any(row.begun for row in found):
        return None
    row = case.prescription
    marks = {
        **{
            tooth: ToothMark(mark=MARK_OF_STATUS[teeth.kind(row, tooth)])
            for tooth in teeth.positions(row.arch)
        },
        **{
            one.tooth: ToothMark(
                mark=Mark.DENTURE,
                state="done" if one.done else "on the bench" if one.begun else "not yet",
            )
            for one in found
        },
    }
    return arch_drawing(arch=Arch(row.arch), teeth=marks, notation=Notation(notation))
