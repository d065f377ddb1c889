"""An arch drawn from tooth numbers: plain shapes that screen and paper share.

The drawing is in millimetres, seen as the dentist sees it: the patient's right is on the
viewer's left in every language, the upper arch opens downwards and the lower one upwards.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from labcases import notation as numbers
from labcases.enums import Arch, Notation, OpposingTooth, ToothStatus
from labcases.outputs._arch_geometry import (
    PLACES,
    Point,
    arrow,
    bar,
    dotting,
    hatching,
    path,
    rounded,
)

INSET_MM = 0.5
NUMBER_OUT_MM = 6.5
STATE_IN_MM = 3.6
NUMBER_SIZE_MM = 3.8
SECOND_SIZE_MM = 2.4
# Half the height of a digit, so that a text stands centred without relying on a baseline rule.
DIGIT_HALF = 0.36
# The target of a tooth reaches over its number and its state, the same for all, so that
# neighbours share a border.
TAP_OUT_MM = 14.0
TAP_IN_MM = 11.0
VIEW_BOXES = {Arch.UPPER: "-47 -64 94 71", Arch.LOWER: "-47 -7 94 71"}


class Mark(StrEnum):
    """What is at a position, each drawn in its own way and named in the legend."""

    STAYS = "stays"
    NATURAL = "natural tooth"
    EXTRACT_FIRST = "to be extracted before records"
    EXTRACT_AT_SURGERY = "to be extracted at surgery"
    STOP = "stop until surgery"
    LOST = "already lost"
    MISSING = "missing"
    DENTURE = "denture tooth"
    NOT_SAID = "not said"


MARK_OF_STATUS = {
    ToothStatus.LOST: Mark.LOST,
    ToothStatus.EXTRACT_FIRST: Mark.EXTRACT_FIRST,
    ToothStatus.EXTRACT_AT_SURGERY: Mark.EXTRACT_AT_SURGERY,
    ToothStatus.STOP: Mark.STOP,
    ToothStatus.STAYS: Mark.STAYS,
    OpposingTooth.NATURAL: Mark.NATURAL,
    OpposingTooth.DENTURE: Mark.DENTURE,
    OpposingTooth.MISSING: Mark.MISSING,
}

HATCHED = {Mark.EXTRACT_FIRST: -1, Mark.EXTRACT_AT_SURGERY: 1}
DOTTED = frozenset({Mark.DENTURE})
# What stands over a crown differs in shape, as shades and hatches run together on a photocopy.
SIGNS = {Mark.EXTRACT_FIRST: arrow, Mark.EXTRACT_AT_SURGERY: arrow, Mark.STOP: bar}
SWATCHES = {
    Mark.EXTRACT_FIRST: "M5 6V2.6M3.9 2.6 5 .8 6.1 2.6z",
    Mark.EXTRACT_AT_SURGERY: "M5 6V2.6M3.9 2.6 5 .8 6.1 2.6z",
    Mark.STOP: "M5 4.5V2.6M1.8 2.6V.8H8.2V2.6z",
}
AT_SURGERY = frozenset({Mark.EXTRACT_AT_SURGERY, Mark.STOP})
DASHED = frozenset({Mark.LOST, Mark.MISSING})


@dataclass(frozen=True)
class ToothMark:
    """What a caller says of one tooth."""

    mark: Mark
    state: str = ""
    """A state of the clearance check: "interference", "contact", "none predicted" ..."""
    note: str = ""
    """Said after the state, as "0.4 mm at 2 mm of travel"."""
    url: str = ""
    """Makes the tooth a link with a target as wide as its place on the arch."""


@dataclass(frozen=True)
class ToothShape:
    """One tooth ready to be drawn; coordinates are those of the drawing, y downwards."""

    tooth: str
    number: str
    second: str
    words: str
    mark: Mark
    state: str
    url: str
    dashed: bool
    outline: str
    hatch: str
    dots: str
    arrow: str
    arrow_filled: bool
    tap: str
    x: float
    y: float
    second_y: float
    number_x: float
    number_y: float
    state_x: float
    state_y: float


@dataclass(frozen=True)
class LegendSwatch:
    """One line of the legend: a small square tooth and its word."""

    word: str
    dashed: bool
    hatch: str
    dots: str
    arrow: str
    arrow_filled: bool


@dataclass(frozen=True)
class ArchDrawing:
    """An arch with its legend, as `case/_arch.html` wants it."""

    arch: Arch
    title: str
    view_box: str
    shapes: list[ToothShape]
    legend: list[LegendSwatch]
    states: list[str]


def _shape(*, tooth: str, arch: Arch, said: ToothMark, notation: Notation) -> ToothShape:
    quadrant, position = int(tooth[0]), int(tooth[1])
    place = PLACES[arch][position - 1]
    flip_x = -1 if quadrant in (1, 4) else 1
    flip_y = -1 if arch == Arch.UPPER else 1

    def drawn(point: Point) -> Point:
        return point[0] * flip_x, point[1] * flip_y

    inset = [drawn(corner) for corner in place.corners(INSET_MM)]
    slope = HATCHED.get(said.mark, 0)
    (p0, n0), (p1, n1) = place.ends
    out, back = TAP_OUT_MM, TAP_IN_MM
    tap = [
        (p0[0] + n0[0] * out, p0[1] + n0[1] * out),
        (p1[0] + n1[0] * out, p1[1] + n1[1] * out),
        (p1[0] - n1[0] * back, p1[1] - n1[1] * back),
        (p0[0] - n0[0] * back, p0[1] - n0[1] * back),
    ]
    x, y = drawn(place.centre)
    number_x, number_y = drawn(place.at(along=0, out=place.depth_mm / 2 + NUMBER_OUT_MM))
    state_x, state_y = drawn(place.at(along=0, out=-place.depth_mm / 2 - STATE_IN_MM))
    sign = SIGNS[said.mark](place) if said.mark in SIGNS else []
    lines = [[drawn(point) for point in line] for line in sign]
    said_of_it = ", ".join(part for part in (said.mark.value, said.state, said.note) if part)
    number, second = tooth, numbers.universal(tooth)
    if notation == Notation.UNIVERSAL:
        number, second = second, number
    return ToothShape(
        tooth=tooth,
        number=number,
        second=second,
        words=f"{number}, {numbers.name(tooth)}: {said_of_it}",
        mark=said.mark,
        state=said.state,
        url=said.url,
        dashed=said.mark in DASHED,
        outline=rounded([drawn(corner) for corner in place.corners()]),
        hatch=hatching(inset, slope) if slope else "",
        dots=dotting(inset) if said.mark in DOTTED else "",
        arrow="".join(path(line, close=len(line) > 2) for line in lines),
        arrow_filled=said.mark in AT_SURGERY,
        tap=path((drawn(point) for point in tap), close=True),
        x=round(x, 2),
        y=round(y, 2),
        second_y=round(y + SECOND_SIZE_MM * DIGIT_HALF, 2),
        number_x=round(number_x, 2),
        number_y=round(number_y + NUMBER_SIZE_MM * DIGIT_HALF, 2),
        state_x=round(state_x, 2),
        state_y=round(state_y, 2),
    )


def arch_shapes(
    *, arch: Arch, teeth: Mapping[str, ToothMark], notation: Notation = Notation.ISO_3950
) -> list[ToothShape]:
    """Draw the sixteen positions of an arch, from the patient's right third molar onwards.

    Parameters
    ----------
    arch : Arch
        Which of the two; it decides the widths and which way the drawing opens.
    teeth : mapping of ISO 3950 number to ToothMark
        A position that is not named is drawn as not said. A number of the other arch is left
        out, so that one mapping may hold both.
    notation : Notation
        Numbers outside the arch; the other notation stands small inside each tooth.

    Returns
    -------
    list of ToothShape
        In reading order from the viewer's left.
    """
    row = numbers.UPPER if arch == Arch.UPPER else numbers.LOWER
    nothing = ToothMark(mark=Mark.NOT_SAID)
    return [
        _shape(tooth=tooth, arch=arch, said=teeth.get(tooth, nothing), notation=notation)
        for tooth in row
    ]


def _swatch(mark: Mark) -> LegendSwatch:
    """Draw one line of the legend on a square of 10 by 12, the tooth in its lower part."""
    corners = [(2.0, 4.5), (8.0, 4.5), (7.4, 11.0), (2.6, 11.0)]
    slope = HATCHED.get(mark, 0)
    return LegendSwatch(
        word=mark.value,
        dashed=mark in DASHED,
        hatch=hatching(corners, slope) if slope else "",
        dots=dotting(corners) if mark in DOTTED else "",
        arrow=SWATCHES.get(mark, ""),
        arrow_filled=mark in AT_SURGERY,
    )


def arch_drawing(
    *, arch: Arch, teeth: Mapping[str, ToothMark], notation: Notation = Notation.ISO_3950
) -> ArchDrawing:
    """Draw an arch and name what it shows; `case/_arch.html` wants this as `drawing`."""
    shapes = arch_shapes(arch=arch, teeth=teeth, notation=notation)
    marks = [mark for mark in Mark if any(shape.mark == mark for shape in shapes)]
    states = list(dict.fromkeys(shape.state for shape in shapes if shape.state))
    return ArchDrawing(
        arch=arch,
        title=f"{arch.label} arch, the patient's right on the left of the picture",
        view_box=VIEW_BOXES[arch],
        shapes=shapes,
        legend=[_swatch(mark) for mark in marks],
        states=states,
    )
