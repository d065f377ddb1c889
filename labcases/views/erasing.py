"""Erasure: the request, what is kept of a restricted case, and the register of a house."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from labcases import codes
from labcases.domain import erasing, lots, retention
from labcases.domain.erasing import NotErased
from labcases.enums import PaperKind
from labcases.forms.erasing import ErasureForm
from labcases.models import Case, Erasure
from labcases.outputs.papers import PAPERS
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person
from labcases.views.organisation import organisation_for

STATEMENT = next(slug for slug, one in PAPERS.items() if one.kind == PaperKind.STATEMENT)


@require_http_methods(["GET", "POST"])
def erasure(request: HttpRequest, code: str) -> HttpResponse:
    """The request for erasure; of a restricted case, what is kept and why."""
    case = case_for(request, code)
    if case.restricted:
        return _kept(request, case)
    may = erasing.may_ask(person(request), case)
    if request.method == "GET":
        return _page(request, case, ErasureForm() if may else None)
    if not may:
        raise PermissionDenied
    form = ErasureForm(request.POST)
    if not form.is_valid():
        return _page(request, case, form, 422)
    told = form.cleaned_data
    try:
        pseudonym, rows = erasing.ask(
            case=case,
            by=person(request),
            asked_by=told["asker"],
            asked_on=told["day"],
            read_code=told["read_code"],
        )
    except NotErased as refused:
        return _page(request, case, form, 422, refusal=str(refused))
    many = "1 case is" if len(rows) == 1 else f"{len(rows)} cases are"
    messages.success(request, f"{many} restricted. The patient stands here as {pseudonym} now.")
    return redirect("erasure", case.code)


def _page(
    request: HttpRequest,
    case: Case,
    form: ErasureForm | None,
    status: int = 200,
    *,
    refusal: str = "",
) -> HttpResponse:
    context = {
        **head_context(case, person(request)),
        "page_title": "Erase a patient's data",
        "form": form,
        "refusal": refusal,
        "kept_words": retention.in_words(case),
        "cases": erasing.cases_of(case.patient),
        "still_open": erasing.still_open(case.patient),
    }
    return render(request, "erasing/ask.html", context, status=status)


def _kept(request: HttpRequest, case: Case) -> HttpResponse:
    """What there still is to read of a restricted case: what the law wants, and for a recall."""
    row = erasing.of_case(case)
    report = getattr(case, "delivery", None)
    context: dict[str, Any] = {
        "case": case,
        "page_title": f"Case {codes.grouped(case.code)}, restricted",
        "row": row,
        "why": erasing.why(row) if row else "",
        "order": case.prescription,
        "delivered_on": report.delivered_on if report else None,
        "lots": lots.at_release(case),
        "statement": STATEMENT if case.statements.filter(struck_at__isnull=True).exists() else "",
        "entries": erasing.done(case),
    }
    return render(request, "erasing/kept.html", context)


@require_safe
def register(request: HttpRequest, pk: int) -> HttpResponse:
    """Every case of a house for which erasure was asked: code, dates and the reason."""
    one = organisation_for(person(request), pk)
    rows = Erasure.objects.filter(Q(case__office=one) | Q(case__laboratory=one))
    context = {
        "page_title": f"Erasures at {one}",
        "organisation": one,
        "rows": [
            (row, codes.grouped(row.case.code), erasing.why(row))
            for row in rows.select_related("case", "by")
        ],
    }
    return render(request, "erasing/register.html", context)
