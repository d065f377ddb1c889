"""Impressions, casts and what is made on them, as the page shows them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from labcases.domain import casts, differences, disinfecting, jaw_records, mounting, pouring
from labcases.enums import BoxContent
from labcases.models import BoxItem, Case, Cast, CastLook
from labcases.reference import materials
from labcases.templatetags.units import long_time

GLYPH_OF_POUR = {
    pouring.IN_TIME: "done",
    pouring.NOT_POURED: "waiting",
    pouring.NOT_CHECKED: "not asked",
    pouring.EARLY: "warning",
    pouring.LATE: "warning",
    pouring.LATER_THAN_BEST: "warning",
}


@dataclass(frozen=True)
class LogRow:
    """One line of a log: what it says, its state as a shape with a word, and what it allows."""

    what: str
    row: Any
    said: str
    glyph: str = ""
    word: str = ""
    why: str = ""
    can_pour: bool = False
    can_look: bool = False

    @property
    def key(self) -> str:
        return f"{self.what}{self.row.pk}"

    @property
    def struck(self) -> bool:
        return self.row.struck_at is not None


def impressions(case: Case) -> list[LogRow]:
    """Every impression, the newest first; struck ones stay in their place."""
    now = timezone.now()
    found = []
    for row in case.impressions.select_related("by", "struck_by").order_by("-id"):
        pour = pouring.of_pour(row, now=now)
        until = pouring.pour_by(row)
        why = pour.why
        if pour.word == pouring.NOT_POURED and until:
            why = f"Pour it by {long_time(until)}."
        found.append(
            LogRow(
                what="impression",
                row=row,
                said=casts.in_words(row),
                glyph=GLYPH_OF_POUR[pour.word],
                word=pour.word[:1].upper() + pour.word[1:],
                why=why,
                can_pour=row.poured_at is None,
            )
        )
    return found


def cast_rows(case: Case) -> list[LogRow]:
    """Every cast, the newest first, each followed by its inspections."""
    rows = (
        case.casts.select_related("by", "struck_by", "impression", "made_from")
        .prefetch_related("looks__by", "looks__struck_by")
        .order_by("-id")
    )
    found = []
    for row in rows:
        look = casts.last_look(row)
        found.append(
            LogRow(
                what="cast",
                row=row,
                said=casts.in_words(row),
                glyph=_glyph(row, look),
                word=casts.state_of(row),
                why=_second_pour(row),
                can_look=True,
            )
        )
        for one in sorted(row.looks.all(), key=lambda look: -look.pk):
            found.append(LogRow(what="look", row=one, said=casts.in_words(one)))
    return found


def _second_pour(row: Cast) -> str:
    """What is said of a pour of its own: in time, too late, or not checked and why."""
    pour = pouring.of_second_pour(row)
    return "" if pour is None else f"Its own pour: {pour.word}. {pour.why}".strip()


def _glyph(row: Cast, look: CastLook | None) -> str:
    if look is None:
        return "not yet"
    return "warning" if casts.is_broken(row) else "done"


def pieces(case: Case) -> list[LogRow]:
    rows = case.pieces.select_related("by", "struck_by", "cast").order_by("-id")
    return [LogRow(what="piece", row=row, said=casts.in_words(row)) for row in rows]


def jaw_record_rows(case: Case) -> list[LogRow]:
    rows = case.taken_records.select_related("by", "struck_by").order_by("-id")
    used = mounting.mounted_by(case)
    return [
        LogRow(
            what="record",
            row=row,
            said=jaw_records.in_words(row),
            glyph="done" if row.pk in used else "not yet",
            word="Used" if row.pk in used else "Not used",
            why="; ".join(used.get(row.pk, ())),
        )
        for row in rows
    ]


def disinfected(case: Case) -> list[str]:
    """What the boxes and the log say of impressions: how each was disinfected, and how long."""
    said = []
    for one in disinfecting.with_items(case.boxes.all()):
        for item in one.items.all():
            if item.content != BoxContent.IMPRESSION:
                continue
            beside = differences.arrival_words(item)
            said.append(
                f"{differences.pieces(item)} in the box {one.get_direction_display().lower()}"
                f"{f' ({beside})' if beside else ''}: {_how(item)}."
            )
    return said


def _how(item: BoxItem) -> str:
    """The last disinfection that was long enough: here, or before it left."""
    if item.is_contaminated:
        return "disinfection not declared or too short"
    here = [row for row in item.disinfections.all() if row.struck_at is None and row.enough]
    last = here[-1] if here else item
    return f"{last.agent}, {last.actual_minutes} of {last.label_minutes} min"


@dataclass(frozen=True)
class ListedTime:
    """One row of the list of materials: what is known of its pour, and from where."""

    label: str
    known: str
    cited: str
    note: str


def listed_times() -> list[ListedTime]:
    """The list of pour times, unread ones said to be so."""
    return [_listed(one) for one in materials.impression_materials().values()]


def _listed(one: materials.Material) -> ListedTime:
    known = []
    if one.best and one.best.low is not None:
        known.append(f"best within {pouring.span(one.best.low)}")
    if one.latest.counts and one.latest.low is not None:
        known.append(f"within {pouring.span(one.latest.low)} at the latest")
    elif one.latest.on_label:
        known.append("as long as its label says")
    else:
        known.append("latest: not read, not checked")
    cited = [figure.cited for figure in (one.best, one.latest) if figure and figure.source]
    if one.note:
        cited.append(one.note.cited)
    return ListedTime(
        label=one.label,
        known="; ".join(known),
        cited="; ".join(cited) or "not read",
        note=one.note.text if one.note else "",
    )
