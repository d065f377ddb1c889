"""The teeth of a case on its way: here as they were approved, unless a story takes others."""

from __future__ import annotations

from labcases.domain import teeth_needed, tooth_orders
from labcases.models import Case, User


def have_teeth(case: Case, by: User) -> None:
    """Every set that the case needs and that nobody took or ordered yet is here."""
    for need in teeth_needed.needed(case):
        if teeth_needed.set_of(case, need) is None:
            tooth_orders.enter(
                case=case,
                need=need,
                by=by,
                values={**teeth_needed.wanted(case, need.part), "lot": "T-118"},
            )
