"""The sets that a case needs, each with where it stands and what may be done with it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils import timezone

from labcases.domain import (
    access,
    queries,
    teeth_needed,
    tooth_dates,
    tooth_orders,
    tooth_shelf,
)
from labcases.domain.teeth_needed import Need
from labcases.domain.tooth_shelf import Offer, Shelf
from labcases.enums.teeth import TeethFrom, TeethState
from labcases.forms.tooth_orders import (
    ArrivedForm,
    HereForm,
    OrderForm,
    SupplyForm,
    TakeForm,
    WhyForm,
)
from labcases.models import Case, TeethSupply, User
from labcases.templatetags.units import tooth

FORMS: dict[str, type[SupplyForm]] = {one.what: one for one in (TakeForm, OrderForm, HereForm)}
GLYPHS = {TeethState.ORDERED: "waiting", TeethState.IN_HAND: "done"}


@dataclass(frozen=True)
class Refused:
    """A form that was refused: which one it was, and of which need or row."""

    key: str
    form: Any


@dataclass(frozen=True)
class Held:
    """One row with what may be done with it."""

    row: TeethSupply
    words: str
    glyph: str
    expected: date | None
    arrived: ArrivedForm | None
    acts: list[dict[str, Any]]
    asks_reason: str = ""

    @property
    def state(self) -> str:
        return str(self.row.get_state_display())


@dataclass(frozen=True)
class Block:
    """One need: its set, single teeth in place of some, the shelf, and the forms."""

    need: Need
    title: str
    teeth: list[str]
    held: Held | None
    singles: list[Held]
    shelf: Shelf
    looked: list[Offer]
    forms: list[SupplyForm]
    take: SupplyForm | None
    open: str


def context(
    case: Case, user: User, notation: str, *, looked: dict[str, str], refused: Refused | None = None
) -> dict[str, Any]:
    """What ``teeth/_in_hand.html`` shows; forms only for those who order teeth."""
    can_order = access.may(user, tooth_orders.ACT, case) and case.is_open
    chosen = teeth_needed.chosen_of(case) is not None
    of_laboratory = bool(access.positions(user, case) & access.LABORATORY)
    return {
        "can_order": can_order,
        "late": tooth_dates.warnings(case, queries.plan_of(case), timezone.localdate())
        if of_laboratory
        else "",
        "chosen": chosen,
        "of_laboratory": of_laboratory,
        "looked": looked,
        "supply_refused": refused.form if refused else None,
        "blocks": [
            _block(case, need, notation, can_order and chosen, looked, refused)
            for need in teeth_needed.needed(case)
        ]
        if of_laboratory
        else [_plain(case, need, notation) for need in teeth_needed.needed(case)],
        "set_aside": [_held(row, can_order, refused) for row in teeth_needed.set_aside_rows(case)],
    }


def _plain(case: Case, need: Need, notation: str) -> Block:
    """What the office reads: where each set stands, nothing of the laboratory's shelves."""
    return _of(case, need, notation, Shelf([], [], "", kept=False), [], can_order=False)


def _block(
    case: Case,
    need: Need,
    notation: str,
    can_order: bool,
    looked: dict[str, str],
    refused: Refused | None,
) -> Block:
    shelf = tooth_shelf.for_need(case, need)
    others = tooth_shelf.looked_for(case, need, **looked)
    return _of(case, need, notation, shelf, others, can_order=can_order, refused=refused)


def _of(
    case: Case,
    need: Need,
    notation: str,
    shelf: Shelf,
    looked: list[Offer],
    *,
    can_order: bool,
    refused: Refused | None = None,
) -> Block:
    standing = teeth_needed.set_of(case, need)
    mine = refused.form if refused and refused.key == need.key else None
    made = (
        [
            mine
            if isinstance(mine, kind) and mine.what == what
            else kind(case=case, need=need, standing=standing)
            for what, kind in FORMS.items()
        ]
        if can_order
        else []
    )
    if isinstance(mine, TakeForm):
        looked = [*looked, *_refused_offer(mine, [*shelf.exact, *shelf.near, *looked])]
    singles = [
        row
        for row in teeth_needed.standing(case)
        if row.tooth in need.teeth and (row.arch, row.part) == (need.arch, need.part)
    ]
    return Block(
        need=need,
        title=f"{need.words[:1].upper()}{need.words[1:]} ({len(need.teeth)})",
        teeth=[tooth(one, notation) for one in need.teeth],
        held=_held(standing, can_order, refused) if standing else None,
        singles=[_held(row, can_order, refused) for row in singles],
        shelf=shelf,
        looked=looked,
        forms=[form for form in made if form.what != "take"],
        take=next((form for form in made if form.what == "take"), None),
        open=mine.what if isinstance(mine, SupplyForm) else "",
    )


def _refused_offer(form: TakeForm, offered: list[Offer]) -> list[Offer]:
    """The set whose button was pressed, where the page would offer it no longer."""
    row = getattr(form, "cleaned_data", {}).get("tooth_set")
    return [] if row is None or any(one.tooth_set == row for one in offered) else [Offer(row)]


def _held(row: TeethSupply, can_order: bool, refused: Refused | None) -> Held:
    mine = refused.form if refused and refused.key == str(row.pk) else None
    awaited = row.state == TeethState.ORDERED or (
        row.state == TeethState.IN_HAND and row.source == TeethFrom.ORDER
    )
    arrived = None
    if can_order and awaited:
        arrived = mine if isinstance(mine, ArrivedForm) else ArrivedForm(row=row)
    return Held(
        row=row,
        words=teeth_needed.in_words(row),
        glyph=GLYPHS.get(TeethState(row.state), "on hold"),
        expected=teeth_needed.expected_on(row),
        arrived=arrived,
        acts=_acts(row, mine) if can_order else [],
    )


def _acts(row: TeethSupply, mine: Any) -> list[dict[str, Any]]:
    """Putting back, using again and saying that they are not used, as far as the row allows."""
    wanted = []
    if row.state == TeethState.SET_ASIDE:
        wanted.append(("use-again", "Use again"))
    ordered = row.source == TeethFrom.ORDER and row.arrived_on is None
    if ordered:
        wanted.append(("put-back", "Cancel the order"))
    elif not row.tooth:
        wanted.append(("put-back", "Put back on the shelf"))
    if not ordered:
        wanted.append(("discard", "Not used"))
    return [
        {
            "what": what,
            "label": label,
            "url": reverse("teeth_change", args=[row.case.code, row.pk, what]),
            "form": mine
            if isinstance(mine, WhyForm) and mine.prefix == what
            else WhyForm(prefix=what, auto_id=f"id_{row.pk}_%s"),
        }
        for what, label in wanted
    ]
