"""The device statement: what the chosen places ask, drawn up before the denture leaves."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import device_statement
from labcases.domain.device_statement import NotDrawnUp
from labcases.domain.striking import AlreadyStruck
from labcases.forms.setup import StrikeForm
from labcases.forms.statement import StatementForm
from labcases.models import Case, DeviceStatement
from labcases.outputs import statement_sheet
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, person

DRAW_UP = "bench work"


@require_http_methods(["GET", "POST"])
def statement(request: HttpRequest, code: str) -> HttpResponse:
    """Show what stands; POST draws a statement up for the revision in force."""
    case = acting_case(request, code, DRAW_UP)
    if request.method == "GET":
        return _page(request, case)
    form = StatementForm(request.POST, case=case)
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    try:
        device_statement.draw_up(case=case, by=person(request), values=form.cleaned_data)
    except NotDrawnUp as refused:
        return _page(request, case, 422, form=form, refusal=str(refused))
    messages.success(request, "The statement is drawn up. Print it with the papers of the case.")
    return redirect("statement", case.code)


@require_POST
def strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Strike a statement out; it stays readable with the reason beside it."""
    case = case_for(request, code, DRAW_UP)
    row = get_object_or_404(DeviceStatement, pk=pk, case=case)
    form = StrikeForm(request.POST, auto_id=f"id_strike{row.pk}_%s")
    if not form.is_valid():
        return _page(request, case, 422, refusal=str(form.errors["reason"][0]))
    try:
        device_statement.strike(row=row, reason=form.cleaned_data["reason"], by=person(request))
    except AlreadyStruck as refused:
        return _page(request, case, 409, refusal=str(refused))
    messages.success(request, "The statement is struck out. It stays readable below.")
    return redirect("statement", case.code)


def _page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: StatementForm | None = None,
    **more: Any,
) -> HttpResponse:
    context = {
        **head_context(case, person(request)),
        "page_title": "Device statement",
        **statement_sheet.told(case),
        "struck": list(
            case.statements.filter(struck_at__isnull=False).select_related("by", "struck_by")
        ),
        "form": form or StatementForm(case=case),
        **more,
    }
    context["can_edit"] = DRAW_UP in context["acts"]
    return render(request, "statement/statement.html", context, status=status)
