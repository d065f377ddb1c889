"""Drafts that lack one thing for a signature, and what each is told."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from labcases.enums import Arch, Route
from labcases.management.walk import natural, order, teeth_of

D = Decimal
UPPER = (
    "18",
    "17",
    "16",
    "15",
    "14",
    "13",
    "12",
    "11",
    "21",
    "22",
    "23",
    "24",
    "25",
    "26",
    "27",
    "28",
)


@dataclass(frozen=True)
class Unsignable:
    """``draft`` is entered over a complete order, ``mend`` over the draft."""

    name: str
    field: str
    text: str
    draft: dict[str, Any]
    mend: dict[str, Any] = field(default_factory=dict)

    def __str__(self) -> str:
        return self.name


def blank(name: str, text: str, nothing: Any = "") -> Unsignable:
    return Unsignable(f"no {name}", name, text, {name: nothing}, {name: order()[name]})


COMPLETE = teeth_of(Arch.UPPER, Route.CONVENTIONAL)
INTERIM = {
    "route": Route.INTERIM,
    "try_in": "not possible",
    "teeth": teeth_of(Arch.UPPER, Route.INTERIM),
}
SURGERY = timezone.localdate() + timedelta(days=120)
# 19 working days before surgery, counted here by hand.
IMPRESSION = SURGERY
for _ in range(19):
    IMPRESSION -= timedelta(days=1)
    while IMPRESSION.weekday() > 4:
        IMPRESSION -= timedelta(days=1)

TEETH = (
    Unsignable(
        "positions not marked",
        "teeth",
        "Mark every position of the upper arch; open: 18, 27.",
        {"teeth": {t: mark for t, mark in COMPLETE.items() if t not in ("18", "27")}},
        {"teeth": COMPLETE},
    ),
    Unsignable(
        "opposing positions not marked",
        "opposing",
        "Mark every position of the lower arch; open: 48, 31.",
        {"opposing": {t: m for t, m in natural(Arch.LOWER).items() if t not in ("48", "31")}},
        {"opposing": natural(Arch.LOWER)},
    ),
    blank(
        "opponent",
        "Choose what the denture meets in the lower arch: natural teeth, a denture, or nothing.",
    ),
    Unsignable(
        "kind and chart of the opposing arch differ",
        "opponent",
        "The opposing arch is said to be 'natural teeth', but the chart marks denture teeth at 36. "
        "Choose the kind with a denture, or mark them otherwise.",
        {"opponent": "natural teeth", "opposing": natural(Arch.LOWER) | {"36": "denture"}},
        {"opponent": "partial denture worn"},
    ),
    Unsignable(
        "nobody said how a height was read",
        "over_eruption_by",
        "Say how the heights beyond the occlusal plane were read.",
        {"over_eruption_mm": {"37": "1.6"}},
        {"over_eruption_by": "mounted cast"},
    ),
    Unsignable(
        "nothing to replace",
        "teeth",
        "No position is to be replaced. Mark the lost teeth and those to extract.",
        {"teeth": dict.fromkeys(UPPER, "stays")},
        {"teeth": COMPLETE},
    ),
    Unsignable(
        "only third molars lost",
        "teeth",
        "No position is to be replaced. Mark the lost teeth and those to extract.",
        {"teeth": dict.fromkeys(UPPER, "stays") | {"18": "lost", "28": "lost"}},
        {"teeth": COMPLETE},
    ),
    Unsignable(
        "teeth out first on the interim route",
        "teeth",
        "On the interim route all remaining teeth stay until surgery. Mark 14, 25 as to be "
        "extracted at surgery, or change the route.",
        {
            **INTERIM,
            "teeth": INTERIM["teeth"]
            | {"14": "extract before records", "25": "extract before records"},
        },
        {"teeth": INTERIM["teeth"]},
    ),
    Unsignable(
        "posterior teeth at surgery on the conventional route",
        "teeth",
        "On the conventional route posterior teeth come out and heal before the records. Mark 14, "
        "28 so, keep what holds the vertical as a stop, or change the route.",
        {"teeth": COMPLETE | {"14": "extract at surgery", "28": "extract at surgery"}},
        {"teeth": COMPLETE},
    ),
    Unsignable(
        "no day of the first extraction",
        "first_extraction_on",
        "Enter the day on which the first teeth are extracted.",
        {"first_extraction_on": None},
        {"first_extraction_on": SURGERY - timedelta(days=75)},
    ),
    Unsignable(
        "first extraction on the surgery day",
        "first_extraction_on",
        "The first extraction must lie before the surgery day. Correct one of the two dates.",
        {"first_extraction_on": SURGERY},
        {"first_extraction_on": SURGERY - timedelta(days=75)},
    ),
    Unsignable(
        "posterior teeth still there at the final impression",
        "first_extraction_on",
        "Posterior teeth would still stand at the final impression: it is taken by "
        f"{IMPRESSION:%d-%b-%Y} at the latest, and the first extraction is on "
        f"{IMPRESSION:%d-%b-%Y}. Move one of the dates, or change the route.",
        {"first_extraction_on": IMPRESSION},
        {"first_extraction_on": IMPRESSION - timedelta(days=21)},
    ),
    Unsignable(
        "less than three weeks of healing",
        "healing_reason",
        "Only 20 days of healing lie between the first extraction and the latest day for the final "
        f"impression, {IMPRESSION:%d-%b-%Y}. Write why, or move one of the dates.",
        {"first_extraction_on": IMPRESSION - timedelta(days=20)},
        {
            "first_extraction_on": IMPRESSION - timedelta(days=20),
            "healing_reason": "Pain; seen every week",
        },
    ),
)

ANSWERS = (
    blank("base_material", "Choose the base material."),
    blank("tooth_material", "Choose the material of the teeth."),
    blank("shade_system", "Name the shade system."),
    blank("shade", "Enter the shade."),
    blank("mould", "Enter the mould, or that the natural teeth are to be copied."),
    blank("scheme", "Choose the occlusal scheme."),
    blank("jaw_record", "Choose the jaw record: maximum intercuspation or centric relation."),
    blank(
        "vertical_wish",
        "Say which vertical the denture has: that of the teeth, or of the jaw record.",
    ),
    blank(
        "settings_wish",
        "Say how the articulator is set: average values, from records, or as written.",
    ),
    Unsignable(
        "settings not written",
        "settings_text",
        "Write the settings and the articulator that they are for, or choose average values.",
        {"settings_wish": "as written", "settings_text": ""},
        {"settings_wish": "average values"},
    ),
    blank("flange", "Choose the flange."),
    blank("post_dam", "Say who finds the place of the post-dam."),
    Unsignable(
        "no end of a lower denture",
        "lower_border",
        "Say where the lower denture ends behind.",
        {
            "arch": Arch.LOWER,
            "teeth": teeth_of(Arch.LOWER, Route.CONVENTIONAL),
            "opposing": natural(Arch.UPPER),
            "lower_border": "",
        },
        {"lower_border": "as marked"},
    ),
    Unsignable(
        "changes to natural teeth not listed",
        "natural_changes_text",
        "List which changes to natural teeth are allowed, or choose none.",
        {"natural_changes": "as listed", "natural_changes_text": ""},
        {"natural_changes": "none"},
    ),
    blank("try_in", "Say whether a try-in is wanted."),
    blank(
        "overjet_mm", "Measure the overjet before extraction; nothing can be copied later.", None
    ),
    blank(
        "overbite_mm", "Measure the overbite before extraction; nothing can be copied later.", None
    ),
    blank(
        "incisal_display_mm",
        "Measure the incisal display at rest before extraction; nothing can be copied later.",
        None,
    ),
    blank(
        "midline_offset_mm",
        "Measure the midline before extraction; nothing can be copied later.",
        None,
    ),
    blank(
        "photographs",
        "Choose the photographs that are taken before extraction; nothing can be copied later.",
        [],
    ),
    blank("allergy", "Ask about allergies and enter the answer.", "not asked"),
    Unsignable(
        "allergy not named",
        "allergy_text",
        "Enter which allergy was named.",
        {"allergy": "listed", "allergy_text": ""},
        {"allergy_text": "acrylate"},
    ),
    Unsignable(
        "try-in on the interim route",
        "try_in",
        "On the interim route teeth stand in both segments until surgery, so there is no try-in. "
        "Choose 'not possible on this route' or change the route.",
        {**INTERIM, "try_in": "wanted"},
        {"try_in": "not possible"},
    ),
    Unsignable(
        "open-face lower denture",
        "flange",
        "Open-face teeth are for an upper denture only. Choose another flange.",
        {
            "arch": Arch.LOWER,
            "teeth": teeth_of(Arch.LOWER, Route.CONVENTIONAL),
            "opposing": natural(Arch.UPPER),
            "flange": "socketed",
            "overjet_mm": D("1"),
        },
        {"flange": "partial flange"},
    ),
)

UNSIGNABLE = (*TEETH, *ANSWERS)
