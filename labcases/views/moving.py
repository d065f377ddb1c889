"""Moving the surgery day: what it would change, before anything is moved."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from labcases.domain import access, date_moves, moving
from labcases.enums import Side
from labcases.forms.dates import MoveForm
from labcases.models import Case
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person


@require_safe
def surgery_move(request: HttpRequest, code: str) -> HttpResponse:
    """Everything that another surgery day changes; the office moves it, the laboratory asks."""
    case = case_for(request, code)
    if not access.positions(person(request), case) or not case.is_open:
        raise PermissionDenied
    form = MoveForm(request.GET if "surgery_on" in request.GET else None, case=case)
    context: dict[str, Any] = {
        **head_context(case, person(request)),
        "page_title": "Another surgery day",
        "form": form,
        "may_move": access.may(person(request), "book dates", case),
    }
    if form.is_valid():
        on = form.cleaned_data["surgery_on"]
        case = Case.objects.select_related("office", "laboratory", "patient").get(pk=case.pk)
        context |= {"on": on, "effects": moving.surgery(case, on)}
    return render(request, "dates/move.html", context, status=422 if form.errors else 200)


@require_POST
def dates_seen(request: HttpRequest, code: str) -> HttpResponse:
    """Say that one's house has seen the dates that the other one moved."""
    case = case_for(request, code, date_moves.ACT)
    count = date_moves.see(case=case, user=person(request))
    if count:
        houses = {Side.OFFICE: "office", Side.LABORATORY: "laboratory"}
        other = " and ".join(
            word
            for side, word in houses.items()
            if side not in date_moves.sides_of(person(request), case)
        )
        messages.success(request, f"Seen. The {other or 'other house'} reads it with the dates.")
    else:
        messages.info(request, "Somebody of your house has seen it already.")
    return redirect("dates", case.code)
