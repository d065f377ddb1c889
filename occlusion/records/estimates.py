"""Estimates of textbooks, called what they are, and the published figures to compare with.

None of these is a measurement of a patient. The published figures are kept with who found
them, in how many people and against which plane, because they disagree by more than a
reading error: a mean says nothing of one patient.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from occlusion import curves
from occlusion.articulator import choose
from occlusion.ranges import LIMITS, check_hard, number, sentence
from occlusion.sources import cite

Quantity = Literal[
    "condylar_inclination_deg", "bennett_deg", "immediate_side_shift_mm", "intercondylar_mm"
]


@dataclass(frozen=True)
class PublishedFigure:
    """One published figure, or span of figures, of one group of people.

    Attributes
    ----------
    quantity : str
        What was measured, a key of ``occlusion.ranges.LIMITS``.
    low, high : float
        The mean, twice; or the means of right and left, of two groups; or a span.
    source : str
        Key of ``occlusion.sources``.
    kind : {"mean", "span", "assumed"}
        ``span``: single persons from least to greatest. ``assumed``: no measurement.
    sd : float, optional
        Standard deviation where it was given.
    people : int, optional
        How many were measured.
    plane : str
        The plane the angle is read against, as far as it was told.
    """

    quantity: Quantity
    low: float
    high: float
    source: str
    kind: Literal["mean", "span", "assumed"] = "mean"
    sd: float | None = None
    people: int | None = None
    plane: str = ""


PUBLISHED: tuple[PublishedFigure, ...] = (
    PublishedFigure("condylar_inclination_deg", 31.5, 32.0, "johnson_winstanley_1997", people=103),
    PublishedFigure("condylar_inclination_deg", 41.66, 41.66, "ghodsi_2018", people=50),
    PublishedFigure(
        "condylar_inclination_deg", 41.7, 42.5, "sides_differ_2013", people=47, plane="Camper"
    ),
    PublishedFigure("condylar_inclination_deg", 44.7, 44.7, "angle_class_thai", people=70, sd=8.8),
    PublishedFigure("condylar_inclination_deg", 33.0, 33.0, "assumed_33", kind="assumed"),
    PublishedFigure("bennett_deg", 7.3, 9.0, "sides_differ_2013", people=47, plane="Camper"),
    PublishedFigure("bennett_deg", 10.1, 10.1, "ghodsi_2018", people=50),
    PublishedFigure("bennett_deg", 7.5, 7.5, "lundeen_wirth_1973", people=50),
    PublishedFigure("bennett_deg", 12.8, 12.8, "hobo_1986", people=50),
    PublishedFigure("immediate_side_shift_mm", 0.80, 1.68, "zakaria", people=50),
    PublishedFigure("immediate_side_shift_mm", 1.0, 1.0, "lundeen_wirth_1973", people=50),
    PublishedFigure(
        "immediate_side_shift_mm", 0.0, 3.0, "lundeen_wirth_1973", people=50, kind="span"
    ),
    PublishedFigure("immediate_side_shift_mm", 0.42, 0.42, "hobo_1986", people=50),
    PublishedFigure("intercondylar_mm", 100.0, 101.6, "bonwill_100", kind="assumed"),
    PublishedFigure("intercondylar_mm", 96.0, 96.0, "bosse_96", people=500),
    PublishedFigure("intercondylar_mm", 97.0, 138.0, "choquet_width", people=149, kind="span"),
    PublishedFigure("intercondylar_mm", 70.0, 130.0, "amoedo_width", kind="span"),
)
"""Published figures, each with its source; see ``occlusion.sources`` for how it was read."""

PATH_FLATTENS_DEG: tuple[tuple[float, float, float], ...] = (
    (1.0, 45.7, 10.6),
    (2.0, 44.8, 8.6),
    (3.0, 43.7, 7.9),
)
"""Mean condylar inclination and its standard deviation at 1, 2 and 3 mm of travel in 70 people
(source: angle_class_thai): a real path is curved, the engine's is straight."""

FAR_FROM_MEANS = 2.0
"""A value this many standard deviations from a mean is rare in that group."""


@dataclass(frozen=True)
class LateralEstimate:
    """The textbook's estimate of the lateral condylar angle, with what it is worth."""

    value_deg: float
    condylar_inclination_deg: float
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class PathEstimates:
    """The angle at which a tooth sets off in protrusion, exactly and as textbooks estimate it.

    Attributes
    ----------
    exact_deg, linear_deg : float
        The rigid body's angle, and the straight line between both ends.
    difference_deg : float
        How much steeper the linear one reads.
    advise_deg : float
        The one to advise by: the exact one.
    sentence : str
        The same in words.
    """

    exact_deg: float
    linear_deg: float
    difference_deg: float
    advise_deg: float
    sentence: str


def lateral_estimate(*, condylar_inclination_deg: float) -> LateralEstimate:
    """The H/8 + 12 estimate of the Bennett angle: an estimate, never a measurement.

    Source: lateral_estimate; what measurements say of it: ghodsi_2018.

    Raises
    ------
    NotANumber, OutOfRange
    """
    inclination = check_hard("condylar_inclination_deg", condylar_inclination_deg)
    value = curves.lateral_inclination_estimate_deg(condylar_inclination_deg=inclination)
    return LateralEstimate(
        value_deg=value,
        condylar_inclination_deg=inclination,
        sentences=(
            f"H/8 + 12 estimate: {value:.1f} deg for {inclination:g} deg of condylar inclination. "
            "An estimate from the protrusive angle, not a measurement of this patient.",
            *compare_with_published("bennett_deg", value),
        ),
    )


def compare_with_published(quantity: str, value: float) -> tuple[str, ...]:
    """A value beside the published figures of its quantity, in sentences.

    Parameters
    ----------
    quantity : str
        ``condylar_inclination_deg``, ``bennett_deg``, ``immediate_side_shift_mm`` or
        ``intercondylar_mm``.
    value : float
        In the unit of its name.

    Returns
    -------
    tuple of str
        First how far the published means lie apart, then one sentence for each figure, with
        its source and how that was read; for the condylar inclination also how paths flatten.

    Raises
    ------
    BadRequest, NotANumber
    """
    choose(quantity, get_args(Quantity), field="quantity", label="quantity")
    given = number(value, field=quantity)
    rows = [row for row in PUBLISHED if row.quantity == quantity]
    limit = LIMITS[quantity]
    means = [row for row in rows if row.kind == "mean"]
    low, high = min(row.low for row in means), max(row.high for row in means)
    unit = limit.unit
    where = "within them"
    if given < low:
        where = f"{low - given:.3g} {unit} below the least"
    elif given > high:
        where = f"{given - high:.3g} {unit} above the greatest"
    span = f"{low:g} {unit}" if low == high else f"{low:g} to {high:g} {unit}"
    first = (
        f"{sentence(limit.label)} of {given:.4g} {unit}: published means are {span}, this is "
        f"{where}. A mean says nothing of one patient."
    )
    told = (first, *(_beside(row, given, unit) for row in rows))
    return (*told, _curvature()) if quantity == "condylar_inclination_deg" else told


def _curvature() -> str:
    """How a real path flattens, in a sentence."""
    travels, means = ([f"{row[index]:g}" for row in PATH_FLATTENS_DEG] for index in (0, 1))
    return (
        f"A real path is curved: mean {', '.join(means)} deg at {', '.join(travels)} mm of travel: "
        f"{cite('angle_class_thai')}. A record tells the straight line to where it was taken."
    )


def _beside(row: PublishedFigure, given: float, unit: str) -> str:
    """One published figure and how the value stands to it."""
    figure = f"{row.low:g}" if row.low == row.high else f"{row.low:g} to {row.high:g}"
    spread = f" +- {row.sd:g}" if row.sd else ""
    people = f", {row.people} people" if row.people else ""
    plane = f", against the {row.plane} plane" if row.plane else ""
    word = {"mean": "Mean", "span": "Single persons", "assumed": "Assumed, not measured"}[row.kind]
    said = f"{word} {figure}{spread} {unit}{people}{plane}: {cite(row.source)}."
    if row.kind == "assumed":
        return said
    if row.sd and abs(given - row.low) > FAR_FROM_MEANS * row.sd:
        return f"{said} This value would be rare in that group."
    if given > row.high:
        return f"{said} This value is {given - row.high:.3g} {unit} more."
    if given < row.low:
        return f"{said} This value is {row.low - given:.3g} {unit} less."
    return said


def tooth_path_estimates(
    *,
    condylar_inclination_deg: float,
    incisal_table_deg: float,
    behind_mm: float,
    height_mm: float,
    balkwill_deg: float,
) -> PathEstimates:
    """The path of a tooth exactly and by the linear proportion, and which one to advise by.

    Parameters
    ----------
    condylar_inclination_deg, incisal_table_deg : float
        Against the occlusal plane.
    behind_mm : float
        Distance of the tooth behind the incisal point, along the occlusal plane.
    height_mm, balkwill_deg : float
        The triangle, see ``occlusion.curves``.

    Notes
    -----
    Sources: geometry for the exact angle; swenson for the linear proportion, which its own
    reporter calls empirical.
    """
    values = {
        "condylar_inclination_deg": check_hard(
            "condylar_inclination_deg", condylar_inclination_deg
        ),
        "incisal_table_deg": check_hard("incisal_table_deg", incisal_table_deg),
        "behind_mm": behind_mm,
        "height_mm": height_mm,
        "balkwill_deg": balkwill_deg,
    }
    exact = curves.path_angle_exact_deg(**values)
    linear = curves.path_angle_linear_deg(**values)
    apart = linear - exact
    towards = "the same" if abs(apart) < 0.05 else f"{abs(apart):.1f} deg "
    towards += "" if abs(apart) < 0.05 else ("steeper" if apart > 0 else "flatter")
    return PathEstimates(
        exact_deg=exact,
        linear_deg=linear,
        difference_deg=apart,
        advise_deg=exact,
        sentence=(
            f"The tooth sets off at {exact:.1f} deg; the linear proportion of textbooks reads "
            f"{towards}. Set by the exact angle."
        ),
    )
