"""Room behind the canine against the teeth that should stand there, and crown sizes.

The last tooth is left out rather than the row crowded or set on the slope of the
tuberosity or of the retromolar pad (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from occlusion.articulator import Member, choose
from occlusion.errors import BadRequest
from occlusion.ranges import EngineWarning, check_hard, sentence
from occlusion.sources import cite
from occlusion.teeth import BAND, QUADRANTS, arch_of, check_tooth, crown

Side = Literal["right", "left"]

ROOM_READING_MM = 0.5
"""How far a reading of the room on a cast may be off (common practice, no source)."""

WIDTH_READING_MM = 0.1
"""How far one measured or printed width of a tooth may be off (common practice, no source)."""

BACK_LIMIT = {"upper": "front of the tuberosity", "lower": "front of the retromolar pad"}
"""Where the row has to end."""

UPPER_SIX_TO_LOWER = 0.772
UPPER_TWELVE_TO_LOWER = 0.913
"""Lower widths over upper ones (source: bolton_1958)."""

CORRECTION_MM = 2.0
"""A smaller correction is not told (source: othman_harradine_2007)."""


@dataclass(frozen=True)
class SideRoom:
    """The back teeth of one side.

    Attributes
    ----------
    side, arch : str
        The patient's side.
    room_mm : float
        From the distal of the canine to the back limit.
    widths_mm : dict of str to (low, high)
        By tooth, from the first premolar back.
    teeth : tuple of str
        Those that fit at their middle widths.
    left_out : tuple of str
        The rest.
    surely : tuple of str
        Those that fit even if every width is the largest and the room the smallest.
    perhaps : tuple of str
        Those that fit if every width is the smallest and the room the largest.
    spare_mm : tuple of float
        Lowest and highest room that is left behind ``teeth``; negative: too little.
    sentence : str
        The same in words.
    """

    side: Side
    arch: Member
    room_mm: float
    widths_mm: dict[str, tuple[float, float]]
    teeth: tuple[str, ...]
    left_out: tuple[str, ...]
    surely: tuple[str, ...]
    perhaps: tuple[str, ...]
    spare_mm: tuple[float, float]
    sentence: str


def posterior_room(
    *,
    room_mm: Mapping[Side, float],
    arch: Member = "upper",
    widths_mm: Mapping[str, float] | None = None,
    room_half_width_mm: float = ROOM_READING_MM,
) -> list[SideRoom]:
    """Which of the back teeth, first premolar to second molar, fit on each side.

    Parameters
    ----------
    room_mm : mapping of {"right", "left"} to float
        From the distal of the canine to where the tuberosity or the retromolar pad
        begins to rise, measured along the ridge. A side that is not named is left out.
    arch : {"upper", "lower"}
        Where the teeth stand.
    widths_mm : mapping of str to float, optional
        Widths of the teeth that are meant, by tooth. The others are taken from the table
        (source: crown_table), and may differ from it by a quarter.
    room_half_width_mm : float
        How far the room may be off.

    Returns
    -------
    list of SideRoom
        Right first.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """
    choose(arch, get_args(Member), field="arch", label="arch")
    error = check_hard("reading_half_width", room_half_width_mm, field="room_half_width_mm")
    for side in room_mm:
        choose(side, get_args(Side), field="room_mm", label="side")
    given = _given(widths_mm or {}, arch)
    return [
        _side(
            side,
            arch,
            check_hard("posterior_room_mm", room_mm[side], field=f"room_mm.{side}"),
            error,
            given,
        )
        for side in get_args(Side)
        if side in room_mm
    ]


def crown_size_check(
    *,
    tooth: str,
    mesiodistal_mm: float | None = None,
    buccolingual_mm: float | None = None,
    length_mm: float | None = None,
) -> tuple[EngineWarning, ...]:
    """Warnings for a crown that is more than a quarter off the table (source: crown_table).

    The table is rounded to 0.5 mm; what was measured on many people lies within a quarter of
    it (sources: sizes_2015, magne_2003).

    Parameters
    ----------
    tooth : str
        ISO 3950.
    mesiodistal_mm, buccolingual_mm, length_mm : float, optional
        What was measured.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """
    printed = crown(tooth)
    found = []
    for name, label, limit, value in (
        ("mesiodistal_mm", "mesiodistal width", "crown_width_mm", mesiodistal_mm),
        ("buccolingual_mm", "buccolingual width", "crown_width_mm", buccolingual_mm),
        ("length_mm", "crown length", "crown_length_mm", length_mm),
    ):
        if value is None:
            continue
        size = check_hard(limit, value, field=name, label=f"{label} of {tooth}")
        usual = getattr(printed, name)
        low, high = usual * (1.0 - BAND), usual * (1.0 + BAND)
        if not low <= size <= high:
            found.append(
                EngineWarning(
                    f"crown_{name.removesuffix('_mm')}_unusual",
                    f"{sentence(label)} of {tooth} is {size:g} mm; the textbook's is {usual:g} mm, "
                    f"and {low:.1f} to {high:.1f} mm is usual. Check the tooth number and the "
                    "reading.",
                    cite("crown_table"),
                )
            )
    return tuple(found)


@dataclass(frozen=True)
class ToothSizes:
    """Upper teeth against lower ones.

    Attributes
    ----------
    ratio_percent : float
        Lower widths over upper ones.
    upper_correction_mm : float
        How much wider (positive) or narrower the upper teeth would be at the mean ratio.
    warning : EngineWarning or None
        Only above 2 mm of correction; a number of standard deviations says nothing.
    """

    ratio_percent: float
    upper_correction_mm: float
    warning: EngineWarning | None


def tooth_sizes(*, upper_mm: float, lower_mm: float, teeth: Literal[6, 12] = 6) -> ToothSizes:
    """Upper front (6) or upper teeth to the first molars (12) against the lower ones.

    The correction is told for the upper teeth, which are the ones to be chosen (sources:
    bolton_1958, othman_harradine_2007).

    Parameters
    ----------
    upper_mm, lower_mm : float
        Widths of the teeth together.
    teeth : {6, 12}
        How many of each arch.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """
    if isinstance(teeth, bool) or teeth not in (6, 12):
        raise BadRequest(
            "The ratio is known for 6 or 12 teeth of each arch. Enter 6 or 12.",
            field="teeth",
            value=teeth,
        )
    upper = check_hard("teeth_together_mm", upper_mm, field="upper_mm", label="upper teeth")
    lower = check_hard("teeth_together_mm", lower_mm, field="lower_mm", label="lower teeth")
    mean = UPPER_SIX_TO_LOWER if teeth == 6 else UPPER_TWELVE_TO_LOWER
    correction = lower / mean - upper
    warning = None
    if abs(correction) > CORRECTION_MM:
        way = "wider" if correction > 0 else "narrower"
        warning = EngineWarning(
            "tooth_sizes_differ",
            f"The {teeth} lower teeth are {100 * lower / upper:.1f} % of the upper ones; at the "
            f"mean of {100 * mean:.1f} % the upper teeth would be {abs(correction):.1f} mm {way}. "
            "Expect spaces, crowding or another overjet, or choose other upper teeth; the dentist "
            "decides.",
            f"{cite('bolton_1958')}; also {cite('othman_harradine_2007')}",
        )
    return ToothSizes(100.0 * lower / upper, correction, warning)


def _given(widths_mm: Mapping[str, float], arch: Member) -> dict[str, float]:
    given = {}
    for tooth, width in widths_mm.items():
        if arch_of(check_tooth(tooth, field="widths_mm")) != arch or tooth[1] not in "4567":
            raise BadRequest(
                f"Tooth {tooth} is no {arch} premolar or first or second molar. Enter widths of "
                "those only.",
                field="widths_mm",
                value=tooth,
            )
        given[tooth] = check_hard(
            "crown_width_mm", width, field=f"widths_mm.{tooth}", label=f"crown width of {tooth}"
        )
    return given


def _side(
    side: Side, arch: Member, room: float, error: float, given: Mapping[str, float]
) -> SideRoom:
    quadrant = QUADRANTS[arch][0 if side == "right" else 1]
    numbers = [f"{quadrant}{position}" for position in (4, 5, 6, 7)]
    widths, middle = {}, {}
    for tooth in numbers:
        middle[tooth] = given.get(tooth, crown(tooth).mesiodistal_mm)
        half = WIDTH_READING_MM if tooth in given else BAND * middle[tooth]
        widths[tooth] = (middle[tooth] - half, middle[tooth] + half)
    teeth = _fitting(room, middle)
    left_out = tuple(tooth for tooth in numbers if tooth not in teeth)
    surely = _fitting(room - error, {tooth: high for tooth, (_, high) in widths.items()})
    perhaps = _fitting(room + error, {tooth: low for tooth, (low, _) in widths.items()})
    spare = (
        room - error - math.fsum(widths[tooth][1] for tooth in teeth),
        room + error - math.fsum(widths[tooth][0] for tooth in teeth),
    )
    from_table = [tooth for tooth in numbers if tooth not in given]
    words = (
        f"{sentence(side)} side, {room:g} mm from the canine to the {BACK_LIMIT[arch]}: "
        f"{', '.join(teeth) or 'none of the back teeth'} "
        f"{'fits' if len(teeth) == 1 or not teeth else 'fit'} at middle widths"
    )
    words += f", {', '.join(left_out)} left out rather than crowded." if left_out else "."
    if surely != perhaps:
        words += (
            f" Within the widths and the reading between {len(surely)} and {len(perhaps)} of the "
            "4 fit."
        )
    if from_table:
        words += (
            f" Widths of {', '.join(from_table)} are textbook widths and may be a quarter off "
            f"({cite('crown_table')})."
        )
    return SideRoom(side, arch, room, widths, teeth, left_out, surely, perhaps, spare, words)


def _fitting(room: float, widths: Mapping[str, float]) -> tuple[str, ...]:
    """The teeth from the front that fit; the first that does not ends the row."""
    used, found = 0.0, []
    for tooth, width in widths.items():
        used += width
        if used > room + 1e-9:
            break
        found.append(tooth)
    return tuple(found)
