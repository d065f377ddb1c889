"""Where the teeth of an arch stand, and the line work that fills them.

Seen from the biting side, in millimetres; y points to the front here, and only positions 1 to 8
of the patient's left side are worked out, because the other side is their mirror picture.

        y (front)            outer side (lips, cheeks)
        ^                    ________
     21 | .                 /        \\     the tooth narrows towards the
        |   22              \\        /     tongue, so that neighbours on the
        |     23             \\______/      curve do not overlap
        +-------> x

Everything becomes path data. Patterns and clips would need identifiers, which clash when a page
holds two arches, and paper renderers differ on them.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import cos, hypot, pi, sin

from labcases.enums import Arch

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
BAR_MM = 4.6


@dataclass(frozen=True)
class Place:
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


def _places(arch: Arch) -> list[Place]:
    """Place positions 1 to 8 of the patient's left side, y forwards."""
    widths, half_axes = WIDTHS_MM[arch], HALF_AXES_MM[arch]
    ends = [sum(widths[:i]) for i in range(9)]
    middles = [end + width / 2 for end, width in zip(ends, widths, strict=False)]
    points = [_on_ellipse(half_axes, angle) for angle in _angles_at(half_axes, middles)]
    borders = [_on_ellipse(half_axes, angle) for angle in _angles_at(half_axes, ends)]
    return [
        Place(
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


def path(points: Iterable[Point], *, close: bool = False) -> str:
    """Draw straight lines from point to point."""
    return "M" + "L".join(f"{_text(x)} {_text(y)}" for x, y in points) + ("z" if close else "")


def _towards(start: Point, end: Point, distance: float) -> Point:
    length = hypot(end[0] - start[0], end[1] - start[1])
    share = min(distance / length, 0.5)
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def rounded(corners: list[Point]) -> str:
    """Draw a closed outline with every corner rounded off."""
    parts: list[str] = []
    for i, corner in enumerate(corners):
        before = _towards(corner, corners[i - 1], CORNER_MM)
        after = _towards(corner, corners[(i + 1) % len(corners)], CORNER_MM)
        parts.append(
            f"{'L' if parts else 'M'}{_text(before[0])} {_text(before[1])}"
            f"Q{_text(corner[0])} {_text(corner[1])} {_text(after[0])} {_text(after[1])}"
        )
    return "".join(parts) + "z"


def hatching(corners: list[Point], slope: int) -> str:
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
            lines.append(path(cuts))
        level += HATCH_STEP_MM
    return "".join(lines)


def _inside(point: Point, corners: list[Point]) -> bool:
    signs = [
        (x1 - x0) * (point[1] - y0) - (y1 - y0) * (point[0] - x0)
        for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True)
    ]
    return all(sign >= 0 for sign in signs) or all(sign <= 0 for sign in signs)


def dotting(corners: list[Point]) -> str:
    """Fill an outline with a grid of dots, each a stroke of no length with a round end."""
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    dots = []
    for row in range(int(min(ys) // DOT_STEP_MM), int(max(ys) // DOT_STEP_MM) + 2):
        for column in range(int(min(xs) // DOT_STEP_MM), int(max(xs) // DOT_STEP_MM) + 2):
            x, y = (column + (row % 2) / 2) * DOT_STEP_MM, row * DOT_STEP_MM
            if _inside((x, y), corners):
                dots.append(f"M{_text(x)} {_text(y)}h.01")
    return "".join(dots)


def arrow(place: Place) -> list[list[Point]]:
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


def bar(place: Place) -> list[list[Point]]:
    """Give stem and bar of the stop over a crown: what bites on it stays where it is."""
    edge = place.depth_mm / 2
    return [
        [place.at(along=0, out=edge), place.at(along=0, out=edge + 1.6)],
        [
            place.at(along=-BAR_MM / 2, out=edge + 1.6),
            place.at(along=-BAR_MM / 2, out=edge + 2.9),
            place.at(along=BAR_MM / 2, out=edge + 2.9),
            place.at(along=BAR_MM / 2, out=edge + 1.6),
        ],
    ]
