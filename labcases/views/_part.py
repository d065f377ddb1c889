"""One page, one part of a case: show, save, or show both values of a conflict."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from django.contrib import messages
from django.db import models
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from labcases.domain.versions import EditConflict
from labcases.forms.base import PartForm
from labcases.models import Case, User
from labcases.views import _conflict
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, person


@dataclass(frozen=True)
class Part:
    """What differs between the pages of a case's parts.

    ``row_of`` gives the stored row or a new one, ``save`` is the domain verb, ``beside``
    adds what the template shows beside the form.
    """

    title: str
    act: str
    form: type[PartForm]
    row_of: Callable[[Case], models.Model]
    save: Callable[..., Any]
    template: str
    then: str = "case"
    saved: str = "Saved."
    beside: Callable[[Case, User], Mapping[str, Any]] = field(default=lambda _case, _user: {})
    readable: Callable[[_conflict.Row, Any, Any], _conflict.Row] | None = None
    """How both values of a column without a box of its own are read."""


def part_page(request: HttpRequest, code: str, part: Part) -> HttpResponse:
    """Show a part to everybody who sees the case; save it for those who may."""
    case = acting_case(request, code, part.act)
    user = person(request)
    conflict: _conflict.Conflict | None = None
    status = 200
    if request.method == "POST":
        form = part.form(request.POST, instance=part.row_of(case))
        if form.is_valid():
            try:
                part.save(case=case, version=form.started_from, by=user, values=form.values())
            except EditConflict as found:
                conflict = _both(part, form, found)
                status = 409
                form.show_stored(found.stored.version)
                case = acting_case(request, code, part.act)
            else:
                messages.success(request, part.saved)
                return redirect(part.then, case.code)
        else:
            status = 422
            case = acting_case(request, code, part.act)
    else:
        form = part.form(instance=part.row_of(case))
    head = head_context(case, user)
    context = {
        **head,
        "part": part,
        "title": part.title,
        "page_title": part.title,
        "form": form,
        "conflict": conflict,
        "can_edit": part.act in head["acts"],
        **part.beside(case, user),
    }
    return render(request, part.template, context, status=status)


def _both(part: Part, form: PartForm, found: EditConflict) -> _conflict.Conflict:
    """Both values of each field; of a column with several boxes in words of its own."""
    shown = _conflict.shown(found, {**form.fields, **dict.fromkeys(form.together)})
    if part.readable is None:
        return shown
    return replace(
        shown,
        rows=[
            part.readable(row, found.yours[row.name], getattr(found.stored, row.name))
            if row.name in form.together
            else row
            for row in shown.rows
        ],
    )
