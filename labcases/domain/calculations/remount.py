"""What a pin rise after processing asks for, and at which of the teeth that marked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from labcases.domain.calculations.excursions import SeenExcursion
from labcases.domain.calculations.inputs import Plain
from labcases.domain.calculations.pin import places
from labcases.domain.calculations.reduction import MarkAdvice, SeenMark, mark_advice
from labcases.enums import Movement, OpposingTooth
from labcases.models import Case
from occlusion.errors import OcclusionError
from occlusion.readings import PIN_TELLS_NO_PLACE, correction_depths
from occlusion.sources import cite
from occlusion.vertical import (
    RISE_CORRECT_MM,
    RISE_GOOD_MM,
    growth_after_processing_mm,
    processing_rise,
)

GOOD_MM = Decimal(str(RISE_GOOD_MM))
CORRECT_MM = Decimal(str(RISE_CORRECT_MM))
"""Up to the first a rise may be accepted, above the second its cause is recorded first."""

LOWEST_MM = -2.0
"""A pin that stands further below the agreed value was read wrongly."""

NO_MARKS = (
    "No marks are logged after processing, so no tooth is named. Mark centric with foil; the pin "
    "alone does not locate it."
)


@dataclass(frozen=True)
class RiseRow:
    """One mark: what the rules say of it, and in centric how much the pin allows at that tooth.

    ``if_alone_mm`` is how far the denture tooth of the pair is too high if it alone lifts the pin;
    nothing outside centric or without the articulator record.
    """

    advice: MarkAdvice
    if_alone_mm: Decimal | None


@dataclass(frozen=True)
class RiseAdvice:
    """``proposes`` says whether a correction is proposed at all; without it there are no rows."""

    grade: str
    proposes: bool
    text: str
    limits: str
    sources: tuple[str, ...]
    rows: tuple[RiseRow, ...]


def rise_advice(
    case: Case,
    *,
    rise_mm: Decimal,
    cause: str,
    marks: Sequence[SeenMark],
    kinds: Mapping[str, OpposingTooth],
    made_of: Mapping[str, str],
    height: Plain | None,
    taken_mm: Mapping[str, float],
    excursions: Mapping[Movement, SeenExcursion] | None = None,
) -> RiseAdvice:
    """What is proposed for a rise and the marks that were seen; a natural tooth never yields.

    The check of before processing says nothing of teeth that processing moved, so no predicted
    depth stands here: how deep is known from the pin alone, and which tooth from foil alone.

    Parameters
    ----------
    case : Case
        Its settings and teeth say how far the pin goes for a millimetre at a tooth.
    rise_mm : Decimal
        Pin above the agreed value, in millimetres.
    cause : str
        In words; blank while none is recorded. Above 1 mm nothing is proposed without it.
    marks, kinds, made_of, height, taken_mm, excursions
        As ``reduction.mark_advice`` takes them.

    Notes
    -----
    Sources: practice (the thresholds), wesley_1973, pin_ratio.
    """
    told = processing_rise(pin_rise_mm=max(float(rise_mm), LOWEST_MM), cause=cause)
    rows: tuple[RiseRow, ...] = ()
    if told.propose_reduction:
        found = mark_advice(
            marks,
            kinds=kinds,
            made_of=made_of,
            clearance=None,
            height=height,
            taken_mm=taken_mm,
            excursions=excursions,
        )
        alone = if_alone_mm(case, rise_mm)
        rows = tuple(RiseRow(one, _of(one, alone)) for one in found)
    return RiseAdvice(
        grade=told.grade,
        proposes=told.propose_reduction,
        text=told.text.removesuffix(PIN_TELLS_NO_PLACE).strip(),
        limits=PIN_TELLS_NO_PLACE if rows or not told.propose_reduction else NO_MARKS,
        sources=(*told.sources, cite("pin_ratio")),
        rows=rows,
    )


def _of(advice: MarkAdvice, alone: Mapping[str, Decimal]) -> Decimal | None:
    if advice.mark.movement != Movement.CENTRIC:
        return None
    pair = (advice.yields or "", advice.mark.tooth, advice.opposing)
    return next((alone[tooth] for tooth in pair if tooth in alone), None)


def if_alone_mm(case: Case, rise_mm: Decimal) -> dict[str, Decimal]:
    """By upper tooth, how far it is too high at most, if it alone lifts the pin so far.

    Nothing without the articulator record, or where nothing rose. Source: pin_ratio.
    """
    stands = places(case)
    if stands is None or rise_mm <= 0:
        return {}
    settings, points = stands
    try:
        found = correction_depths(pin_rise_mm=float(rise_mm), settings=settings, teeth_mm=points)
    except OcclusionError:
        return {}
    return {one.tooth: Decimal(f"{one.exact_mm:.2f}") for one in found if one.exact_mm is not None}


def growth_mm(vertical_mm: Decimal) -> tuple[Decimal, Decimal] | None:
    """Least and greatest mean growth of a vertical in four ways of curing; no prediction.

    Nothing for a vertical that no face has.
    """
    try:
        least, most = growth_after_processing_mm(occlusal_vertical_mm=float(vertical_mm))
    except OcclusionError:
        return None
    return Decimal(f"{least:.1f}"), Decimal(f"{most:.1f}")


GROWTH_SOURCE = cite("silva_concilio_abstract")
