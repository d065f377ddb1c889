"""An arch drawn from tooth numbers: plain shapes that screen and paper share.

The drawing is in millimetres, seen as the dentist sees it: the patient's right is on the
viewer's left in every language, the upper arch opens downwards and the lower one upwards.

        upper               y          outer side (lips, cheeks)
      11 | 21               ^            ________
    12   |   22             |           /        \\     the tooth narrows towards the
   13    |    23            |           \\        /     tongue, so that neighbours on the
         +----------> x  (front)         \\______/      curve do not overlap

Everything is worked out as path data here. Patterns and clips would need identifiers, which
clash when a page holds two arches, and paper renderers differ on them.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import cos, hypot, pi, sin

from labcases import notation as numbers
from labcases.enums import Arch, Notation, OpposingTooth, ToothStatus

Point = tuple[float, float]

# Mean crown widths and depths by position 1 to 8, in mm, from memory. Only the drawing hangs on
# them; the half axes make a quarter of the ellipse as long as the widths are together.
WIDTHS_MM = {
    Arch.UPPER: (8.5, 6.5, 7.5, 7.0, 7.0, 10.0, 9.0, 8.5),
    Arch.LOWER: (5.0, 5.5, 7.0, 7.0, 7.0, 11.0, 10.5, 10.0),
}
DEPTHS_MM = {
    Arch.UPPER: (7.0, 6.0, 8.0, 9.0, 9.0, 11.0, 11.0, 10.0),
    Arch.LOWER: (6.0, 6.5, 7.5, 7.5, 8.0, 10.5, 10.5, 10.0),
}
HALF_AXES_MM = {Arch.UPPER: (30.5, 49.82), Arch.LOWER: (28.5, 50.21)}
# The outer side leaves a gap to the neighbour; the inner side is that much narrower again.
OUTER_SHARE = 0.94
INNER_SHARES = (0.72, 0.72, 0.70, 0.84, 0.88, 0.95, 0.97, 1.0)

CORNER_MM = 1.3
HATCH_STEP_MM = 1.4
DOT_STEP_MM = 1.6
INSET_MM = 0.5
NUMBER_OUT_MM = 6.5
STATE_IN_MM = 3.6
NUMBER_SIZE_MM = 3.8
SECOND_SIZE_MM = 2.4
# Half the height of a digit, so that a text stands centred without relying on a baseline rule.
DIGIT_HALF = 0.36

VIEW_BOXES = {Arch.UPPER: "-47 -64 94 71", Arch.LOWER: "-47 -7 94 71"}


class Mark(StrEnum):
    """What is at a position, each drawn in its own way and named in the legend."""

    STAYS = "stays"
    NATURAL = "natural tooth"
    EXTRACT_FIRST = "to be extracted before records"
    EXTRACT_AT_SURGERY = "to be extracted at surgery"
    LOST = "already lost"
    MISSING = "missing"
    DENTURE = "denture tooth"
    NOT_SAID = "not said"


MARK_OF_STATUS = {
    ToothStatus.LOST: Mark.LOST,
    ToothStatus.EXTRACT_FIRST: Mark.EXTRACT_FIRST,
    ToothStatus.EXTRACT_AT_SURGERY: Mark.EXTRACT_AT_SURGERY,
    ToothStatus.STAYS: Mark.STAYS,
    OpposingTooth.NATURAL: Mark.NATURAL,
    OpposingTooth.DENTURE: Mark.DENTURE,
    OpposingTooth.MISSING: Mark.MISSING,
}

HATCHED = {Mark.EXTRACT_FIRST: -1, Mark.EXTRACT_AT_SURGERY: 1}
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


@dataclass(frozen=True)
class _Place:
    """Where a tooth stands: centre, direction outwards, and both ends of its share of the arch."""

    centre: Point
    outward: Point
    ends: tuple[tuple[Point, Point], tuple[Point, Point]]
    width_mm: float
    depth_mm: float
    inner_share: float

    def at(self, *, along: float, out: float) -> Point:
        """Turn a distance along the arch and one outwards from the centre into a point."""
        (x, y), (nx, ny) = self.centre, self.outward
        return x + ny * along + nx * out, y - nx * along + ny * out

    def corners(self, inset: float = 0.0) -> list[Point]:
        """Give the four corners, outer side first, drawn in by `inset` mm on every side."""
        out = self.depth_mm / 2 - inset
        wide = self.width_mm / 2 * OUTER_SHARE - inset
        narrow = self.width_mm / 2 * OUTER_SHARE * self.inner_share - inset
        return [
            self.at(along=-wide, out=out),
            self.at(along=wide, out=out),
            self.at(along=narrow, out=-out),
            self.at(along=-narrow, out=-out),
        ]


def _on_ellipse(half_axes: Point, angle: float) -> tuple[Point, Point]:
    """Return the point at `angle` from the front and the direction outwards there."""
    a, b = half_axes
    nx, ny = b * sin(angle), a * cos(angle)
    length = hypot(nx, ny)
    return (a * sin(angle), b * cos(angle)), (nx / length, ny / length)


def _angles_at(half_axes: Point, distances: list[float], steps: int = 4000) -> list[float]:
    """Find the angle from the front at which each distance along the ellipse is reached."""
    a, b = half_axes
    step = pi / 2 / steps
    walked, found = 0.0, []
    wanted = iter(distances)
    target = next(wanted, None)
    for i in range(steps):
        middle = (i + 0.5) * step
        length = hypot(a * cos(middle), b * sin(middle)) * step
        while target is not None and walked + length >= target:
            found.append((i + (target - walked) / length) * step)
            target = next(wanted, None)
        walked += length
    # The widths add up to the quarter within a rounding; what is left over is its very end.
    return found + [pi / 2] * (len(distances) - len(found))


def _places(arch: Arch) -> list[_Place]:
    """Place positions 1 to 8 of the patient's left side, y forwards."""
    widths, half_axes = WIDTHS_MM[arch], HALF_AXES_MM[arch]
    ends = [sum(widths[:i]) for i in range(9)]
    middles = [end + width / 2 for end, width in zip(ends, widths, strict=False)]
    points = [_on_ellipse(half_axes, angle) for angle in _angles_at(half_axes, middles)]
    borders = [_on_ellipse(half_axes, angle) for angle in _angles_at(half_axes, ends)]
    return [
        _Place(
            centre=points[i][0],
            outward=points[i][1],
            ends=(borders[i], borders[i + 1]),
            width_mm=widths[i],
            depth_mm=DEPTHS_MM[arch][i],
            inner_share=INNER_SHARES[i],
        )
        for i in range(8)
    ]


PLACES = {arch: _places(arch) for arch in Arch}


def _text(value: float) -> str:
    """Write a coordinate to a hundredth of a millimetre, short."""
    return f"{round(value, 2) + 0.0:g}"


def _path(points: Iterable[Point], *, close: bool = False) -> str:
    return "M" + "L".join(f"{_text(x)} {_text(y)}" for x, y in points) + ("z" if close else "")


def _towards(start: Point, end: Point, distance: float) -> Point:
    length = hypot(end[0] - start[0], end[1] - start[1])
    share = min(distance / length, 0.5)
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _rounded(corners: list[Point]) -> str:
    """Draw a closed outline with every corner rounded off."""
    parts = []
    for i, corner in enumerate(corners):
        before = _towards(corner, corners[i - 1], CORNER_MM)
        after = _towards(corner, corners[(i + 1) % len(corners)], CORNER_MM)
        parts.append(
            f"{'L' if parts else 'M'}{_text(before[0])} {_text(before[1])}"
            f"Q{_text(corner[0])} {_text(corner[1])} {_text(after[0])} {_text(after[1])}"
        )
    return "".join(parts) + "z"


def _hatching(corners: list[Point], slope: int) -> str:
    """Fill a convex outline with lines x + slope * y = constant, a step apart."""
    sums = [x + slope * y for x, y in corners]
    lines = []
    level = (min(sums) // HATCH_STEP_MM + 1) * HATCH_STEP_MM
    while level < max(sums):
        cuts = []
        for (x0, y0), (x1, y1), s0, s1 in zip(
            corners, corners[1:] + corners[:1], sums, sums[1:] + sums[:1], strict=True
        ):
            if min(s0, s1) <= level < max(s0, s1):
                share = (level - s0) / (s1 - s0)
                cuts.append((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share))
        if len(cuts) == 2:
            lines.append(_path(cuts))
        level += HATCH_STEP_MM
    return "".join(lines)


def _inside(point: Point, corners: list[Point]) -> bool:
    signs = [
        (x1 - x0) * (point[1] - y0) - (y1 - y0) * (point[0] - x0)
        for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True)
    ]
    return all(sign >= 0 for sign in signs) or all(sign <= 0 for sign in signs)


def _dotting(corners: list[Point]) -> str:
    """Fill an outline with a grid of dots, each a stroke of no length with a round end."""
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    dots = []
    for row in range(int(min(ys) // DOT_STEP_MM), int(max(ys) // DOT_STEP_MM) + 2):
        for column in range(int(min(xs) // DOT_STEP_MM), int(max(xs) // DOT_STEP_MM) + 2):
            x, y = (column + (row % 2) / 2) * DOT_STEP_MM, row * DOT_STEP_MM
            if _inside((x, y), corners):
                dots.append(f"M{_text(x)} {_text(y)}h.01")
    return "".join(dots)


def _arrow(place: _Place) -> list[list[Point]]:
    """Give shaft and head of the arrow that leads out of the socket, outwards."""
    edge = place.depth_mm / 2
    return [
        [place.at(along=0, out=edge - 1.2), place.at(along=0, out=edge + 1.6)],
        [
            place.at(along=-1.1, out=edge + 1.4),
            place.at(along=0, out=edge + 3.0),
            place.at(along=1.1, out=edge + 1.4),
        ],
    ]


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
    out, back = place.depth_mm / 2 + 9.0, place.depth_mm / 2 + 6.0
    tap = [
        (p0[0] + n0[0] * out, p0[1] + n0[1] * out),
        (p1[0] + n1[0] * out, p1[1] + n1[1] * out),
        (p1[0] - n1[0] * back, p1[1] - n1[1] * back),
        (p0[0] - n0[0] * back, p0[1] - n0[1] * back),
    ]
    x, y = drawn(place.centre)
    number_x, number_y = drawn(place.at(along=0, out=place.depth_mm / 2 + NUMBER_OUT_MM))
    state_x, state_y = drawn(place.at(along=0, out=-place.depth_mm / 2 - STATE_IN_MM))
    shaft, head = ([drawn(point) for point in line] for line in _arrow(place))
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
        outline=_rounded([drawn(corner) for corner in place.corners()]),
        hatch=_hatching(inset, slope) if slope else "",
        dots=_dotting(inset) if said.mark == Mark.DENTURE else "",
        arrow=_path(shaft) + _path(head, close=True) if slope else "",
        arrow_filled=said.mark == Mark.EXTRACT_AT_SURGERY,
        tap=_path((drawn(point) for point in tap), close=True),
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
        hatch=_hatching(corners, slope) if slope else "",
        dots=_dotting(corners) if mark == Mark.DENTURE else "",
        arrow="M5 6V2.6M3.9 2.6 5 .8 6.1 2.6z" if slope else "",
        arrow_filled=mark == Mark.EXTRACT_AT_SURGERY,
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
