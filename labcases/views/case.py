"""The page of a case: what is next, and its parts; and the small acts on the case itself."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db.models import prefetch_related_objects
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from labcases.domain import access, calendars, disinfecting, on_paper, queries, stages
from labcases.domain import case as cases
from labcases.domain import incident_reading as incidents
from labcases.domain import question as questions
from labcases.domain.inventory import inventory
from labcases.domain.versions import EditConflict
from labcases.enums import Stage
from labcases.forms.case import HoldForm, MoveForm, TrayForm
from labcases.models import Case, User
from labcases.outputs import progress_view
from labcases.views import _conflict
from labcases.views._folded import Part
from labcases.views._head import head_context
from labcases.views._lookup import case_for, notation_for, person
from labcases.views._refusal import listed
from labcases.views._rest import rest_of
from labcases.views._sentences import sentence
from labcases.views._summary import parts_of
from labcases.views._ways import moved_words, offers

CORRECT = "Please correct this"


@require_safe
def case(request: HttpRequest, code: str) -> HttpResponse:
    return _page(request, case_for(request, code))


@require_POST
def case_move(request: HttpRequest, code: str) -> HttpResponse:
    """Bring the case to another stage, from the one that the person had on the page."""
    row = case_for(request, code)
    form = MoveForm.posted(request.POST)
    if not form.is_valid():
        return _page(request, row, status=422, refusal=CORRECT, refusal_form=form, tried=form)
    to = Stage(form.cleaned_data["to"])
    seen = form.cleaned_data["seen"]
    came_from = Stage(row.stage)
    try:
        stages.move(
            case=row,
            to=to,
            by=person(request),
            reason=form.cleaned_data["reason"],
            seen=Stage(seen) if seen else None,
        )
    except stages.NotAllowed as refused:
        raise PermissionDenied(str(refused)) from refused
    except stages.SomebodyWasFaster as refused:
        return _moved_on(request, code, str(refused))
    except stages.Refused as refused:
        fresh = case_for(request, code)
        _ask_for_reason(form, refused, access.acts(person(request), fresh))
        return _page(
            request,
            fresh,
            status=422,
            refusal=str(refused),
            refusal_items=listed(fresh, refused.items),
            refusal_form=form,
            tried=form,
        )
    messages.success(request, moved_words(came_from, to))
    return redirect("case", row.code)


@require_POST
def case_hold(request: HttpRequest, code: str) -> HttpResponse:
    row = case_for(request, code, "hold a case")
    form = HoldForm(request.POST)
    if not form.is_valid():
        return _page(request, row, status=422, refusal=CORRECT, refusal_form=form, hold_form=form)
    cases.hold(case=row, reason=form.cleaned_data["reason"], by=person(request))
    messages.success(request, "The case is on hold. It goes nowhere until it is taken off.")
    return redirect("case", row.code)


@require_POST
def case_resume(request: HttpRequest, code: str) -> HttpResponse:
    row = case_for(request, code, "hold a case")
    try:
        cases.resume(case=row, by=person(request))
    except cases.StillFrozen as refused:
        return _page(request, row, status=422, refusal=str(refused))
    messages.success(request, "The case is off hold.")
    return redirect("case", row.code)


@require_POST
def case_tray(request: HttpRequest, code: str) -> HttpResponse:
    """Say in which tray the case lies."""
    row = case_for(request, code, "bench work")
    form = TrayForm(request.POST, case=row)
    if not form.is_valid():
        return _page(request, row, status=422, refusal=CORRECT, refusal_form=form, tray_form=form)
    try:
        cases.set_tray_number(
            case=row,
            version=form.cleaned_data["version"],
            tray_number=form.cleaned_data["tray_number"],
            by=person(request),
        )
    except EditConflict as found:
        form.show_stored(found.stored.version)
        return _page(
            request,
            row,
            status=409,
            tray_form=form,
            conflict=_conflict.shown(found, form.fields),
        )
    messages.success(request, "The tray number is saved.")
    return redirect("case", row.code)


def _ask_for_reason(form: MoveForm, refused: stages.Refused, held: frozenset[str]) -> None:
    """Say at the field that only the reason is lacking, to those who may go on with one."""
    may_pass = refused.items and all(item.passable in held for item in refused.items)
    if may_pass and not form.cleaned_data["reason"].strip():
        form.add_error("reason", "Give the reason for going on without what is listed.")


def _moved_on(request: HttpRequest, code: str, text: str) -> HttpResponse:
    """Somebody else moved the case first: say who, when and where to."""
    row = case_for(request, code)
    happened = row.history.filter(part="stage").select_related("by").order_by("-pk")[:3]
    context = {
        **head_context(row, person(request)),
        "page_title": "Somebody was faster",
        "text": text,
        "entries": [{"at": entry.at, "text": sentence(entry)} for entry in happened],
    }
    return render(request, "case/moved_on.html", context, status=409)


def _parts(row: Case, user: User, told: int) -> list[Part]:
    """Every part; questions and incidents also say how much of them is new to this person."""
    fresh = {"questions": questions.unread(user, [row]).get(row.pk, 0), "incidents": told}
    return [replace(one, fresh=fresh.get(one.id, one.fresh)) for one in parts_of(row)]


def _page(
    request: HttpRequest,
    row: Case,
    *,
    status: int = 200,
    tried: MoveForm | None = None,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    calendars.fetch([row])
    calendars.fetch_road(row)
    prefetch_related_objects([row], "incidents__by", "incidents__cast")
    head = head_context(row, user)
    told = incidents.unread(user, row)
    context = {
        **head,
        "page_title": f"Case {head['head']['code']}",
        "offers": offers(row, user, tried),
        "told": told,
        "rest": rest_of(row),
        "parts": _parts(row, user, len(told)),
        "inventory": inventory(disinfecting.with_items(row.boxes.all())),
        "plan": queries.plan_of(row),
        "open_papers": on_paper.waiting(row),
        "small_glance": progress_view.small(row, notation_for(user, row)),
        "hold_form": HoldForm(),
        "tray_form": TrayForm(case=row),
        **more,
    }
    return render(request, "case/case.html", context, status=status)
