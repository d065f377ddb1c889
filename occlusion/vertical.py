"""Vertical dimension and processing: freeway space, pin rise, shrinkage, what foil and teeth tell.

All of it is advice from figures that others measured; none of it moves a tooth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from occlusion.ranges import check_hard, number
from occlusion.readings import PIN_TELLS_NO_PLACE
from occlusion.sources import cite

ROUND_OFF = 9
"""Decimals that differences of readings are rounded to: 68.3 - 64.3 is 4, not 4.000000000001."""

FREEWAY_LEAST_MM, FREEWAY_MOST_MM = 2.0, 4.0
"""The freeway space that is taught (freeway_texts)."""

FREEWAY_OUTSIDE_MM = 7.0
"""From here on outside of what was seen in 150 dentate people (aradya_2017)."""

FREEWAY_MEANS_MM: dict[str, float] = {"square": 3.0, "tapering": 2.62, "ovoid": 2.68}
"""Mean by form of face, dentate (aradya_2017)."""

SPEAKING_LEAST_MM, SPEAKING_MOST_MM = 0.5, 3.5
"""Closest speaking space that raises no alarm (burnett_1992: means 1.0 to 3.3)."""

RISE_GOOD_MM, RISE_CORRECT_MM = 0.5, 1.0
"""Pin rise that is usual, and the most that is corrected without asking why (practice)."""

VERTICAL_AFTER_PROCESSING_PCT: tuple[float, ...] = (1.92, 2.92, 2.27, 2.72)
"""Mean growth of the occlusal vertical dimension in water bath or microwave, with one flask or
two (silva_concilio_abstract); which of them is which is not on record here."""

CONTACTS_AFTER_FAST_CURING: tuple[float, float] = (10.9, 6.3)
"""Mean number of contacts before and after (fast_curing_abstract)."""

SHRINKAGE_LEAST_PCT, SHRINKAGE_MOST_PCT = 0.42, 0.58
"""Linear shrinkage of finished dentures, saturated with water (shrinkage_1999)."""

DOUGH_SHRINKAGE_PCT: tuple[float, float] = (6.0, 7.0)
MONOMER_SHRINKAGE_PCT = 21.0
"""By volume: a dough of three to one, and monomer alone (anusavice)."""

BASE_FIT_MM: dict[int, float] = {50: 0.05, 90: 0.16, 100: 0.38}
"""So many per cent of the points of a base fit within so much (fenlon_base_fit)."""

FOIL_MM = 0.008
"""Thickness of the thinnest foil (harper_setchell_2002)."""

FOIL_GRIPS_MM, FOIL_DRAGS_MM = 0.006, 0.008
"""It still grips up to the first gap, and drags lightly at the second (harper_setchell_2002)."""

CONTACT_MM, LIGHT_MARK_MM, WAX_MM = 0.010, 0.040, 0.10
"""Bands for gaps: contact, light mark, and contact in a wax set-up (practice, from foils)."""

NOTICED_MM, NOTICED_SPREAD_MM = 0.0142, 0.0121
"""What natural teeth feel half of the time, and its standard deviation (enkling_2010)."""

REPORT_STEP_MM = 0.05
"""Gaps are shown to this; scale steps and readings are coarser (practice)."""

FreewayBand = Literal["none", "too little", "usual", "wide", "outside the observed range"]
SpeakingBand = Literal["little", "no alarm", "large"]
RiseGrade = Literal["below zero", "good", "correct", "investigate"]
Mark = Literal["interference", "contact", "light mark", "none predicted"]


@dataclass(frozen=True)
class Judged:
    """A measured value with its band, a sentence for the dentist, and where that comes from."""

    value_mm: float
    band: str
    alarm: bool
    text: str
    source: str


@dataclass(frozen=True)
class ProcessingRise:
    """What a pin rise after processing asks for. Where the error is, only foil can tell."""

    pin_rise_mm: float
    grade: RiseGrade
    propose_reduction: bool
    text: str
    sources: tuple[str, ...]


def freeway_space(*, resting_vertical_mm: float, occlusal_vertical_mm: float) -> Judged:
    """Freeway space, resting less occlusal vertical dimension, and its band.

    Sources: freeway_texts (2 to 4 mm), aradya_2017 (1 to 7 mm seen).

    Raises
    ------
    NotANumber, OutOfRange
    """
    space = round(
        check_hard("resting_vertical_mm", resting_vertical_mm)
        - check_hard("occlusal_vertical_mm", occlusal_vertical_mm),
        ROUND_OFF,
    )
    band: FreewayBand
    if space <= 0:
        band, words = "none", "There is no freeway space: measure both again"
    elif space < FREEWAY_LEAST_MM:
        band, words = "too little", f"Less than {FREEWAY_LEAST_MM:g} mm is too little"
    elif space <= FREEWAY_MOST_MM:
        band, words = "usual", f"{FREEWAY_LEAST_MM:g} to {FREEWAY_MOST_MM:g} mm is usual"
    elif space < FREEWAY_OUTSIDE_MM:
        band, words = "wide", f"More than {FREEWAY_MOST_MM:g} mm: confirm both readings"
    else:
        band = "outside the observed range"
        words = f"{FREEWAY_OUTSIDE_MM:g} mm or more was not seen: measure both again"
    source = "aradya_2017" if band == "outside the observed range" else "freeway_texts"
    text = f"Freeway space {space:g} mm. {words}. The dentist decides on the vertical."
    return Judged(space, band, band != "usual", text, cite(source))


def closest_speaking_space(*, measured_mm: float) -> Judged:
    """The closest speaking space as measured; it is never worked out from the freeway space.

    Sources: burnett_1992; speaking_1999 (the two do not go together).

    Raises
    ------
    NotANumber, OutOfRange
    """
    space = check_hard("speaking_space_mm", measured_mm, field="measured_mm")
    band: SpeakingBand
    if space < SPEAKING_LEAST_MM:
        band, words = "little", "as after a raised vertical: look at it again while speaking"
    elif space <= SPEAKING_MOST_MM:
        band, words = "no alarm", "within what was measured in people"
    else:
        band, words = "large", "more than was measured in people: confirm it"
    text = f"Closest speaking space {space:g} mm, {words}."
    return Judged(space, band, band == "large", text, cite("burnett_1992"))


def processing_rise(*, pin_rise_mm: float, cause: str = "") -> ProcessingRise:
    """What a pin rise after processing asks for; above 1 mm nothing before a cause is recorded.

    Parameters
    ----------
    pin_rise_mm : float
        As read at the remount.
    cause : str
        The cause as recorded; blank when none is.

    Raises
    ------
    NotANumber, OutOfRange

    Notes
    -----
    The thresholds are common practice, no source. That the pin does not tell where:
    wesley_1973. Moulding by compression raises it more: nogueira_1999, moulding_2017.
    """
    rise = check_hard("pin_rise_mm", pin_rise_mm)
    recorded = cause.strip()
    grade: RiseGrade
    if rise < 0:
        grade, words = "below zero", "The pin stands below its zero. Nothing is to be reduced"
    elif rise <= RISE_GOOD_MM:
        grade, words = "good", f"Up to {RISE_GOOD_MM:g} mm is usual"
    elif rise <= RISE_CORRECT_MM:
        grade, words = "correct", "Correct the denture teeth with foil, centric first"
    elif recorded:
        grade, words = "investigate", f"Cause recorded: {recorded.rstrip('.')}. Mount again first"
    else:
        grade = "investigate"
        words = (
            f"More than {RISE_CORRECT_MM:g} mm: find the cause, record it and mount again; until "
            "then no reduction is proposed"
        )
    explained = grade != "investigate" or bool(recorded)
    return ProcessingRise(
        pin_rise_mm=rise,
        grade=grade,
        propose_reduction=rise > 0 and explained,
        text=f"Pin rise {rise:g} mm. {words}. {PIN_TELLS_NO_PLACE}",
        sources=tuple(cite(key) for key in ("practice", "wesley_1973", "nogueira_1999")),
    )


def growth_after_processing_mm(*, occlusal_vertical_mm: float) -> tuple[float, float]:
    """Least and greatest mean growth that four ways of curing gave, at this vertical.

    Source: silva_concilio_abstract. Means of ten pairs each, no prediction for one denture.
    """
    vertical = check_hard("occlusal_vertical_mm", occlusal_vertical_mm)
    of_means = VERTICAL_AFTER_PROCESSING_PCT
    return vertical * min(of_means) / 100.0, vertical * max(of_means) / 100.0


def linear_shrinkage_pct(*, volume_pct: float) -> float:
    """Linear shrinkage of a body that loses ``volume_pct`` of its volume: exact.

    Finished dentures show less (0.42 to 0.58), since resin shrinks before it stiffens
    (shrinkage_1999).
    """
    volume = check_hard("volume_shrinkage_pct", volume_pct, field="volume_pct")
    return -100.0 * math.expm1(math.log1p(-volume / 100.0) / 3.0)


def shrinkage_over_mm(*, width_mm: float, linear_pct: float) -> float:
    """What a width loses by linear shrinkage: 50 mm at 0.5 % lose 0.25 mm."""
    width = check_hard("width_mm", width_mm)
    return width * check_hard("linear_shrinkage_pct", linear_pct, field="linear_pct") / 100.0


def shrinkage_seen_mm(*, width_mm: float) -> tuple[float, float]:
    """Least and most that a width of a finished denture loses (shrinkage_1999)."""
    least, most = (
        shrinkage_over_mm(width_mm=width_mm, linear_pct=pct)
        for pct in (SHRINKAGE_LEAST_PCT, SHRINKAGE_MOST_PCT)
    )
    return least, most


def foil_holds(*, gap_mm: float) -> Literal["holds", "drags", "pulls through"]:
    """What the thinnest foil does in a gap; a finer difference it cannot tell.

    Sources: harper_setchell_2002; labels of foils are unreliable (malta_barbosa_2018).
    """
    gap = check_hard("gap_mm", gap_mm)
    if gap <= FOIL_GRIPS_MM:
        return "holds"
    return "drags" if gap <= FOIL_DRAGS_MM else "pulls through"


def mark_of(*, gap_mm: float, in_wax: bool = False) -> Mark:
    """The mark that a gap leaves on foil: in wax, anything within 0.1 mm is a contact.

    The bands are practice, from the thickness of foils (harper_setchell_2002).
    """
    gap = round(check_hard("gap_mm", gap_mm), ROUND_OFF)
    band = WAX_MM if in_wax else CONTACT_MM
    if gap < -band:
        return "interference"
    if gap <= band:
        return "contact"
    return "light mark" if gap <= LIGHT_MARK_MM else "none predicted"


def likely_noticed(*, height_mm: float) -> bool:
    """Whether natural teeth feel this height at least half of the time.

    Sources: enkling_2010, perception_2021. Wearers of dentures feel less; no figure is known.
    """
    return check_hard("gap_mm", height_mm, field="height_mm") >= NOTICED_MM


def tilt_at_mm(*, tilt_deg: float, span_mm: float) -> float:
    """How far a tilted record is off at a distance: 0.1 deg over 23 mm is 0.040 (kakali_2023)."""
    tilt = math.radians(number(tilt_deg, field="tilt_deg"))
    return check_hard("width_mm", span_mm, field="span_mm") * math.tan(tilt)


def shown_mm(value_mm: float) -> float:
    """A gap as it may be shown: to 0.05 mm, for nothing finer is known (practice)."""
    return round(round(number(value_mm, field="value_mm") / REPORT_STEP_MM) * REPORT_STEP_MM, 2)
