"""What the clinical part lacks before a dentist can sign it."""

from __future__ import annotations

from collections.abc import Iterator

from labcases import notation
from labcases.domain import opponent, over_eruption, planning, profiles, schedule, shades, teeth
from labcases.domain.gates.missing import Missing
from labcases.enums import (
    Allergy,
    Arch,
    Flange,
    Route,
    ToothStatus,
    TryInWish,
)
from labcases.enums.dates import Step
from labcases.enums.prescribing import NaturalChanges, SettingsWish
from labcases.models import Case, Prescription
from labcases.templatetags.units import long_date

_ASKED = {
    "base_material": "Choose the base material.",
    "tooth_material": "Choose the material of the teeth.",
    "shade_system": "Name the shade system.",
    "shade": "Enter the shade.",
    "mould": "Enter the mould, or that the natural teeth are to be copied.",
    "scheme": "Choose the occlusal scheme.",
    "jaw_record": "Choose the jaw record: maximum intercuspation or centric relation.",
    "vertical_wish": "Say which vertical the denture has: that of the teeth, or of the jaw record.",
    "settings_wish": "Say how the articulator is set: average values, from records, or as written.",
    "flange": "Choose the flange.",
    "try_in": "Say whether a try-in is wanted.",
}


# The record of the natural teeth, in mm. Display and midline are read on the upper incisors.
_MEASURED = {
    "overjet_mm": "Measure the overjet before extraction; nothing can be copied later.",
    "overbite_mm": "Measure the overbite before extraction; nothing can be copied later.",
}
_ON_THE_FRONT = {
    "incisal_display_mm": (
        "Measure the incisal display at rest before extraction; nothing can be copied later."
    ),
    "midline_offset_mm": "Measure the midline before extraction; nothing can be copied later.",
}


def to_sign(prescription: Prescription) -> list[Missing]:
    """What the clinical part still lacks before a dentist can sign it."""
    found = [Missing(text, "prescription", field) for field, text in _clinical(prescription)]
    if prescription.case_id is not None:
        if text := shades.stranger(prescription):
            found.append(Missing(text, "prescription", "shade"))
        found += wanted_by_profile(prescription.case, prescription, "sign")
    return found


BEFORE_SURGERY = (
    "The first extraction must lie before the surgery day. Correct one of the two dates."
)


def wanted_by_profile(case: Case, row: Prescription, act: str) -> list[Missing]:
    """What the profiles of office and laboratory want before signing or sending."""
    return [
        Missing(
            f"{profile.title} asks for this: {answer.item.words}. {answer.mend}",
            answer.part,
            answer.field,
        )
        for profile, answer in profiles.lacking(case, row, act)
    ]


def profile_to_send(case: Case) -> Iterator[Missing]:
    yield from wanted_by_profile(case, case.prescription, "send")


def _clinical(row: Prescription) -> Iterator[tuple[str, str]]:
    yield from _clinical_teeth(row)
    for field, text in _ASKED.items():
        if not getattr(row, field):
            yield field, text
    measured = _MEASURED | (_ON_THE_FRONT if teeth.shows_the_front(row) else {})
    for field, text in measured.items():
        if getattr(row, field) is None:
            yield field, text
    if not row.photographs:
        yield (
            "photographs",
            "Choose the photographs that are taken before extraction; nothing can be copied later.",
        )
    if row.settings_wish == SettingsWish.WRITTEN and not row.settings_text:
        yield (
            "settings_text",
            "Write the settings and the articulator that they are for, or choose average values.",
        )
    if row.arch == Arch.UPPER and not row.post_dam:
        yield "post_dam", "Say who finds the place of the post-dam."
    if row.arch == Arch.LOWER and not row.lower_border:
        yield "lower_border", "Say where the lower denture ends behind."
    if row.natural_changes == NaturalChanges.LISTED and not row.natural_changes_text:
        yield (
            "natural_changes_text",
            "List which changes to natural teeth are allowed, or choose none.",
        )
    if row.allergy == Allergy.NOT_ASKED:
        yield "allergy", "Ask about allergies and enter the answer."
    if row.allergy == Allergy.LISTED and not row.allergy_text:
        yield "allergy_text", "Enter which allergy was named."
    if row.route == Route.INTERIM and row.try_in == TryInWish.WANTED:
        yield (
            "try_in",
            "On the interim route teeth stand in both segments until surgery, so there is no "
            "try-in. Choose 'not possible on this route' or change the route.",
        )
    if row.flange == Flange.SOCKETED and row.arch == Arch.LOWER:
        yield "flange", "Open-face teeth are for an upper denture only. Choose another flange."


def _clinical_teeth(row: Prescription) -> Iterator[tuple[str, str]]:
    silent = [t for t in teeth.positions(row.arch) if t not in row.teeth]
    if silent:
        yield "teeth", f"Mark every position of the {row.arch} arch; open: {', '.join(silent)}."
    other = teeth.other_arch(row.arch)
    silent = [t for t in teeth.positions(other) if t not in row.opposing]
    if silent:
        yield "opposing", f"Mark every position of the {other} arch; open: {', '.join(silent)}."
    if not row.opponent:
        yield (
            "opponent",
            f"Choose what the denture meets in the {other} arch: natural teeth, a denture, or "
            "nothing.",
        )
    yield from opponent.differences(row)
    yield from over_eruption.wrong_heights(row)
    if not teeth.replaced(row):
        yield "teeth", "No position is to be replaced. Mark the lost teeth and those to extract."
    first = [t for t, status in row.teeth.items() if status == ToothStatus.EXTRACT_FIRST]
    if row.route == Route.INTERIM and first:
        yield (
            "teeth",
            "On the interim route all remaining teeth stay until surgery. "
            f"Mark {', '.join(first)} as to be extracted at surgery, or change the route.",
        )
    behind = [
        t
        for t, status in row.teeth.items()
        if status == ToothStatus.EXTRACT_AT_SURGERY and notation.is_posterior(t)
    ]
    if row.route == Route.CONVENTIONAL and behind:
        yield (
            "teeth",
            "On the conventional route posterior teeth come out and heal before the records. Mark "
            f"{', '.join(behind)} so, keep what holds the vertical as a stop, or change the route.",
        )
    if row.route == Route.CONVENTIONAL and first and row.first_extraction_on is None:
        yield "first_extraction_on", "Enter the day on which the first teeth are extracted."
    yield from _first_extraction(row, bool(first))


def _first_extraction(row: Prescription, teeth_out_first: bool) -> Iterator[tuple[str, str]]:
    """Every extraction lies before surgery, and posterior ones before the final impression."""
    surgery, first = row.case.surgery_on, row.first_extraction_on
    if not surgery or not first:
        return
    impression = planning.latest_of(row, surgery)[Step.SENT]
    if first >= surgery:
        yield "first_extraction_on", BEFORE_SURGERY
    elif row.route == Route.CONVENTIONAL and teeth_out_first and first >= impression:
        yield (
            "first_extraction_on",
            "Posterior teeth would still stand at the final impression: it is taken by "
            f"{long_date(impression)} at the latest, and the first extraction is on "
            f"{long_date(first)}. Move one of the dates, or change the route.",
        )
    elif row.route == Route.CONVENTIONAL and teeth_out_first and not row.healing_reason:
        healed = (impression - first).days
        if healed < schedule.HEALING_LEAST_DAYS:
            yield (
                "healing_reason",
                f"Only {healed} day{'' if healed == 1 else 's'} of healing lie between the first "
                f"extraction and the latest day for the final impression, {long_date(impression)}. "
                "Write why, or move one of the dates.",
            )
