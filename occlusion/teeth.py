"""Teeth by ISO 3950 number: textbook crown sizes, sides, and an arch laid out from widths."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from occlusion.articulator import Member, Point, choose
from occlusion.errors import BadRequest, SidesLookSwapped, kind_of
from occlusion.ranges import check_hard, check_point


@dataclass(frozen=True)
class Crown:
    """Textbook crown of one tooth, in mm, and how the row was read (``sources.HOW_READ``)."""

    length_mm: float
    mesiodistal_mm: float
    buccolingual_mm: float
    cervix_mesiodistal_mm: float
    cervix_buccolingual_mm: float
    how_read: str


UPPER_CROWNS: tuple[Crown, ...] = (
    Crown(10.5, 8.5, 7.0, 7.0, 6.0, "quoted"),
    Crown(9.0, 6.5, 6.0, 5.0, 5.0, "quoted"),
    Crown(10.0, 7.5, 8.0, 5.5, 7.0, "quoted"),
    Crown(8.5, 7.0, 9.0, 5.0, 8.0, "quoted"),
    Crown(8.5, 7.0, 9.0, 5.0, 8.0, "quoted"),
    Crown(7.5, 10.0, 11.0, 8.0, 10.0, "quoted"),
    Crown(7.0, 9.0, 11.0, 7.0, 10.0, "recalled"),
    Crown(6.5, 8.5, 10.0, 6.5, 9.5, "recalled"),
)
"""Upper crowns from the central incisor back (source: crown_table). The cervical
buccolingual width of the first, second, third, fifth and sixth is recalled."""

LOWER_CROWNS: tuple[Crown, ...] = (
    Crown(9.0, 5.0, 6.0, 3.5, 5.3, "recalled"),
    Crown(9.5, 5.5, 6.5, 4.0, 5.8, "recalled"),
    Crown(11.0, 7.0, 7.5, 5.5, 7.0, "quoted"),
    Crown(8.5, 7.0, 7.5, 5.0, 6.5, "recalled"),
    Crown(8.0, 7.0, 8.0, 5.0, 7.0, "recalled"),
    Crown(7.5, 11.0, 10.5, 9.0, 9.0, "quoted"),
    Crown(7.0, 10.5, 10.0, 8.0, 9.0, "quoted"),
    Crown(7.0, 10.0, 9.5, 7.5, 9.0, "recalled"),
)
"""Lower crowns from the central incisor back (source: crown_table)."""

BAND = 0.25
"""Carving averages are rounded to 0.5 mm: a real crown may differ by this part of them."""

HALF_WIDTH_TO_DEPTH = {"upper": 30.5 / 49.82, "lower": 28.5 / 50.21}
"""Shape of the half-ellipse an arch is laid out on: half width over depth (common practice,
no source)."""

MIDLINE_MM = 4.0
"""How far past the middle an incisor may stand before its side looks swapped."""

QUADRANTS = {"upper": ("1", "2"), "lower": ("4", "3")}
"""Right and left quadrant of each arch."""


def check_tooth(tooth: object, *, field: str = "tooth") -> str:
    """A permanent tooth in ISO 3950.

    Raises
    ------
    BadRequest
    """
    if isinstance(tooth, str) and is_tooth(tooth):
        return tooth
    raise BadRequest(
        f"Tooth is {kind_of(tooth)}, not an ISO 3950 number. Enter 11 to 18, 21 to 28, 31 to 38 "
        'or 41 to 48 as text, such as "16".',
        field=field,
        value=tooth if isinstance(tooth, str) else None,
    )


def is_tooth(name: str) -> bool:
    """Tell whether a name is the number of a permanent tooth in ISO 3950."""
    return len(name) == 2 and name[0] in "1234" and name[1] in "12345678"


def side_of(tooth: str) -> str:
    """``right`` or ``left``, the patient's."""
    return "right" if check_tooth(tooth)[0] in "14" else "left"


def arch_of(tooth: str) -> Member:
    """``upper`` or ``lower``."""
    return "upper" if check_tooth(tooth)[0] in "12" else "lower"


def other_arch(arch: Member) -> Member:
    """The arch that this one meets."""
    return "lower" if arch == "upper" else "upper"


def is_anterior(tooth: str) -> bool:
    """Incisors and canines."""
    return check_tooth(tooth)[1] in "123"


def crown(tooth: str) -> Crown:
    """Textbook crown of a tooth."""
    row = UPPER_CROWNS if arch_of(tooth) == "upper" else LOWER_CROWNS
    return row[int(tooth[1]) - 1]


def check_side(tooth: str, y_mm: float, *, field: str = "landmark_mm") -> None:
    """Refuse a right tooth on the left, or the other way round.

    Raises
    ------
    SidesLookSwapped
    """
    side = side_of(tooth)
    past = y_mm if side == "right" else -y_mm
    allowed = MIDLINE_MM if tooth[1] in "12" else 0.0
    if past > allowed:
        raise SidesLookSwapped(
            f"Tooth {tooth} is on the {side}, but its point lies {past:g} mm to the other side "
            "of the midline. Right is the patient's; y is positive to the left.",
            field=f"{field}.y",
            value=y_mm,
            limit=allowed if side == "right" else -allowed,
        )


def arch_landmarks(
    *,
    arch: Member,
    incisal_point_mm: Point,
    widths_mm: Mapping[str, float] | None = None,
) -> dict[str, Point]:
    """Where the sixteen teeth of an arch stand, laid out from their crown widths.

    The arch is a half-ellipse of a fixed shape through the incisal point, on its height,
    as large as makes each quarter's arc the sum of the eight crown widths of that side. A
    tooth stands in the middle of its width. This is a textbook place, not a measured one.

    Parameters
    ----------
    arch : {"upper", "lower"}
        The arch to lay out. Both pass through the same point.
    incisal_point_mm : tuple of float
        Front of the arch in articulator axes.
    widths_mm : mapping of str to float, optional
        Mesiodistal widths that replace the textbook's, by tooth.

    Returns
    -------
    dict of str to (x, y, z)
        From the right third molar round to the left one.
    """
    choose(arch, QUADRANTS, field="arch", label="arch")
    x0, y0, z0 = check_point(incisal_point_mm, field="incisal_point_mm", label="incisal point")
    given = {check_tooth(tooth, field="widths_mm"): w for tooth, w in (widths_mm or {}).items()}
    places: dict[str, Point] = {}
    for quadrant, outward in zip(QUADRANTS[arch], (-1.0, 1.0), strict=True):
        numbers = [f"{quadrant}{position}" for position in range(1, 9)]
        widths = [
            check_hard(
                "crown_width_mm",
                given.get(tooth, crown(tooth).mesiodistal_mm),
                field=f"widths_mm.{tooth}",
                label=f"crown width of {tooth}",
            )
            for tooth in numbers
        ]
        middles = np.cumsum(widths) - np.array(widths) / 2.0
        back, out = _on_ellipse(middles, float(np.sum(widths)), HALF_WIDTH_TO_DEPTH[arch])
        for tooth, b, o in zip(numbers, back, out, strict=True):
            places[tooth] = (x0 - float(b), y0 + outward * float(o), z0)
    order = [f"{QUADRANTS[arch][0]}{n}" for n in range(8, 0, -1)]
    order += [f"{QUADRANTS[arch][1]}{n}" for n in range(1, 9)]
    return {tooth: places[tooth] for tooth in order}


def _on_ellipse(
    along_mm: np.ndarray[tuple[int], np.dtype[np.float64]], quarter_mm: float, shape: float
) -> tuple[np.ndarray[tuple[int], np.dtype[np.float64]], ...]:
    """How far back and out points lie that are this far along a quarter of the ellipse."""
    angle = np.linspace(0.0, math.pi / 2.0, 4001)
    steps = np.hypot(np.diff(np.cos(angle)), shape * np.diff(np.sin(angle)))
    walked = np.concatenate([[0.0], np.cumsum(steps)])
    depth = quarter_mm / float(walked[-1])
    at = np.interp(along_mm, walked * depth, angle)
    return depth * (1.0 - np.cos(at)), shape * depth * np.sin(at)
