"""What one reading of the pin, or of the incisors, or of a tooth, means everywhere else."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from occlusion import frames
from occlusion.articulator import ArticulatorSettings, choose
from occlusion.errors import BadRequest, ImpossibleGeometry
from occlusion.guidance import WIDEST_OPENING_DEG, nearest_root, opening_rad
from occlusion.pin import Point, straight_line_mm
from occlusion.ranges import EngineWarning, check_hard, check_point, number, usual
from occlusion.sources import cite

Material = Literal["denture", "natural"]
Bench = Literal["table lowered", "upper pin", "lower pin"]

FOLD = 3.0
"""'3 in front is 1 behind': so much further from the axis stands the pin (pin_ratio)."""

FOLD_WITHIN = 0.25
"""A pin and tooth within this of three to one are said to follow the words (practice)."""

PIN_TELLS_NO_PLACE = (
    "The pin alone does not tell where the teeth meet: find the place with foil before anything "
    "is reduced."
)
"""Source: wesley_1973 (pin opening goes with neither number nor place of the contacts)."""


@dataclass(frozen=True)
class StraightPin:
    """What a straight pin on a tilted table really opens.

    ``reading_mm`` is what its scale says, ``opening_mm`` how far the guided point goes down,
    ``short_by_mm`` the rest; ``bench`` names the arrangement, ``text`` goes next to the field.
    """

    reading_mm: float
    opening_mm: float
    short_by_mm: float
    hinge_deg: float
    bench: Bench
    text: str


@dataclass(frozen=True)
class MeansHere:
    """One opening at one place: by the turn about the axis, and by the rule of three."""

    name: str
    exact_mm: float
    straight_line_mm: float


@dataclass(frozen=True)
class ReadingMeans:
    """The same opening at every place.

    Attributes
    ----------
    value_mm : float
        As read.
    read_at : str
        Where: ``"pin"``, ``"incisors"`` or a tooth.
    pin_opening_mm, hinge_deg : float
        The opening at the pin, and the turn about the hinge axis.
    places : tuple of MeansHere
        Pin, incisors, and the teeth in the order given.
    sentences : tuple of str
        Where it was read and what that means, in the words of the bench.
    warnings : tuple of EngineWarning
    """

    value_mm: float
    read_at: str
    pin_opening_mm: float
    hinge_deg: float
    places: tuple[MeansHere, ...]
    sentences: tuple[str, ...]
    warnings: tuple[EngineWarning, ...]
    source: str = cite("pin_ratio")


@dataclass(frozen=True)
class Correction:
    """Depth at one tooth that would lower the pin by its rise, were the contact there.

    Both depths are None at a natural tooth, which is never reduced.
    """

    tooth: str
    exact_mm: float | None
    straight_line_mm: float | None
    text: str


def straight_pin(
    *, settings: ArticulatorSettings, reading_mm: float, bench: Bench | None = None
) -> StraightPin:
    """The opening that a straight pin really gives: opening carries it along the tilted table.

    Parameters
    ----------
    settings : ArticulatorSettings
        Pin point and sagittal angle of the table matter.
    reading_mm : float
        How far the pin was set, along the vertical.
    bench : {"table lowered", "upper pin", "lower pin"}, optional
        A table carried by the upper member and set lower; a pin of the upper member set
        longer over a table of the lower one; a pin of the lower member set longer under a
        table of the upper one. By default the first or second, by the member of the table.

    Raises
    ------
    OutOfRange
    ImpossibleGeometry
        The point finds no place on the table.
    """
    reading = check_hard("pin_opening_mm", reading_mm, field="reading_mm")
    chosen: Bench = "upper pin" if settings.table.mounted_on == "lower" else "table lowered"
    if bench is not None:
        choose(bench, ("table lowered", "upper pin", "lower pin"), field="bench", label="bench")
        chosen = bench
    tilt = settings.reference_plane.tilt_deg
    slope = math.tan(math.radians(settings.table.in_axes(tilt_deg=tilt)[0]))
    x, _, z = settings.guided_point_mm
    # Height over the table once turned by a: A cos a + B sin a + C. Points forward and up.
    if chosen == "table lowered":
        A, B, C = slope * x + z, slope * z - x, reading - z - slope * x
    elif chosen == "lower pin":
        longer = z + reading
        A, B, C = slope * x + longer, slope * longer - x, -z - slope * x
    else:  # the tip of the upper pin, seen from the lower member: turned the other way
        longer = z - reading
        A, B, C = slope * x + longer, x - slope * longer, -z - slope * x
    turn, there = nearest_root(np.array(A), np.array(B), np.array(C))
    if not bool(there) or abs(math.degrees(float(turn))) > WIDEST_OPENING_DEG:
        raise ImpossibleGeometry(
            f"A straight pin set to {reading:g} mm finds no place on this table. Check the pin "
            "point and the table.",
            field="reading_mm",
            value=reading,
        )
    theta = float(turn)
    opening = -_movement(theta, (x, z))[1]
    text = (
        f"A straight pin read {reading:g} mm on a table of {settings.table.sagittal_deg:g} deg "
        f"lowers the guided point {opening:.2f} mm, {_less(reading - opening)}: opening carries "
        "the lower member back along the table. Openings here are what the point goes down."
    )
    return StraightPin(reading, opening, reading - opening, math.degrees(theta), chosen, text)


def reading_means(
    value_mm: float,
    *,
    read_at: str,
    settings: ArticulatorSettings,
    teeth_mm: Mapping[str, Point] | None = None,
) -> ReadingMeans:
    """One opening, read at one place, told for the pin, the incisors and each tooth.

    Parameters
    ----------
    value_mm : float
        The opening as read: how far that place went down.
    read_at : str
        ``"pin"``, ``"incisors"``, or a name of ``teeth_mm``.
    settings : ArticulatorSettings
        Its pin point and incisal point; its own pin opening is not added.
    teeth_mm : mapping of str to point, optional
        Lower points of teeth, closed.

    Raises
    ------
    BadRequest
        It was read where no point is known.
    NotANumber, OutOfRange, ImpossibleGeometry, PinUnreachable

    Notes
    -----
    Source: pin_ratio (second molar, incisors and pin at 2, 4 and 6 inches).
    """
    value = number(value_mm, field="value_mm")
    places: dict[str, Point] = {
        "pin": settings.guided_point_mm,
        "incisors": settings.incisal_point_mm,
    }
    for name, point in (teeth_mm or {}).items():
        places.setdefault(name, check_point(point, field=f"teeth_mm.{name}"))
    if read_at not in places:
        raise BadRequest(
            f"The opening was read at {read_at!r}, of which no point is known. "
            f"Choose one of: {', '.join(places)}.",
            field="read_at",
            value=read_at if isinstance(read_at, str) else None,
            limit=list(places),
        )
    origin = places[read_at]
    theta = float(opening_rad(np.array(origin), np.array(value), field="value_mm"))
    rows = tuple(
        MeansHere(
            name,
            -_movement(theta, (point[0], point[2]))[1],
            straight_line_mm(opening_mm=value, distance_mm=point[0], pin_distance_mm=origin[0]),
        )
        for name, point in places.items()
    )
    opening = check_hard(
        "pin_opening_mm", rows[0].exact_mm, field="value_mm", label="the opening at the pin"
    )
    found = usual("pin_opening_mm", round(opening, 9))
    return ReadingMeans(
        value_mm=value,
        read_at=read_at,
        pin_opening_mm=opening,
        hinge_deg=math.degrees(theta),
        places=rows,
        sentences=(f"{value:g} mm, read at the {_place(read_at)}.", *_teaching(read_at, places)),
        warnings=(found,) if found else (),
    )


def correction_depths(
    *,
    pin_rise_mm: float,
    settings: ArticulatorSettings,
    teeth_mm: Mapping[str, Point],
    materials: Mapping[str, Material] | None = None,
) -> tuple[Correction, ...]:
    """At each tooth, the depth that brings the pin back, if the contact is there.

    Parameters
    ----------
    pin_rise_mm : float
        How far the pin stands off its table; below 0 there is nothing to reduce.
    settings : ArticulatorSettings
        Its pin point.
    teeth_mm : mapping of str to point
        By upper tooth, the place of the opposing surface, closed.
    materials : mapping, optional
        Denture or natural by upper tooth; denture where it is left out.

    Returns
    -------
    tuple of Correction
        In the order of the teeth; the depths are vertical.

    Raises
    ------
    OutOfRange, ImpossibleGeometry, PinUnreachable

    Notes
    -----
    Sources: pin_ratio, wesley_1973. The inverse of ``occlusion.pin.pin_rise``.
    """
    rise = max(0.0, check_hard("pin_rise_mm", pin_rise_mm, field="pin_rise_mm"))
    pin = settings.guided_point_mm
    theta = float(opening_rad(np.array(pin), np.array(rise), field="pin_rise_mm"))
    found = []
    for tooth, place in teeth_mm.items():
        x, _, z = check_point(place, field=f"teeth_mm.{tooth}")
        if (materials or {}).get(tooth, "denture") == "natural":
            text = f"{tooth} is natural: the dentist decides."
            found.append(Correction(tooth, None, None, text))
            continue
        straight = straight_line_mm(opening_mm=rise, distance_mm=x, pin_distance_mm=pin[0])
        exact = x * math.tan(theta) + z - z / math.cos(theta)
        if rise == 0.0:
            found.append(Correction(tooth, 0.0, 0.0, f"No rise: nothing to reduce at {tooth}."))
            continue
        text = (
            f"If {tooth} is what lifts the pin by {rise:.2f} mm, it stands {exact:.2f} mm too low."
        )
        found.append(Correction(tooth, exact, straight, f"{text} {PIN_TELLS_NO_PLACE}"))
    return tuple(found)


def _movement(theta: float, place: tuple[float, float]) -> tuple[float, float]:
    """Movement (x, z) of a place turned about the hinge axis."""
    point = np.array([place[0], 0.0, place[1]])
    moved = frames.about_y(theta) @ point - point
    return float(moved[0]), float(moved[2])


def _less(short: float) -> str:
    return f"{short:.2f} mm less" if short >= 0 else f"{-short:.2f} mm more"


def _place(read_at: str) -> str:
    return read_at if read_at in ("pin", "incisors") else f"tooth {read_at}"


def _teaching(read_at: str, places: Mapping[str, Point]) -> list[str]:
    """The words of the schoolroom, only where they hold."""
    said = []
    for name, point in places.items():
        if name in ("pin", "incisors") or point[0] <= 0:
            continue
        ratio = places[read_at][0] / point[0]
        if read_at == "pin" and abs(ratio - FOLD) <= FOLD_WITHIN:
            said.append(f"3 in front is 1 behind: true of {name}, read at the pin.")
        elif read_at == "pin":
            said.append(f"Here {ratio:.1f} at the pin is 1 at {name}, not 3.")
        elif read_at == "incisors":
            said.append(
                f"Read at the incisors, {ratio:.1f} in front is 1 at {name}. '3 in front is 1 "
                "behind' is meant of the pin."
            )
    return said
