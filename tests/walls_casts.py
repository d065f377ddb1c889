"""Casts of the case behind the walls."""

from __future__ import annotations

from django.utils import timezone

from labcases.domain import casts
from labcases.models import Case, User


def entered_casts(case: Case, by: User) -> dict[str, int]:
    """An impression that is not poured yet, and the cast of another."""
    taken = {"arch": "upper", "material": "alginate", "taken_at": timezone.now()}
    impression = casts.add_impression(case=case, by=by, values=taken)
    cast = casts.add_cast(case=case, by=by, values={"arch": "upper", "kind": "master"})
    return {
        "cast_pour": impression.pk,
        "cast_look": cast.pk,
        "casts_strike": cast.pk,
        "casts_strike:unknown": cast.pk,
    }
