"""What happened to a case, newest first."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from labcases.models import Case, HistoryEntry
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person
from labcases.views._sentences import sentence

PAGE = 50


@require_safe
def history(request: HttpRequest, code: str) -> HttpResponse:
    """Fifty entries; ``before`` and ``after`` name the entry that the page begins beside."""
    case = case_for(request, code)
    rows = _rows(case, _number(request, "before"), _number(request, "after"))
    older = bool(rows) and case.history.filter(pk__lt=rows[-1].pk).exists()
    newer = bool(rows) and case.history.filter(pk__gt=rows[0].pk).exists()
    context = {
        **head_context(case, person(request)),
        "page_title": "History",
        "entries": [{"at": row.at, "text": sentence(row)} for row in rows],
        "earlier": f"?before={rows[-1].pk}" if older else "",
        "later": f"?after={rows[0].pk}" if newer else "",
        "shown": f"{len(rows)} of {case.history.count()}",
    }
    return render(request, "history/history.html", context)


def _rows(case: Case, before: int | None, after: int | None) -> list[HistoryEntry]:
    found = case.history.select_related("by")
    if after is not None:
        return list(found.filter(pk__gt=after).order_by("pk")[:PAGE])[::-1]
    if before is not None:
        found = found.filter(pk__lt=before)
    return list(found.order_by("-pk")[:PAGE])


def _number(request: HttpRequest, name: str) -> int | None:
    text = request.GET.get(name, "")
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else None
