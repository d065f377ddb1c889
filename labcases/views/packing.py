"""Packing a box: what goes in, and how it was disinfected."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from labcases.domain import box as box_verbs
from labcases.domain import gates
from labcases.domain.versions import EditConflict
from labcases.enums import BoxDirection
from labcases.forms.boxes import BoxForm, ItemFormSet, stored_items
from labcases.models import Box, BoxItem, Case
from labcases.reference.disinfection import listed_agents
from labcases.views import _conflict
from labcases.views._boxes import box_for, list_page
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person


@require_http_methods(["GET", "POST"])
def box_new(request: HttpRequest, code: str) -> HttpResponse:
    """Pack a box to the other house."""
    case = case_for(request, code, "pack a box")
    return _pack(request, case, None)


@require_http_methods(["GET", "POST"])
def box(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Pack a box again while it is here; look at it afterwards."""
    case = case_for(request, code)
    row = box_for(case, pk)
    may_send = row.direction in box_verbs.ways_of(person(request), case)
    if request.method == "POST" and not may_send:
        raise PermissionDenied
    if not may_send or (row.sent_at and request.method == "GET"):
        return redirect("boxes", case.code)
    return _pack(request, case, row)


def _pack(request: HttpRequest, case: Case, row: Box | None) -> HttpResponse:
    user = person(request)
    ways = box_verbs.ways_of(user, case)
    if request.method == "GET":
        form = BoxForm(ways=ways, box=row)
        return _pack_page(request, case, row, form, _stored_formset(row))
    form = BoxForm(request.POST, ways=ways, box=row)
    contents = ItemFormSet(request.POST)
    keep_stored = row is not None and request.POST.get("keep-contents") == "stored"
    if not form.is_valid() or not (keep_stored or contents.is_valid()):
        contents.is_valid()
        return _pack_page(request, case, row, form, contents, status=422)
    if row is None and form.way not in ways:
        raise PermissionDenied
    rows = stored_items(row) if row is not None and keep_stored else contents.rows()
    try:
        saved = box_verbs.save(
            case=case,
            box=row,
            version=form.cleaned_data["version"],
            direction=form.way,
            courier=form.cleaned_data["courier"],
            tracking=form.cleaned_data["tracking"],
            items=rows,
            by=user,
        )
    except box_verbs.AlreadyMoved as refused:
        return list_page(request, case, status=409, refusal=str(refused))
    except EditConflict as found:
        form.show_stored(found.stored.version)
        conflict = _both_contents(found, form, rows)
        return _pack_page(request, case, row, form, contents, status=409, conflict=conflict)
    _say_packed(request, saved)
    return redirect("boxes", case.code)


def _stored_formset(row: Box | None) -> Any:
    return ItemFormSet(initial=stored_items(row) if row else [])


def _both_contents(
    found: EditConflict, form: BoxForm, rows: list[dict[str, Any]]
) -> _conflict.Conflict:
    """The courier and the contents as typed and as stored."""
    stored = Box.objects.get(pk=found.stored.pk)
    conflict = _conflict.shown(found, form.fields)
    yours = ", ".join(str(BoxItem(**item)) for item in rows)
    theirs = ", ".join(str(item) for item in stored.items.all())
    conflict.rows.append(_conflict.Row("contents", "Contents", yours, theirs))
    return conflict


def _say_packed(request: HttpRequest, row: Box) -> None:
    open_points = list(gates.box_may_leave(row))
    if open_points:
        messages.warning(request, f"The box is packed but may not leave yet. {open_points[0].text}")
    else:
        messages.success(request, "The box is packed and ready to leave.")


def _pack_page(
    request: HttpRequest,
    case: Case,
    row: Box | None,
    form: BoxForm,
    contents: Any,
    *,
    status: int = 200,
    conflict: _conflict.Conflict | None = None,
) -> HttpResponse:
    context = {
        **head_context(case, person(request)),
        "page_title": "Pack the box again" if row else "Pack a box",
        "box": row,
        "way": BoxDirection(form.only_way).label.lower() if form.only_way else "",
        "form": form,
        "contents": contents,
        "conflict": conflict,
        "agents": listed_agents(),
    }
    return render(request, "boxes/pack.html", context, status=status)
