"""What a house works by, to read: its checklists with their sources, and its profile."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from labcases.domain import profiles
from labcases.enums.wax import WaxList
from labcases.reference import checklists
from labcases.reference.checklists import Pause
from labcases.reference.remount import remount_checklist
from labcases.views._lookup import person
from labcases.views.organisation import organisation_for

#: How a source was read, in words, by its mark.
MARKS = {
    "R": "read",
    "R2": "quoted by what was read",
    "CP": "common practice, no source",
    "MH": "from memory, held for sure",
    "MM": "from memory, held for likely",
    "ML": "from memory, doubtful",
    "COMP": "computed here",
}


@dataclass(frozen=True)
class Checklist:
    """A checklist under its name."""

    title: str
    pauses: tuple[Pause, ...]


def all_checklists() -> list[Checklist]:
    return [
        Checklist("Posterior try-in", checklists.try_in_checklist()),
        *(
            Checklist(f"Final wax: {which.label}", checklists.wax_checklist(which))
            for which in WaxList
        ),
        Checklist("Laboratory remount", remount_checklist()),
    ]


@require_safe
def checklists_in_use(request: HttpRequest, pk: int) -> HttpResponse:
    """Every line of every checklist, with its source and how that was read."""
    one = organisation_for(person(request), pk)
    context = {
        "page_title": "Checklists in use",
        "organisation": one,
        "lists": all_checklists(),
        "marks": MARKS,
    }
    return render(request, "organisation/checklists.html", context)


@require_safe
def profile_in_use(request: HttpRequest, pk: int) -> HttpResponse:
    """What was read of the place that the house chose, and what was not read."""
    one = organisation_for(person(request), pk)
    context = {
        "page_title": "Profile in use",
        "organisation": one,
        "profile": profiles.profile_of(one),
        "known": [row.title for row in profiles.profiles().values()],
    }
    return render(request, "organisation/profile.html", context)
