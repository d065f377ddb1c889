"""What a reader should weigh before a prescription is signed. Nothing here refuses anything.

What must be there stands in ``gates/clinical.py``; this is the rest: things that look wrong, and
things that would help and are left open. Each points at the field that it speaks of.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from labcases.domain import (
    open_days,
    opponent,
    over_eruption,
    pairs,
    planning,
    schedule,
    shades,
    teeth,
)
from labcases.enums import (
    Allergy,
    Flange,
    JawRecord,
    OpposingTooth,
    Route,
    Stage,
    ToothStatus,
)
from labcases.enums.dates import Step
from labcases.enums.prescribing import RelinePlan, VerticalWish
from labcases.models import Prescription

HOUSE = "common practice, no source"
FREEWAY_MM = (Decimal("2"), Decimal("4"))
POINTS_OF_MI = 3
WORKING_DAYS = 23
"""From the first impression to surgery, with a custom tray; healing comes on top."""


class Level(StrEnum):
    WARNING = "warning"
    OPTIONAL = "optional"


@dataclass(frozen=True)
class Advice:
    """One sentence with the field that it points at, and where it comes from."""

    level: Level
    field: str
    text: str
    source: str = HOUSE


def of_prescription(row: Prescription, today: date) -> list[Advice]:
    """Warnings first, then what is left open."""
    found = [
        *_time(row, today),
        *_teeth(row),
        *(
            _warn(*one)
            for one in (*opponent.weighed(row), *over_eruption.weighed(row), *pairs.to_weigh(row))
        ),
        *_vertical(row),
        *_before(row),
        *_wishes(row),
        *_plan(row),
        *_open(row),
    ]
    return sorted(found, key=lambda one: one.level == Level.OPTIONAL)


def _warn(field: str, text: str, source: str = HOUSE) -> Advice:
    return Advice(Level.WARNING, field, text, source)


def _numbers(found: list[str]) -> str:
    return ", ".join(found)


# --- time --------------------------------------------------------------------------------------


def _time(row: Prescription, today: date) -> Iterator[Advice]:
    surgery = row.case.surgery_on
    if surgery is None:
        return
    route = Route(row.route)
    first = row.first_extraction_on
    yield from _too_short(row, surgery, today)
    if route == Route.CONVENTIONAL and first is not None:
        records = planning.latest_of(row, surgery)[Step.JAW_RECORDS]
        healed = (records - first).days
        if healed < schedule.HEALING_DAYS:
            yield _warn(
                "first_extraction_on",
                f"Between the first extraction and the latest day for the jaw records lie {healed} "
                f"days; {schedule.HEALING_DAYS} and more are usual for healing.",
                "6 to 8 weeks: textbook figure, read second-hand; 3 to 4 weeks: from memory",
            )


def _too_short(row: Prescription, surgery: date, today: date) -> Iterator[Advice]:
    """Less time than the usual schedule takes from the first impression on, or with healing."""
    work = planning.houses_of(row.case).laboratory
    left = max(0, open_days.whole_days_between(today, surgery, work))
    send_by = planning.latest_of(row, surgery)[Step.SENT]
    healing = (
        row.route == Route.CONVENTIONAL
        and row.first_extraction_on is None
        and ToothStatus.EXTRACT_FIRST in row.teeth.values()
        and schedule.earliest_records(today) > send_by
    )
    if row.case.stage != Stage.DRAFT or (left >= WORKING_DAYS and not healing):
        return
    late = open_days.working_days_between(send_by, today, work)
    yield _warn(
        "surgery_on",
        f"This cannot meet the usual schedule: {_days(left)} are left until surgery, and "
        f"{WORKING_DAYS} are usual from the first impression on"
        + (f", after {schedule.HEALING_DAYS} days of healing" if healing else "")
        + (f". The case should have been sent {_days(late)} ago" if late > 0 else "")
        + ". Shorten a step with the laboratory, or move the surgery.",
        "working days of a laboratory's published calendar and a student clinic's reference, "
        "both seen in excerpts",
    )


def _days(count: int) -> str:
    return f"{count} working {'day' if count == 1 else 'days'}"


# --- teeth -------------------------------------------------------------------------------------


def meeting(row: Prescription) -> list[str]:
    """Teeth of the arch that still meet a tooth of the other arch when the records are made."""
    standing = (*teeth.OUT_AT_SURGERY, ToothStatus.STAYS)
    return [
        tooth
        for tooth in teeth.positions(row.arch)
        if row.teeth.get(tooth) in standing and teeth.antagonist(row, tooth) is not None
    ]


def _teeth(row: Prescription) -> Iterator[Advice]:
    molars = [t for t, mark in row.teeth.items() if mark == ToothStatus.STOP and t[1] in "678"]
    if row.route == Route.CONVENTIONAL and molars:
        yield _warn(
            "teeth",
            f"Kept as a stop: {_numbers(molars)}. The ridge there is not healed when the denture "
            "is made; premolars are the usual stop.",
            "from memory",
        )
    alone = [
        tooth
        for tooth, mark in row.teeth.items()
        if mark == ToothStatus.STOP and row.opposing and teeth.antagonist(row, tooth) is None
    ]
    if alone:
        yield _warn(
            "teeth", f"Kept as a stop: {_numbers(alone)}, but no tooth stands opposite. Check both."
        )
    pairs = len(meeting(row))
    if (
        row.teeth
        and row.opposing
        and row.jaw_record == JawRecord.MAXIMUM_INTERCUSPATION
        and pairs < POINTS_OF_MI
    ):
        yield _warn(
            "jaw_record",
            f"In maximum intercuspation the mounting is verified at {POINTS_OF_MI} spread points, "
            f"and {pairs} teeth of the arch still meet the other one at the records. Centric "
            "relation needs none.",
        )
    if row.allergy == Allergy.LISTED:
        yield _warn(
            "base_material",
            f"An allergy is listed ({row.allergy_text or 'not named'}). Check the materials of "
            "base and teeth against it.",
        )


# --- vertical ----------------------------------------------------------------------------------


def _vertical(row: Prescription) -> Iterator[Advice]:
    rest, closed = row.vertical_rest_mm, row.vertical_occlusion_mm
    for field, value, where in (
        ("vertical_rest_mm", rest, "at rest"),
        ("vertical_occlusion_mm", closed, "in occlusion"),
    ):
        if value is None:
            yield _warn(
                field,
                f"The vertical {where} is not read. It can be read only while teeth still hold it.",
                "lecture notes on immediate dentures, read second-hand",
            )
    if (rest is not None or closed is not None) and not row.vertical_read_at:
        yield _warn("vertical_read_at", "Say between which marks the vertical was read.")
    if rest is not None and closed is not None:
        low, high = FREEWAY_MM
        if closed >= rest:
            yield _warn(
                "vertical_occlusion_mm",
                "The vertical in occlusion is not smaller than at rest. Read both again.",
            )
        elif not low <= rest - closed <= high:
            yield _warn(
                "vertical_occlusion_mm",
                f"Rest and occlusion lie {_mm(rest - closed)} apart; 2 to 4 mm are usual, and "
                "people differ.",
                "two lectures, read second-hand; one of them gives 1 to 15 mm between people",
            )
    if (
        row.vertical_wish == VerticalWish.AS_TEETH
        and row.teeth
        and row.opposing
        and not meeting(row)
    ):
        yield _warn(
            "vertical_wish",
            "No tooth of the arch meets the other one any more when the records are made, so "
            "teeth do not hold the vertical.",
        )


def _mm(value: Decimal) -> str:
    return f"{value.normalize():f} mm"


# --- before the extraction ---------------------------------------------------------------------

_MEASURED = {
    "incisal_display_mm": "The incisal display at rest is not measured.",
    "smile_display_mm": "The incisal display in a smile is not measured.",
    "midline_offset_mm": "The midline is not measured.",
}

# Where these are read on teeth that still stand, signing asks for them.
_ON_THE_FRONT = frozenset({"incisal_display_mm", "midline_offset_mm"})


def _before(row: Prescription) -> Iterator[Advice]:
    asked = _ON_THE_FRONT if teeth.shows_the_front(row) else frozenset[str]()
    for field, text in _MEASURED.items():
        if field not in asked and getattr(row, field) is None:
            yield _warn(field, f"{text} Nothing can be copied once the teeth are out.")
    rest, smile = row.incisal_display_mm, row.smile_display_mm
    if rest is not None and smile is not None and smile < rest:
        yield _warn(
            "smile_display_mm",
            f"A smile shows less of the incisor ({_mm(smile)}) than rest does ({_mm(rest)}). "
            "Check both.",
        )
    unprobed = [t for t in _at_surgery(row) if t not in row.probing_mm]
    if unprobed and row.flange == Flange.SOCKETED:
        yield _warn(
            "probing_mm",
            f"Not probed: {_numbers(unprobed)}. Teeth that go into the sockets are set by the "
            "depth of the pockets.",
        )


def _at_surgery(row: Prescription) -> list[str]:
    return [t for t in teeth.positions(row.arch) if row.teeth.get(t) in teeth.OUT_AT_SURGERY]


# --- wishes, and what is left open -------------------------------------------------------------


def _wishes(row: Prescription) -> Iterator[Advice]:
    if text := shades.unlisted(row):
        yield _warn("shade_system", text)
    if not row.natural_changes and OpposingTooth.NATURAL in row.opposing.values():
        yield _warn(
            "natural_changes",
            "Nothing is said of changes to natural teeth. Until it is, the laboratory takes none "
            "as allowed.",
        )


def _plan(row: Prescription) -> Iterator[Advice]:
    if not row.reline_plan:
        yield _warn(
            "reline_plan",
            "Nothing is said of what follows when the ridge has changed: a reline, or a new "
            "denture.",
        )
    elif row.route == Route.INTERIM and row.reline_plan == RelinePlan.RELINE:
        yield _warn(
            "reline_plan",
            "On the interim route a new denture usually takes the place of this one, and the plan "
            "says a reline. Check both.",
            "course texts and lectures on immediate dentures, read second-hand",
        )


_HELPS = {
    "shade_light": "The light in which the shade was read",
    "mould_form": "The form of the front teeth",
    "central_width_mm": "The width of the natural central incisor",
    "central_length_mm": "The length of the natural central incisor",
    "interalar_mm": "The interalar width",
    "canine_lines_mm": "The distance of the canine lines",
    "identification": "The mark in the denture",
    "template_wanted": "Whether a surgical template is wanted",
    "return_casts": "Whether the casts come back with the denture",
}


def _open(row: Prescription) -> Iterator[Advice]:
    for field, words in _HELPS.items():
        if getattr(row, field) in (None, ""):
            yield Advice(Level.OPTIONAL, field, f"{words}: left open.", "")
    unprobed = [t for t in _at_surgery(row) if t not in row.probing_mm]
    if unprobed and row.flange != Flange.SOCKETED:
        yield Advice(Level.OPTIONAL, "probing_mm", f"Not probed: {_numbers(unprobed)}.", "")
