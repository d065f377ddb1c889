"""Points that are named on a scan and on the articulator, and whether they can place the scan."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from occlusion.errors import BadRequest, NoSolution, NotANumber, SidesLookSwapped
from occlusion.frames import Array
from occlusion.ranges import check_hard, check_point

Point = tuple[float, float, float]

FEWEST = 3

REPEATED_MM = 1.0
"""Points nearer than this are one point read twice. Common practice, no source."""

LINE_MM = 3.0
"""Points that stray less than this from one line tell nothing of the turn about it, which is then
read ten times worse than the shift (computed from the spread of the points)."""

MIDLINE_MM = 2.0
"""A point named right may lie this far left: a midline is never exactly at zero."""

_RIGHT_QUADRANTS, _LEFT_QUADRANTS = "14", "23"


@dataclass(frozen=True)
class NamedPoint:
    """One place, read on the scan and on the articulator.

    Raises
    ------
    NotANumber, OutOfRange, BadRequest
    """

    name: str
    scan_mm: Point
    articulator_mm: Point

    def __post_init__(self) -> None:
        if not isinstance(self.name, str) or not self.name.strip():
            raise BadRequest("A point has no name. Name each point, such as '16'.", field="name")
        words = f"point {self.name[:40]!r}"
        object.__setattr__(self, "scan_mm", _scan_point(self.scan_mm, words))
        object.__setattr__(
            self, "articulator_mm", check_point(self.articulator_mm, field="articulator_mm")
        )


def checked_points(points: Sequence[NamedPoint], field: str) -> tuple[Array, Array]:
    """Places on the scan and on the articulator, (n, 3) each, if they can place a scan."""
    if len(points) < FEWEST:
        raise NoSolution(
            f"{len(points)} points cannot place a scan. Name {FEWEST} or more, far apart, such as "
            "a front tooth and the last molars of both sides.",
            field=field,
            value=len(points),
            limit=FEWEST,
        )
    names = [point.name for point in points]
    if len(set(names)) < len(names):
        raise BadRequest(
            f"Two points have one name: {', '.join(names)[:80]}. Name each point once.",
            field=field,
        )
    for point in points:
        _check_sides(point, field)
    scan = np.array([point.scan_mm for point in points])
    articulator = np.array([point.articulator_mm for point in points])
    for places, where in ((scan, "on the scan"), (articulator, "on the articulator")):
        _check_spread(places, names, where, field)
    return scan, articulator


def _check_spread(places: Array, names: list[str], where: str, field: str) -> None:
    for first in range(len(places) - 1):
        away = np.linalg.norm(places[first + 1 :] - places[first], axis=1)
        if away.min() < REPEATED_MM:
            second = names[first + 1 + int(away.argmin())]
            raise NoSolution(
                f"{names[first]!r:.40} and {second!r:.40} are {away.min():.2f} mm apart {where}. "
                "Give points that lie far apart.",
                field=field,
                value=float(away.min()),
                limit=REPEATED_MM,
            )
    centred = places - places.mean(axis=0)
    along = np.linalg.svd(centred)[2][0]
    stray = float(np.linalg.norm(centred - np.outer(centred @ along, along), axis=1).max())
    if stray < LINE_MM:
        raise NoSolution(
            f"The points lie within {stray:.2f} mm of one line {where}. Add one to its side.",
            field=field,
            value=stray,
            limit=LINE_MM,
        )


def _check_sides(point: NamedPoint, field: str) -> None:
    """Compare the side that a name tells with the one on which the point lies."""
    words = set(re.findall(r"[a-z]+|\d+", point.name.lower()))
    teeth = {word[0] for word in words if re.fullmatch(r"[1-4][1-8]", word)}
    right = "right" in words or bool(teeth & set(_RIGHT_QUADRANTS))
    left = "left" in words or bool(teeth & set(_LEFT_QUADRANTS))
    y = point.articulator_mm[1]
    if right != left and (y > MIDLINE_MM if right else y < -MIDLINE_MM):
        told, found = ("right", "left") if right else ("left", "right")
        raise SidesLookSwapped(
            f"Point {point.name[:40]!r} is named {told} and lies {abs(y):.1f} mm to the {found}. "
            "Right and left are the patient's, and y counts to the left: exchange the points, or "
            "their sign.",
            field=field,
            value=y,
            limit=0,
        )


def _scan_point(value: object, words: str) -> Point:
    tolist = getattr(value, "tolist", None)
    given = tolist() if callable(tolist) else value
    if not isinstance(given, list | tuple) or len(given) != 3:
        raise NotANumber(
            f"{words} has no three coordinates on the scan. Enter x, y and z in millimetres.",
            field="scan_mm",
        )
    x, y, z = (
        check_hard("scan_coordinate_mm", item, field=f"scan_mm.{axis}", label=f"{axis} of {words}")
        for axis, item in zip("xyz", given, strict=True)
    )
    return (x, y, z)
