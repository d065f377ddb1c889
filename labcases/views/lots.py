"""Where a lot went: every case of a laboratory that used it, as a page, a file and a paper."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from labcases.domain import access, complaints, lots
from labcases.domain.lots import Trace
from labcases.forms.lots import TraceForm
from labcases.models import Organisation, User
from labcases.outputs import lot_trace
from labcases.outputs.pdf import PdfOff
from labcases.pdf_support import pdf_problem
from labcases.views import _sent
from labcases.views._lookup import person
from labcases.views.organisation import laboratory_for


def _may_trace(user: User, one: Organisation) -> bool:
    return access.may_in(user, "trace lots", one)


@require_safe
def trace(request: HttpRequest, pk: int) -> HttpResponse:
    """The page: a box for the lot, and every case that it went into."""
    one = laboratory_for(person(request), pk, _may_trace)
    return _page(request, one)


def _page(request: HttpRequest, one: Organisation, status: int = 200) -> HttpResponse:
    form = TraceForm(request.GET if "lot" in request.GET else None)
    found = lots.trace(one, form.cleaned_data["lot"]) if form.is_valid() else None
    context = {
        "page_title": "Lot trace",
        "organisation": one,
        "form": form,
        "trace": found,
        "rows": _with_complaints(lot_trace.rows(found)) if found else [],
        "near": _with_complaints(lot_trace.near(found)) if found else [],
        "summary": lot_trace.summary(found) if found else "",
        "pdf_problem": pdf_problem(),
    }
    return render(request, "lots/trace.html", context, status=422 if form.errors else status)


def _with_complaints(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The rows, with how many complaints their case has; nothing is asked for no rows."""
    counted = complaints.by_case({row["case"].pk for row in rows}) if rows else {}
    return [{**row, "complaints": counted.get(row["case"].pk, 0)} for row in rows]


@require_safe
def trace_csv(request: HttpRequest, pk: int) -> HttpResponse:
    """The same rows as a file: office, case code and patient code, never a name."""
    one = laboratory_for(person(request), pk, _may_trace)
    found = _asked(request, one)
    if found is None:
        return _page(request, one, 422)
    return _sent.table(lot_trace.content(found), f"{_name(found)}.csv")


@require_safe
def trace_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The same rows as a paper; a page that says so when this machine cannot make one."""
    user = person(request)
    one = laboratory_for(user, pk, _may_trace)
    found = _asked(request, one)
    if found is None:
        return _page(request, one, 422)
    try:
        document = lot_trace.pdf(one, found, by=user)
    except PdfOff:
        return _page(request, one, 503)
    return _sent.paper(document, f"{_name(found)}.pdf")


def _asked(request: HttpRequest, one: Organisation) -> Trace | None:
    form = TraceForm(request.GET)
    return lots.trace(one, form.cleaned_data["lot"]) if form.is_valid() else None


def _name(found: Trace) -> str:
    """A file name of letters and figures alone, whatever the label holds."""
    plain = "".join(c for c in lots.squeezed(found.lot) if c.isascii() and c.isalnum())
    return f"lot-{plain or 'trace'}-{timezone.localdate():%Y-%m-%d}"
