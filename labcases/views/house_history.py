"""What was changed of a house itself: people, links, calendar, devices, plan, materials."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from labcases.models import HouseEntry
from labcases.views._changes_said import value_said
from labcases.views._lookup import person
from labcases.views.organisation import organisation_for

ENTRIES_A_PAGE = 50


def sentence(entry: HouseEntry) -> str:
    """Who, in which role, did what to which part, and what it was before."""
    who = f"{entry.by} ({entry.position})" if entry.position else str(entry.by)
    told = "; ".join(_change(label, *pair) for label, pair in entry.changes.items())
    text = f"{who} {entry.act} ({entry.part}): {told}" if told else f"{who} {entry.act}"
    return f"{text}. Reason: {entry.reason}" if entry.reason else text


def _change(label: str, before: object, after: object) -> str:
    old, new = value_said(before), value_said(after)
    if not new:
        return f"{label}, was {old}" if old else label
    return f"{label}: {old} → {new}" if old else f"{label}: {new}"


@require_safe
def house_history(request: HttpRequest, pk: int) -> HttpResponse:
    """Everybody inside reads it, the newest first; nobody changes it."""
    one = organisation_for(person(request), pk)
    pages = Paginator(one.house_entries.select_related("by"), ENTRIES_A_PAGE)
    page = pages.get_page(request.GET.get("page"))
    context = {
        "page_title": f"History of {one}",
        "organisation": one,
        "entries": [(row.at, sentence(row)) for row in page],
        "page": page,
    }
    return render(request, "organisation/history.html", context)
