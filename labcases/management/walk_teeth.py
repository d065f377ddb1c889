"""The teeth of a case on its way: as they were approved, from the shelf if they lie there."""

from __future__ import annotations

from labcases.domain import teeth_needed, tooth_orders, tooth_shelf
from labcases.models import Case, User


def have_teeth(case: Case, by: User) -> None:
    """Every set that the case needs and that nobody took or ordered yet is here."""
    for need in teeth_needed.needed(case):
        if teeth_needed.set_of(case, need) is not None:
            continue
        on_shelf = tooth_shelf.for_need(case, need).exact
        if on_shelf:
            tooth_orders.take(case=case, need=need, tooth_set=on_shelf[0].tooth_set, by=by)
        else:
            told = {**teeth_needed.wanted(case, need.part), "lot": "T-118"}
            tooth_orders.enter(case=case, need=need, by=by, values=told)
