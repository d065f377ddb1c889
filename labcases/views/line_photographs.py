"""Photographs of one line of the set-up log: bind one that is there, or add one."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from labcases.domain import access, files, line_photographs
from labcases.domain.line_photographs import NotBound
from labcases.forms.files import AttachmentForm
from labcases.forms.line_photographs import BindForm
from labcases.models import Case, SetUpEntry
from labcases.outputs import setup_view
from labcases.views._head import bench_context
from labcases.views._lookup import acting_case, notation_for, person

LOG = "bench work"


@require_http_methods(["GET", "POST"])
def photographs(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Show the photographs of a line; POST binds one of the case, or adds one and binds it."""
    case = acting_case(request, code, LOG)
    entry = get_object_or_404(SetUpEntry, pk=pk, case=case)
    if request.method == "GET":
        return _page(request, case, entry)
    if request.POST.get("what") == BindForm.what:
        return _bind(request, case, entry)
    form = AttachmentForm(request.POST, request.FILES, of_office=_of_office(request, case))
    if not form.is_valid():
        return _page(request, case, entry, 422, adding=form)
    try:
        line_photographs.add(entry=entry, by=person(request), values=form.values())
    except files.NotAccepted as refused:
        form.add_error("upload", str(refused))
        return _page(request, case, entry, 422, adding=form)
    except NotBound as refused:
        form.add_error("what", str(refused))
        return _page(request, case, entry, 422, adding=form)
    messages.success(request, "The photograph is added and stands at the line.")
    return redirect("line_photographs", case.code, entry.pk)


def _bind(request: HttpRequest, case: Case, entry: SetUpEntry) -> HttpResponse:
    user = person(request)
    form = BindForm(request.POST, offered=line_photographs.to_choose(entry, user))
    if not form.is_valid():
        return _page(request, case, entry, 422, binding=form)
    try:
        line_photographs.bind(entry=entry, photograph=form.chosen, by=user)
    except NotBound as refused:
        return _page(request, case, entry, 409, refusal=str(refused))
    messages.success(request, "The photograph stands at the line.")
    return redirect("line_photographs", case.code, entry.pk)


def _of_office(request: HttpRequest, case: Case) -> bool:
    return bool(access.positions(person(request), case) & access.OFFICE)


def _page(
    request: HttpRequest,
    case: Case,
    entry: SetUpEntry,
    status: int = 200,
    *,
    binding: BindForm | None = None,
    adding: AttachmentForm | None = None,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    held = access.positions(user, case)
    shown = entry.photographs.select_related("photograph", "by")
    offered = line_photographs.to_choose(entry, user)
    context = {
        **bench_context(case, user),
        "page_title": "Photographs of a line",
        "entry": entry,
        "line": setup_view.in_words(entry, notation_for(user, case)),
        "shown": [row for row in shown if files.may_see(user, row.photograph, held)],
        "binding": binding or (BindForm(offered=offered) if offered else None),
        "adding": adding or AttachmentForm(of_office=_of_office(request, case)),
        "refused_form": binding or adding,
        **more,
    }
    context["can_edit"] = LOG in context["acts"] and entry.struck_at is None
    return render(request, "setup/photographs.html", context, status=status)
