"""Lots: every place that holds one, the cases that a lot went into, and the lots of a denture.

A lot is typed by people, so it is looked for without regard to capitals, spaces and dashes, and a
text that holds several lots is found by each of them. What is written another way than what was
asked for is told apart, for somebody has to look at the label.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import F, Model, Q, QuerySet, Value
from django.db.models.functions import Replace, Upper
from django.utils import timezone

from labcases.domain import history, striking
from labcases.domain.processing_state import run_of
from labcases.enums.lots import LotOf
from labcases.enums.teeth import TeethState
from labcases.models import (
    Case,
    Cast,
    Delivery,
    Finishing,
    Handoff,
    Organisation,
    Piece,
    ReleaseLot,
    ReviewEntry,
    TeethSupply,
    UsedMaterial,
    User,
)

PART = "lots at the release"
SHORTEST = 2
"""Letters and figures that a lot needs to be looked for; fewer would find half of everything."""

_BETWEEN = (" ", "-", "/", ".", "_", "#", ":", "(", ")", ",", ";")
_SHORT = 4
"""Shorter text finds whole lots only in the search of cases, where most texts are no lots."""


@dataclass(frozen=True)
class Place:
    """One column that holds a lot: what it is of, and at which step it is written."""

    key: str
    model: type[Model]
    field: str
    step: str
    beside: tuple[str, ...] = ()

    def of(self, row: Any) -> str:
        """What the lot is of, in words."""
        return str(_OF[self.key](row))

    def when(self, row: Any) -> date:
        return _day(row)

    @property
    def case_page(self) -> str:
        """The URL name of the part of a case where it stands."""
        return _PAGES[self.key]


def _day(row: Any) -> date:
    names = ("arrived_on", "delivered_on", "happened_on", "at")
    found = next((told for name in names if (told := getattr(row, name, None))), None)
    found = found or row.changed_at
    return timezone.localdate(found) if isinstance(found, datetime) else found


def _product(said: str, product: str) -> str:
    return f"{said}: {product}" if product else said


def _teeth_words(row: TeethSupply) -> str:
    what = f"tooth {row.tooth}" if row.tooth else str(row.get_part_display()).lower()
    return _product(f"{row.get_arch_display()} {what}", f"{row.line} {row.mould}".strip())


_OF: dict[str, Any] = {
    "cast": lambda row: _product(
        f"{row.get_arch_display()} {row.get_kind_display().lower()} cast", row.product
    ),
    "piece": lambda row: _product(
        f"{row.get_arch_display()} {row.get_kind_display().lower()}", row.material
    ),
    "teeth": _teeth_words,
    "handoff": lambda row: _product(str(row.get_base_material_display()), row.base_product),
    "material": lambda row: _product(str(row.get_use_display()), row.product),
    "template": lambda _row: "Surgical template",
    "liner": lambda row: _product("Liner", row.liner_product),
    "review": lambda row: _product("Used after delivery", row.product),
    "release": lambda row: _product(str(row.get_lot_of_display()), row.product),
}
_PAGES = {
    "cast": "casts",
    "piece": "casts",
    "teeth": "teeth",
    "handoff": "handoff",
    "material": "processing",
    "template": "finishing",
    "liner": "delivery",
    "review": "reviews",
    "release": "release",
}

PLACES = (
    Place("cast", Cast, "lot", "Casts"),
    Place("piece", Piece, "lot", "Trays, bases and rims"),
    Place("teeth", TeethSupply, "lot", "Teeth"),
    Place("handoff", Handoff, "base_lot", "Handoff to processing"),
    Place("material", UsedMaterial, "lot", "Processing", ("run",)),
    Place("template", Finishing, "template_lot", "Finishing"),
    Place("liner", Delivery, "liner_lot", "Delivery"),
    Place("review", ReviewEntry, "lot", "Reviews"),
    Place("release", ReleaseLot, "lot", "Release"),
)


# -- looking for a lot ------------------------------------------------------------------------


def squeezed(text: str) -> str:
    """Capitals and what stands between letters and figures left out, as two people may write it."""
    found = text.strip().upper()
    for mark in _BETWEEN:
        found = found.replace(mark, "")
    return found


def _rows(place: Place, wanted: str, *, searching: bool = False) -> QuerySet[Any]:
    column: Any = Upper(F(place.field))
    for mark in _BETWEEN:
        column = Replace(column, Value(mark), Value(""))
    rows = place.model._default_manager.alias(squeezed_lot=column)
    if searching and len(wanted) < _SHORT:
        return rows.filter(squeezed_lot=wanted)
    return rows.filter(squeezed_lot__contains=wanted)


def holds(entry: str, asked: str) -> bool:
    """Whether an entry is this lot, or names it as one of several."""
    wanted = re.escape(asked.strip())
    return bool(re.search(rf"(?<![\w-]){wanted}(?![\w-])", entry, re.IGNORECASE))


@dataclass(frozen=True)
class Use:
    """One place in one case that names the lot."""

    case: Case
    place: Place
    of: str
    entry: str
    on: date
    struck: bool
    ended: str
    """Why it does not count in this denture any more: struck out, given back, given up."""


@dataclass(frozen=True)
class Found:
    """A case with every place of it that names the lot, and whether it is in a mouth."""

    case: Case
    uses: tuple[Use, ...]

    @property
    def delivered_on(self) -> date | None:
        report = getattr(self.case, "delivery", None)
        return report.delivered_on if report else None

    @property
    def counts(self) -> bool:
        """Whether any place still stands: not struck out, not given back."""
        return any(not use.ended for use in self.uses)


@dataclass(frozen=True)
class Trace:
    """Where a lot went: cases that name it, and cases with a lot that is written nearly alike."""

    lot: str
    found: tuple[Found, ...]
    near: tuple[Found, ...]
    shelf: int = 0
    """Sets of teeth of this lot that are on the shelf, in no case yet."""

    @property
    def delivered(self) -> int:
        return sum(1 for one in self.found if one.delivered_on and one.counts)


def trace(laboratory: Organisation, asked: str) -> Trace:
    """Every case of a laboratory that a lot went into, by one question a place.

    Struck lines and teeth that went back are told as such, not left out: in a recall somebody
    has to be able to see that they were considered.
    """
    wanted = squeezed(asked)
    if len(wanted) < SHORTEST:
        return Trace(asked.strip(), (), ())
    exact: dict[int, list[Use]] = {}
    near: dict[int, list[Use]] = {}
    for place in PLACES:
        rows = _rows(place, wanted).filter(case__laboratory=laboratory)
        rows = rows.select_related(
            "case__office", "case__patient", "case__delivery", *place.beside
        ).order_by("pk")
        for row in rows:
            use = _use(place, row)
            into = exact if holds(use.entry, asked) else near
            into.setdefault(row.case_id, []).append(use)
    return Trace(asked.strip(), _grouped(exact), _grouped(near), _on_shelf(laboratory, wanted))


def _on_shelf(laboratory: Organisation, wanted: str) -> int:
    rows = laboratory.tooth_sets.filter(count__gt=0).values_list("lot", "count")
    return sum(count for lot, count in rows if wanted in squeezed(lot))


def _use(place: Place, row: Any) -> Use:
    struck = getattr(row, "struck_at", None) is not None
    return Use(
        case=row.case,
        place=place,
        of=place.of(row),
        entry=str(getattr(row, place.field)),
        on=place.when(row),
        struck=struck,
        ended=_ended(row, struck=struck),
    )


def _ended(row: Any, *, struck: bool) -> str:
    if struck:
        return f"struck out: {row.struck_reason}"
    run = getattr(row, "run", None)
    if run is not None and run.given_up_at is not None:
        return f"that processing was given up: {run.given_up_reason}"
    if isinstance(row, TeethSupply) and row.state != TeethState.IN_HAND:
        said = str(row.get_state_display()).lower()
        return f"{said}: {row.ended_why}" if row.ended_why else said
    return ""


def _grouped(uses: dict[int, list[Use]]) -> tuple[Found, ...]:
    found = (Found(rows[0].case, tuple(rows)) for rows in uses.values())
    return tuple(sorted(found, key=lambda one: (one.delivered_on is None, one.case.pk)))


def cases_with(asked: str) -> Q:
    """A condition on cases: a lot of theirs holds this text, in whichever place."""
    wanted = squeezed(asked)
    if len(wanted) < SHORTEST:
        return Q(pk__in=())
    condition = Q()
    for place in PLACES:
        condition |= Q(pk__in=_rows(place, wanted, searching=True).values("case"))
    return condition


def named_in(cases: Iterable[Case], asked: str) -> dict[int, str]:
    """Case key -> the lots of it that hold this text, for a list that says what matched."""
    wanted, keys = squeezed(asked), [case.pk for case in cases]
    found: dict[int, list[str]] = {}
    if len(wanted) < SHORTEST or not keys:
        return {}
    columns = [
        _rows(place, wanted, searching=True)
        .filter(case__in=keys)
        .order_by()
        .values_list("case", place.field)
        for place in PLACES
    ]
    for case, lot in columns[0].union(*columns[1:]):
        if lot not in found.setdefault(case, []):
            found[case].append(lot)
    return {case: ", ".join(sorted(said)) for case, said in found.items()}


# -- the lots of one denture ------------------------------------------------------------------


@dataclass(frozen=True)
class Lot:
    """One lot that is in the denture, where it is told, and the row where it was added here."""

    of: str
    lot: str
    step: str
    row: ReleaseLot | None = None


def at_release(case: Case) -> list[Lot]:
    """Lots that are in the denture: of its processing, of its teeth, and what was added."""
    return list(_standing(case))


def _standing(case: Case) -> Iterator[Lot]:
    run = run_of(case)
    used = [row for row in run.materials.all() if row.struck_at is None] if run else []
    for row in used:
        yield Lot(_OF["material"](row), row.lot, "Processing")
    handoff = next(reversed(list(case.handoffs.all())), None)
    if handoff and handoff.base_lot and not any(row.lot == handoff.base_lot for row in used):
        yield Lot(_OF["handoff"](handoff), handoff.base_lot, "Handoff to processing")
    for supply in case.tooth_supplies.all():
        if supply.state == TeethState.IN_HAND and supply.lot:
            yield Lot(_teeth_words(supply), supply.lot, "Teeth")
    for added in case.release_lots.all():
        if added.struck_at is None:
            yield Lot(_OF["release"](added), added.lot, "Release", added)


def lacking(case: Case) -> list[str]:
    """What no lot is told of: resin, teeth. A text of before may hold either, so it counts."""
    run = run_of(case)
    added = {row.lot_of for row in case.release_lots.all() if row.struck_at is None}
    if LotOf.BEFORE in added:
        return []
    handoff = next(reversed(list(case.handoffs.all())), None)
    used = run is not None and any(row.struck_at is None for row in run.materials.all())
    resin = used or LotOf.BASE in added or bool(handoff and handoff.base_lot)
    teeth = LotOf.TEETH in added or any(
        row.state == TeethState.IN_HAND and row.lot for row in case.tooth_supplies.all()
    )
    return [word for word, there in (("resin", resin), ("teeth", teeth)) if not there]


def add(*, case: Case, by: User, lot_of: str, lot: str, product: str, note: str) -> ReleaseLot:
    """Tell a lot that stands nowhere else.

    Raises
    ------
    ValueError
        No lot is given.
    """
    if not lot.strip():
        raise ValueError("Enter the lot from the label; where it has none, write so.")
    with history.turn(case):
        row = ReleaseLot.objects.create(
            case=case,
            by=by,
            lot_of=lot_of,
            lot=lot.strip(),
            product=product.strip(),
            note=note.strip(),
        )
        history.write_line(row=row, part=PART, line=in_words(row), by=by)
    return row


def strike(*, row: ReleaseLot, reason: str, by: User) -> ReleaseLot:
    """Strike a lot out that was added; it stays readable and counts no longer."""
    return striking.strike_out(row=row, part=PART, line=in_words(row), reason=reason, by=by)


def in_words(row: ReleaseLot) -> str:
    said = (_OF["release"](row), f"lot {row.lot}", row.note)
    return ", ".join(part for part in said if part)
