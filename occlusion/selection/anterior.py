"""Widths of the upper front teeth: what each measure says, as a range with a weight.

No formula is good enough for one size. Teeth or casts from before the extraction outrank
every formula; without them the ranges of the formulas are put together by weight.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields
from typing import Literal

from occlusion.articulator import choose
from occlusion.errors import BadRequest
from occlusion.ranges import EngineWarning, check_hard, usual
from occlusion.sources import SOURCES, cite
from occlusion.teeth import arch_of, check_tooth, is_anterior

Quantity = Literal[
    "width of a central incisor",
    "length of a central incisor",
    "width of the six front teeth",
    "distance of the canine tips",
]
CalliperedOn = Literal["teeth", "cast"]

NATURAL = "teeth before extraction"
"""Name of an estimate from the patient's own teeth; it outranks every other."""

NATURAL_WEIGHT = 1.0

READING_MM = 0.2
"""How far one calliper reading of a crown may be off (common practice, no source)."""

OTHER_SIDE_MM = 0.5
"""How far the three front teeth of one side may differ from those of the other (common
practice, no source)."""

SIX = ("13", "12", "11", "21", "22", "23")


@dataclass(frozen=True)
class Formula:
    """A rule that makes a width of a measure.

    Attributes
    ----------
    name : str
        Of the estimate.
    measure : str
        Field of ``Measures``.
    quantity : str
        What it estimates.
    factor : float
        Times the measure.
    band : float
        Part of the value that the range reaches to either side.
    weight : float
        From 0 to 1 (common practice, no source).
    source : str
        Key of ``occlusion.sources.SOURCES``.
    remark : str
        What should be known of it.
    low_factor : float, optional
        Another published factor, which then makes the low end of the range.
    """

    name: str
    measure: str
    quantity: Quantity
    factor: float
    band: float
    weight: float
    source: str
    remark: str
    low_factor: float | None = None


_CENTRAL: Quantity = "width of a central incisor"
_LENGTH: Quantity = "length of a central incisor"
_SIX: Quantity = "width of the six front teeth"
_TIPS: Quantity = "distance of the canine tips"

FORMULAS: tuple[Formula, ...] = (
    Formula(
        *("inner eye corners", "inner_canthal_mm", _CENTRAL, 0.618 / 2.0, 0.115, 0.5),
        "abdullah_2002",
        "The range is two standard deviations of the teeth that were measured.",
    ),
    Formula(
        *("face width", "bizygomatic_mm", _CENTRAL, 1.0 / 16.0, 0.12, 0.2),
        "face_sixteenths",
        "Facial widths follow teeth weakly and differ between populations.",
    ),
    Formula(
        *("pupils", "interpupillary_mm", _CENTRAL, 1.0 / 6.6, 0.12, 0.2),
        "cesario_latta_1984",
        "Facial widths follow teeth weakly and differ between populations.",
    ),
    Formula(
        *("face length", "face_length_mm", _LENGTH, 1.0 / 16.0, 0.12, 0.1),
        "face_sixteenths",
        "Texts divide by 16 or by 20; the range holds both.",
        low_factor=1.0 / 20.0,
    ),
    Formula(
        *("canine lines of the rim", "canine_lines_mm", _SIX, 1.0, 0.08, 0.4),
        "practice",
        "Measured along the curve of the rim, between the marks of its canine lines.",
    ),
    Formula(
        *("face width", "bizygomatic_mm", _SIX, 1.0 / 3.3, 0.12, 0.1),
        "face_sixteenths",
        "It gives less than the 45 mm of the textbook's six crowns.",
    ),
    Formula(
        *("hamular notches", "hamular_notch_mm", _SIX, 1.0, 0.12, 0.2),
        "guldag_2010",
        "Some call the two equal; on 110 casts the teeth were 3.6 mm wider.",
    ),
    Formula(
        *("girth of the head", "head_circumference_mm", _SIX, 1.0 / 13.0, 0.12, 0.1),
        "sears_1938",
        "The weakest of the rules.",
    ),
    Formula(
        *("nose width", "interalar_mm", _TIPS, 1.0, 0.15, 0.3),
        "woelfel_2014",
        "Straight from tip to tip, not along the curve; single persons differ much.",
    ),
)
"""Rules from measures of face, rim and cast. Bands without a printed deviation and all
weights are common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Measures:
    """What was measured; None: was not.

    Attributes
    ----------
    inner_canthal_mm, interpupillary_mm, bizygomatic_mm, interalar_mm : float, optional
        Straight distances of the face.
    face_length_mm, head_circumference_mm : float, optional
        Hairline to chin, and round the head.
    canine_lines_mm : float, optional
        Along the curve of the rim, between the canine lines marked on it.
    hamular_notch_mm : float, optional
        Between the notches of the cast.
    natural_widths_mm : mapping of str to float
        Mesiodistal widths of the upper front teeth before extraction, by tooth.
    natural_from : {"teeth", "cast"}
        Where those were taken.
    """

    inner_canthal_mm: float | None = None
    interpupillary_mm: float | None = None
    bizygomatic_mm: float | None = None
    interalar_mm: float | None = None
    face_length_mm: float | None = None
    head_circumference_mm: float | None = None
    canine_lines_mm: float | None = None
    hamular_notch_mm: float | None = None
    natural_widths_mm: Mapping[str, float] = field(default_factory=dict)
    natural_from: CalliperedOn = "cast"

    def __post_init__(self) -> None:
        choose(self.natural_from, ("teeth", "cast"), field="natural_from", label="origin")
        for one in fields(self):
            value = getattr(self, one.name)
            if one.name.startswith("natural") or value is None:
                continue
            object.__setattr__(self, one.name, check_hard(one.name, value))
        widths = {}
        for tooth, width in self.natural_widths_mm.items():
            if arch_of(check_tooth(tooth, field="natural_widths_mm")) != "upper" or (
                not is_anterior(tooth)
            ):
                raise BadRequest(
                    f"Tooth {tooth} is no upper front tooth. Enter widths of 13 to 23.",
                    field="natural_widths_mm",
                    value=tooth,
                )
            widths[tooth] = check_hard(
                "crown_width_mm",
                width,
                field=f"natural_widths_mm.{tooth}",
                label=f"crown width of {tooth}",
            )
        object.__setattr__(self, "natural_widths_mm", widths)


@dataclass(frozen=True)
class Estimate:
    """What one measure says of one quantity, in mm.

    ``source`` is a key of ``occlusion.sources.SOURCES``, ``how_read`` of ``HOW_READ``.
    """

    name: str
    quantity: Quantity
    low: float
    high: float
    value: float
    weight: float
    source: str
    how_read: str
    sentence: str


@dataclass(frozen=True)
class Proposal:
    """All that was measured of one quantity, put together, in mm.

    Attributes
    ----------
    quantity : str
        What it is.
    low, high : float
        The range to choose within.
    names : tuple of str
        The estimates that made it.
    outranked : tuple of str
        Estimates that the patient's own teeth set aside.
    apart : tuple of str
        Estimates whose own value lies outside the range.
    sentence : str
        The same in words.
    """

    quantity: Quantity
    low: float
    high: float
    names: tuple[str, ...]
    outranked: tuple[str, ...]
    apart: tuple[str, ...]
    sentence: str


def anterior_widths(measures: Measures) -> list[Estimate]:
    """What each measure says of the front teeth, the weightiest first.

    Sources: abdullah_2002, face_sixteenths, cesario_latta_1984, woelfel_2014, guldag_2010,
    sears_1938; teeth before extraction outrank all of them (common practice, no source).

    Parameters
    ----------
    measures : Measures
        In mm. With nothing measured the list is empty: there is no average size to propose.

    Returns
    -------
    list of Estimate
        Each a range with its weight, never one size.
    """
    found = _natural(measures)
    for formula in FORMULAS:
        measured = getattr(measures, formula.measure)
        if measured is not None:
            found.append(_by(formula, measured))
    return sorted(found, key=lambda one: -one.weight)


def proposals(estimates: Iterable[Estimate]) -> list[Proposal]:
    """The estimates put together, one proposal for each quantity they speak of.

    Where the patient's own teeth were measured they alone make the range. Otherwise it
    goes from the weighted mean of the low ends to that of the high ends.
    """
    by_quantity: dict[Quantity, list[Estimate]] = {}
    for one in estimates:
        by_quantity.setdefault(one.quantity, []).append(one)
    return [_together(quantity, found) for quantity, found in by_quantity.items()]


def measure_warnings(measures: Measures) -> tuple[EngineWarning, ...]:
    """Measures outside their usual limits."""
    found = [
        usual(one.name, value)
        for one in fields(measures)
        if not one.name.startswith("natural") and (value := getattr(measures, one.name)) is not None
    ]
    found += [
        usual("crown_width_mm", width, side=tooth)
        for tooth, width in measures.natural_widths_mm.items()
    ]
    return tuple(warning for warning in found if warning is not None)


def _by(formula: Formula, measured: float) -> Estimate:
    value = measured * formula.factor
    low = value * (1.0 - formula.band)
    if formula.low_factor is not None:
        low = measured * formula.low_factor
    high = value * (1.0 + formula.band)
    return Estimate(
        formula.name,
        formula.quantity,
        low,
        high,
        value,
        formula.weight,
        formula.source,
        SOURCES[formula.source].how_read,
        f"From the measure of {formula.name}, {measured:g} mm: {formula.quantity} {low:.1f} to "
        f"{high:.1f} mm, weight {formula.weight:g}. {formula.remark} Source: "
        f"{cite(formula.source)}.",
    )


def _natural(measures: Measures) -> list[Estimate]:
    widths = measures.natural_widths_mm
    found = []
    centrals = [widths[tooth] for tooth in ("11", "21") if tooth in widths]
    if centrals:
        low, high = min(centrals) - READING_MM, max(centrals) + READING_MM
        found.append(_own(_CENTRAL, low, high, measures.natural_from, len(centrals)))
    sides = [[widths[tooth] for tooth in side if tooth in widths] for side in (SIX[:3], SIX[3:])]
    whole = [sum(side) for side in sides if len(side) == 3]
    if len(whole) == 2:
        error = READING_MM * math.sqrt(6.0)
        found.append(_own(_SIX, sum(whole) - error, sum(whole) + error, measures.natural_from, 6))
    elif whole:
        error = 2.0 * READING_MM * math.sqrt(3.0) + OTHER_SIDE_MM
        six = 2.0 * whole[0]
        found.append(_own(_SIX, six - error, six + error, measures.natural_from, 3))
    return found


def _own(quantity: Quantity, low: float, high: float, origin: str, teeth: int) -> Estimate:
    where = "the teeth themselves" if origin == "teeth" else "a cast from before the extraction"
    counted = "1 tooth" if teeth == 1 else f"{teeth} teeth"
    doubled = " One side was measured and counted twice." if teeth == 3 else ""
    return Estimate(
        NATURAL,
        quantity,
        low,
        high,
        (low + high) / 2.0,
        NATURAL_WEIGHT,
        "practice",
        "practice",
        f"From {counted} of {where}: {quantity} {low:.1f} to {high:.1f} mm. It outranks every "
        f"formula.{doubled} Source: {cite('practice')}.",
    )


def _together(quantity: Quantity, found: list[Estimate]) -> Proposal:
    own = [one for one in found if one.name == NATURAL]
    used = own or found
    weight = sum(one.weight for one in used)
    low = sum(one.weight * one.low for one in used) / weight
    high = sum(one.weight * one.high for one in used) / weight
    names = tuple(one.name for one in used)
    outranked = tuple(one.name for one in found if own and one.name != NATURAL)
    apart = tuple(one.name for one in found if not low <= one.value <= high)
    words = f"{quantity[:1].upper()}{quantity[1:]}: choose within {low:.1f} to {high:.1f} mm, from "
    words += f"{', '.join(names)}."
    if outranked:
        words += f" Set aside, because the patient's own teeth are known: {', '.join(outranked)}."
    if apart:
        words += f" Outside of this range: {', '.join(apart)}."
    return Proposal(
        quantity,
        low,
        high,
        names,
        outranked,
        apart,
        f"{words} A proposal; the dentist decides.",
    )
