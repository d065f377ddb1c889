"""What of the tooth stock fits a case: the set that was chosen, and what else would do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from labcases.domain import calculations, stock, teeth_needed
from labcases.domain.teeth_needed import Need
from labcases.enums import SetUpPart
from labcases.models import Case, ToothSet
from labcases.templatetags.units import deg, mm

SHOWN = 12
"""Sets of each kind that the page offers; more are found in the stock itself."""


@dataclass(frozen=True)
class Offer:
    """A set on the shelf, and what a technician should know before taking it."""

    tooth_set: ToothSet
    note: str = ""


@dataclass(frozen=True)
class Shelf:
    """What is on the shelf for one need."""

    exact: list[Offer]
    near: list[Offer]
    sentence: str
    kept: bool
    """Whether the laboratory keeps any set in its stock at all."""


def for_need(case: Case, need: Need) -> Shelf:
    """The sets as they were approved, and where there is none what else would fit.

    What else would fit has the same shade, material and, behind, the same cusp angle, and its
    width lies within what the tooth selection measured. The technician decides, and the dentist
    is asked about another mould.
    """
    wanted = teeth_needed.wanted(case, need.part)
    rows = case.laboratory.tooth_sets.filter(arch=need.arch, part=need.part)
    on_shelf = rows.filter(count__gt=0)
    for name in ("shade", "material"):
        if wanted[name]:
            on_shelf = on_shelf.filter(**{f"{name}__iexact": stock.tidy(wanted[name])})
    same = on_shelf.filter(mould__iexact=stock.tidy(wanted["mould"])) if wanted["mould"] else None
    exact = [Offer(row) for row in (on_shelf if same is None else same)[:SHOWN]]
    near = [] if exact or same is None else list(_near(case, need, list(on_shelf[: 10 * SHOWN])))
    kept = bool(exact or near) or rows.exists()
    said = ", ".join(
        text
        for text in (
            wanted["mould"] and f"mould {wanted['mould']}",
            wanted["shade"] and f"shade {wanted['shade']}",
            wanted["material"],
        )
        if text
    )
    sentence = "" if exact or not kept else f"Out of stock: {need.words}, {said}."
    return Shelf(exact, near[:SHOWN], sentence, kept)


def _near(case: Case, need: Need, rows: list[ToothSet]) -> Iterator[Offer]:
    chosen = teeth_needed.chosen_of(case)
    if chosen is None:
        return
    # To a tenth, as the page says the range.
    low, high = (
        None if end is None else round(end, 1)
        for end in calculations.widths_that_fit(case, chosen)[need.part]
    )
    for row in rows:
        notes = [f"mould {row.mould} in place of {getattr(chosen, f'{need.part}_mould')}"]
        if need.part == SetUpPart.POSTERIOR:
            if row.cusp_angle_deg is None:
                notes.append("its cusp angle is not entered")
            elif row.cusp_angle_deg != chosen.cusp_angle_deg:
                continue
            else:
                notes.append(f"cusps of {deg(row.cusp_angle_deg)} as chosen")
        else:
            notes.append("look at its outline")
        if row.together_mm is None:
            notes.append("its width is not entered: measure it")
        elif low is None and high is None:
            notes.append(f"{mm(row.together_mm)} wide, and nothing is measured to judge it by")
        elif (low or 0) <= float(row.together_mm) <= (high or 1000):
            notes.append(f"{mm(row.together_mm)} wide, {_within(low, high)}")
        else:
            continue
        yield Offer(row, "; ".join(notes))


def _within(low: float | None, high: float | None) -> str:
    if low is None:
        return f"within the room of {high:.1f} mm"
    return f"within {low:.1f} to {high:.1f} mm"


def looked_for(case: Case, need: Need, *, shade: str, mould: str) -> list[Offer]:
    """Sets on the shelf of another shade or mould that a technician looks for."""
    if not (shade or mould):
        return []
    rows = case.laboratory.tooth_sets.filter(arch=need.arch, part=need.part, count__gt=0)
    if shade:
        rows = rows.filter(shade__iexact=stock.tidy(shade))
    if mould:
        rows = rows.filter(mould__icontains=stock.tidy(mould))
    return [Offer(row) for row in rows[:SHOWN]]
