"""Curing cycles of a laboratory: its own by the instructions of materials, and those read of."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from labcases.domain import access, curing, curing_cycles
from labcases.forms.curing_cycles import CycleForm
from labcases.models import CuringCycle, Organisation
from labcases.outputs import curing_view
from labcases.views._lookup import person
from labcases.views.organisation import laboratory_for


@require_http_methods(["GET", "POST"])
def cycles(request: HttpRequest, pk: int) -> HttpResponse:
    """Every cycle of the laboratory; POST enters one."""
    user = person(request)
    one = laboratory_for(user, pk, curing_cycles.may_keep)
    if request.method == "GET":
        material = request.GET.get("material", "")[:120]
        return _list(request, one, CycleForm(laboratory=one, material=material))
    form = CycleForm(request.POST, laboratory=one)
    if not form.is_valid():
        return _list(request, one, form, 422)
    try:
        row = curing_cycles.add(laboratory=one, by=user, values=form.values())
    except curing_cycles.Overtaken as told:
        return _list(request, one, form, 409, refusal=str(told))
    messages.success(request, f"{row} is entered. Records may choose it now.")
    return redirect("curing_cycles", pk)


def _list(
    request: HttpRequest, one: Organisation, form: CycleForm, status: int = 200, refusal: str = ""
) -> HttpResponse:
    context = {
        "page_title": "Curing cycles",
        "organisation": one,
        "rows": [_shown(row) for row in curing_cycles.last_editions(one)],
        "read_of": curing_view.read_of(),
        "form": form,
        "opened": form.is_bound or bool(form["material"].value()),
        "refusal": refusal,
    }
    return render(request, "processing/cycles.html", context, status=status)


def _shown(row: CuringCycle) -> dict[str, Any]:
    cycle = curing_cycles.as_cycle(row)
    return {
        "row": row,
        "parts": curing.in_words(cycle),
        "whole": curing_view.whole_words(cycle),
        "boiling": curing_cycles.begins_boiling(cycle),
    }


@require_http_methods(["GET", "POST"])
def cycle(request: HttpRequest, pk: int) -> HttpResponse:
    """One cycle with its editions; POST writes the next one."""
    user = person(request)
    row = get_object_or_404(
        CuringCycle.objects.select_related("laboratory", "by"),
        pk=pk,
        laboratory__in=access.organisations(user),
    )
    one = laboratory_for(user, row.laboratory_id, curing_cycles.may_keep)
    editions = curing_cycles.editions(row)
    last = editions[0]
    if request.method == "GET":
        return _page(request, one, editions, CycleForm(row=last))
    form = CycleForm(request.POST, row=last)
    if not form.is_valid():
        return _page(request, one, editions, form, 422)
    if (form.cleaned_data["edition"] or 0) != last.edition:
        return _page(
            request,
            one,
            editions,
            CycleForm(row=last),
            409,
            refusal=f"{last.by} wrote edition {last.edition} while you had the cycle open. It "
            "stands in the boxes below: change it once more where it is still wrong.",
        )
    try:
        later = curing_cycles.change(
            row=last, by=user, values=form.values(), why=form.cleaned_data["why"]
        )
    except curing_cycles.Overtaken as told:
        return _page(request, one, editions, form, 409, refusal=str(told))
    except ValueError as asked:
        form.add_error("why", str(asked))
        return _page(request, one, editions, form, 422)
    messages.success(request, f"Edition {later.edition} is in force. Earlier records keep theirs.")
    return redirect("curing_cycle", later.pk)


def _page(
    request: HttpRequest,
    one: Organisation,
    editions: list[CuringCycle],
    form: CycleForm,
    status: int = 200,
    refusal: str = "",
) -> HttpResponse:
    last = editions[0]
    context = {
        "page_title": f"Cycle {last.name} of {last.material}",
        "organisation": one,
        "editions": [_shown(row) for row in editions],
        "form": form,
        "refusal": refusal,
        "url": reverse("curing_cycle", args=[last.pk]),
    }
    return render(request, "processing/cycle.html", context, status=status)
