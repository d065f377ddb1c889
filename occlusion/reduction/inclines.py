"""The eight inclines of a posterior tooth: their names, which way they face, where a mark lies.

A name is the cusp that the incline belongs to, the slope of that cusp, and the half of it:
``buccal inner distal``. The half is left out where it is not told apart. An outer slope
faces away from the middle of the tooth, an inner one towards it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, cast, get_args

from occlusion.articulator import Member
from occlusion.errors import BadRequest, kind_of
from occlusion.ranges import check_hard
from occlusion.surfaces.samples import INCLINES
from occlusion.teeth import check_tooth, crown, is_anterior, side_of

CuspSide = Literal["buccal", "lingual"]
Slope = Literal["inner", "outer"]
Half = Literal["mesial", "distal"]

SUPPORTING: dict[Member, CuspSide] = {"upper": "lingual", "lower": "buccal"}
"""Which cusps carry the vertical, where the upper teeth overlap the lower ones outside."""

TIPS_APART = 0.5
"""Distance of the buccal and lingual tips, as part of the buccolingual width, and of the
mesial and distal tips of a molar, of its mesiodistal width (common practice, no source)."""


@dataclass(frozen=True)
class Incline:
    """An incline of a posterior tooth; ``half`` None where mesial and distal are not told."""

    cusp: CuspSide
    slope: Slope
    half: Half | None = None

    @property
    def name(self) -> str:
        """As answers print it: ``lingual inner distal``."""
        return " ".join(part for part in (self.cusp, self.slope, self.half) if part)

    @property
    def faces(self) -> CuspSide:
        """The side that the slope looks to: an inner slope looks across the tooth."""
        if self.slope == "outer":
            return self.cusp
        return "lingual" if self.cusp == "buccal" else "buccal"

    def in_words(self, member: Member) -> str:
        """As the trade says it: ``distobuccal (inner) incline of the upper lingual cusp``."""
        way = {"mesial": "mesio", "distal": "disto"}[self.half] if self.half else ""
        return f"{way}{self.faces} ({self.slope}) incline of the {member} {self.cusp} cusp"


def incline_named(name: str) -> Incline:
    """The incline of a name such as ``buccal inner`` or ``buccal inner distal``.

    Raises
    ------
    BadRequest
        It is no such name.
    """
    parts = name.split(" ") if isinstance(name, str) else []
    if (
        len(parts) in (2, 3)
        and parts[0] in get_args(CuspSide)
        and parts[1] in get_args(Slope)
        and all(part in get_args(Half) for part in parts[2:])
    ):
        half = cast(Half, parts[2]) if len(parts) == 3 else None
        return Incline(cast(CuspSide, parts[0]), cast(Slope, parts[1]), half)
    raise BadRequest(
        f"Incline is {kind_of(name)}. Enter buccal or lingual for the cusp, inner or outer for its "
        'slope, and mesial or distal where told apart, such as "buccal inner distal".',
        field="incline",
        value=name,
    )


def incline_at(index: int) -> Incline | None:
    """The incline of an entry of ``Samples.incline``, None where it is not told.

    Raises
    ------
    BadRequest
        There is no such entry.
    """
    if not -1 <= index < len(INCLINES):
        raise BadRequest(
            f"There is no incline {index:g}. Give -1 to {len(INCLINES) - 1}.",
            field="incline",
            value=index,
        )
    return None if index == -1 else incline_named(INCLINES[index])


@dataclass(frozen=True, kw_only=True)
class CuspPlace:
    """A cusp tip in the axes of its tooth: towards the front of the arch, towards the cheek."""

    cusp: CuspSide
    mesial_mm: float
    buccal_mm: float


def usual_cusps(tooth: str) -> tuple[CuspPlace, ...]:
    """Two cusps of a premolar or four of a molar, at textbook places about the centre.

    Raises
    ------
    BadRequest
        The tooth has an edge or a single cusp.
    """
    _posterior(tooth)
    size = crown(tooth)
    out = size.buccolingual_mm * TIPS_APART / 2.0
    along = size.mesiodistal_mm * TIPS_APART / 2.0
    places = (0.0,) if tooth[1] in "45" else (along, -along)
    sides: tuple[tuple[CuspSide, float], ...] = (("buccal", out), ("lingual", -out))
    return tuple(
        CuspPlace(cusp=cusp, mesial_mm=mesial, buccal_mm=buccal)
        for cusp, buccal in sides
        for mesial in places
    )


def incline_of(
    *,
    tooth: str,
    mesial_mm: float,
    buccal_mm: float,
    cusps: Sequence[CuspPlace] | None = None,
) -> Incline:
    """The incline that a mark lies on: that of the nearest cusp, by where its tip stands.

    Parameters
    ----------
    tooth : str
        A premolar or molar, ISO 3950.
    mesial_mm, buccal_mm : float
        The mark from the centre of the crown, towards the front of the arch and towards the
        cheek.
    cusps : sequence of CuspPlace, optional
        Tips in the same axes; those of ``usual_cusps`` by default.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """
    _posterior(tooth)
    mesial = check_hard("coordinate_mm", mesial_mm, field="mesial_mm", label="mark, mesially")
    buccal = check_hard("coordinate_mm", buccal_mm, field="buccal_mm", label="mark, buccally")
    tips = usual_cusps(tooth) if cusps is None else tuple(cusps)
    if not tips:
        raise BadRequest(f"Tooth {tooth} has no cusps. Give at least one tip.", field="cusps")
    own = min(tips, key=lambda tip: math.hypot(mesial - tip.mesial_mm, buccal - tip.buccal_mm))
    outwards = buccal - own.buccal_mm if own.cusp == "buccal" else own.buccal_mm - buccal
    return Incline(
        own.cusp,
        "outer" if outwards > 0.0 else "inner",
        "mesial" if mesial > own.mesial_mm else "distal",
    )


def in_tooth_axes(
    *,
    tooth: str,
    place_mm: tuple[float, float],
    centre_mm: tuple[float, float],
    mesial: tuple[float, float] = (1.0, 0.0),
) -> tuple[float, float]:
    """A place in articulator axes as (mesial_mm, buccal_mm) of a tooth.

    Parameters
    ----------
    tooth : str
        ISO 3950; tells on which side the cheek is.
    place_mm, centre_mm : (x, y)
        The mark and the middle of the crown, x forward and y to the patient's left.
    mesial : (x, y)
        Direction along the arch towards the midline; straight forward by default.

    Raises
    ------
    BadRequest
    """
    check_tooth(tooth)
    length = math.hypot(*mesial)
    if not (math.isfinite(length) and length > 0.0):
        raise BadRequest(
            f"The mesial direction of {tooth} is {mesial[0]:g}, {mesial[1]:g}. Enter two numbers "
            "that are not both 0, such as 1 and 0.",
            field="mesial",
        )
    ux, uy = mesial[0] / length, mesial[1] / length
    dx, dy = place_mm[0] - centre_mm[0], place_mm[1] - centre_mm[1]
    outward = -1.0 if side_of(tooth) == "right" else 1.0
    return dx * ux + dy * uy, outward * (dy * ux - dx * uy)


def _posterior(tooth: str) -> None:
    if is_anterior(tooth):
        raise BadRequest(
            f"Tooth {tooth} is a front tooth: it has an edge and no buccal and lingual cusps. "
            "Name its palatal or labial surface instead.",
            field="tooth",
            value=tooth,
        )
