"""What happened to a case, newest first; and undoing what can be undone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from labcases.domain import undo
from labcases.domain.acts import UNDID
from labcases.models import Case, HistoryEntry
from labcases.views._head import head_context
from labcases.views._lookup import case_for, number_of, person
from labcases.views._sentences import sentence
from labcases.views._words import sentence_case

PAGE = 50
SITES = "sites"


@dataclass(frozen=True)
class Shown:
    """One entry on the page: an undo button, or why there is none."""

    number: int
    at: datetime
    text: str
    own: bool
    why_not: str


@require_safe
def history(request: HttpRequest, code: str) -> HttpResponse:
    """Fifty entries; ``before`` and ``after`` name the entry that the page begins beside.

    ``part`` and ``by`` keep to one part and to one person.
    """
    return _page(request, case_for(request, code))


@require_POST
def history_undo(request: HttpRequest, code: str) -> HttpResponse:
    """Undo entries that the person names; those of one saving together."""
    case = case_for(request, code)
    named = (number_of(text) for text in request.POST.getlist("entry"))
    numbers = [number for number in named if number is not None]
    try:
        undone = undo.undo(case=case, numbers=numbers, by=person(request))
    except undo.NotYours as refused:
        raise PermissionDenied(str(refused)) from refused
    except undo.CannotUndo as refused:
        return _page(request, case, refusal=str(refused), status=409 if numbers else 422)
    for entry in undone:
        messages.success(request, f"Undone. {sentence(entry)}")
    back = request.POST.get("next", "")
    own = url_has_allowed_host_and_scheme(back, allowed_hosts=None)
    return redirect(back) if own and back.startswith("/") else redirect("history", case.code)


def _page(
    request: HttpRequest, case: Case, *, refusal: str = "", status: int = 200
) -> HttpResponse:
    found, chosen = _filtered(request, case)
    before, after = (number_of(request.GET.get(name, "")) for name in ("before", "after"))
    rows = _rows(found, before, after)
    older = bool(rows) and found.filter(sequence__lt=rows[-1].sequence).exists()
    newer = bool(rows) and found.filter(sequence__gt=rows[0].sequence).exists()
    context = {
        **head_context(case, person(request)),
        "page_title": "History",
        "refusal": refusal,
        "entries": _shown(request, case, rows),
        "earlier": _address(chosen, before=rows[-1].sequence) if older else "",
        "later": _address(chosen, after=rows[0].sequence) if newer else "",
        "shown": f"{len(rows)} of {found.count()}",
        "chosen": chosen,
        "parts": _parts(case),
        "people": _people(case),
    }
    return render(request, "history/history.html", context, status=status)


def _shown(request: HttpRequest, case: Case, rows: list[HistoryEntry]) -> list[Shown]:
    state, hands = undo.State.of(case), undo.Hands.of(person(request), case)
    found = []
    for row in rows:
        row.case = case
        own = hands.may(row) and row.act != UNDID
        why_not = undo.why_not(row, state) if own else ""
        found.append(Shown(row.sequence, row.at, sentence(row), own, why_not))
    return found


def _filtered(request: HttpRequest, case: Case) -> tuple[QuerySet[HistoryEntry], dict[str, str]]:
    """Entries of the part and the person that the address names; anything else is passed over."""
    found = case.history.select_related("by")
    chosen: dict[str, str] = {}
    part, by = request.GET.get("part", ""), request.GET.get("by", "")
    if part == SITES:
        found, chosen["part"] = found.filter(part__startswith="site "), part
    elif part and part in {name for name, _label in _parts(case)}:
        found, chosen["part"] = found.filter(part=part), part
    if number_of(by) in {key for key, _name in _people(case)}:
        found, chosen["by"] = found.filter(by=int(by)), by
    return found, chosen


def _parts(case: Case) -> list[tuple[str, str]]:
    """The parts that the history of a case has; all sites as one."""
    names = set(case.history.order_by().values_list("part", flat=True).distinct())
    found = {SITES if name.startswith("site ") else name for name in names}
    return [(name, sentence_case(name)) for name in sorted(found)]


def _people(case: Case) -> list[tuple[int, str]]:
    rows = case.history.order_by().values_list("by", "by__full_name").distinct()
    return sorted(rows, key=lambda row: row[1])


def _address(chosen: dict[str, str], **more: Any) -> str:
    return f"?{urlencode({**chosen, **more})}"


def _rows(
    found: QuerySet[HistoryEntry], before: int | None, after: int | None
) -> list[HistoryEntry]:
    if after is not None:
        return list(found.filter(sequence__gt=after).order_by("sequence")[:PAGE])[::-1]
    if before is not None:
        found = found.filter(sequence__lt=before)
    return list(found.order_by("-sequence")[:PAGE])
