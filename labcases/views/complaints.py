"""Complaints: those of a case, entering one, what is added to it, its paper, those of a house."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from labcases.domain import access
from labcases.domain import complaints as complaints_of
from labcases.domain.complaints import MAY, NotNow, Told
from labcases.enums.complaints import ComplaintAct
from labcases.forms.complaints import FORMS, ComplaintForm, EntryForm
from labcases.models import Case, Complaint, ComplaintEntry
from labcases.outputs import complaint_view
from labcases.outputs.pdf import PdfOff
from labcases.pdf_support import pdf_problem
from labcases.reference import vigilance
from labcases.views import _sent
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, number_of, person
from labcases.views._striking import strike_line
from labcases.views.organisation import organisation_for

ENTER = "enter a complaint"
TITLE = "Complaints"


@require_safe
def complaints(request: HttpRequest, code: str) -> HttpResponse:
    """What was told of the denture of a case, the newest first."""
    case = case_for(request, code)
    head = head_context(case, person(request))
    context = {
        **head,
        "page_title": TITLE,
        "lines": [complaint_view.line(one) for one in complaints_of.of_case(case)],
        "can_enter": ENTER in head["acts"],
        "caution": vigilance.caution(),
    }
    return render(request, "complaints/complaints.html", context)


@require_http_methods(["GET", "POST"])
def complaint_new(request: HttpRequest, code: str) -> HttpResponse:
    """Enter one; a lot or a report of what went wrong may come along in the address."""
    case = case_for(request, code, ENTER)
    user = person(request)
    reports = [row for row in case.incidents.all() if row.struck_at is None]
    form = ComplaintForm(
        request.POST if request.method == "POST" else None,
        incidents_here=reports,
        left_on=complaints_of.left_on(case),
        initial={
            "lot_named": request.GET.get("lot", "")[:120],
            "about": "material" if request.GET.get("lot") else "denture",
            "hangs_on": request.GET.get("incident", ""),
        },
    )
    if form.is_valid():
        row = complaints_of.enter(case=case, by=user, values=form.values())
        messages.success(request, "The complaint is entered. Below stands whom to tell of it.")
        return redirect("complaint", case.code, row.pk)
    context = {
        **head_context(case, user),
        "page_title": "Enter a complaint",
        "form": form,
        "definitions": vigilance.definitions(),
        "caution": vigilance.caution(),
    }
    return render(request, "complaints/new.html", context, status=422 if form.is_bound else 200)


@require_http_methods(["GET", "POST"])
def complaint(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """One complaint with all that was said of it, and whom to tell; POST adds an entry."""
    case = acting_case(request, code, ENTER)
    one = _one(case, pk)
    if request.method == "GET":
        return _page(request, case, one)
    named = request.POST.get("entry", "")
    if named not in {str(act) for act in FORMS}:
        return _page(request, case, one, 422, refusal="Choose what was done, then fill its boxes.")
    act = ComplaintAct(named)
    if not access.may(person(request), MAY[act], case):
        raise PermissionDenied
    form = FORMS[act](request.POST)
    if not form.is_valid():
        return _page(request, case, one, 422, form=form)
    try:
        complaints_of.add(complaint=one.row, by=person(request), values=form.values())
    except NotNow as refused:
        return _page(request, case, _one(case, pk), 409, form=form, refusal=str(refused))
    messages.success(request, f"Written: {act.label.lower()}.")
    return redirect("complaint", case.code, pk)


@require_POST
def complaint_strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Strike a complaint out; it stays readable with the reason beside it."""
    case = acting_case(request, code, ENTER)
    return _strike(request, case, _one(case, pk).row, pk, key=0)


@require_POST
def complaint_entry_strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """The same for one entry of a complaint."""
    case = acting_case(request, code, ENTER)
    row = get_object_or_404(ComplaintEntry, pk=number_of(str(pk)) or 0, complaint__case=case)
    return _strike(request, case, row, row.complaint_id, key=pk)


def _strike(
    request: HttpRequest, case: Case, row: Complaint | ComplaintEntry, of: int, *, key: int
) -> HttpResponse:
    if not complaints_of.may_strike(person(request), row):
        raise PermissionDenied

    def page(request: HttpRequest, case: Case, status: int, **more: Any) -> HttpResponse:
        return _page(request, case, _one(case, of), status, **more)

    return strike_line(
        request,
        case,
        row,
        verb=complaints_of.strike,
        page=page,
        then="complaint",
        key=key,
        what="entry" if key else "complaint",
        there=(of,),
    )


@require_safe
def complaint_pdf(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """The paper for outsiders; the page says so where this machine cannot make one."""
    case = case_for(request, code, "print")
    one = _one(case, pk)
    try:
        document = complaint_view.pdf(one, by=person(request))
    except PdfOff:
        return _page(request, case, one, 503)
    return _sent.paper(document, f"complaint-{case.code}-{pk}.pdf")


@require_safe
def complaints_of_house(request: HttpRequest, pk: int) -> HttpResponse:
    """Every complaint of the cases of a house, open ones first."""
    user = person(request)
    one = organisation_for(user, pk)
    found = complaints_of.of_house(user, one)
    context = {
        "page_title": TITLE,
        "organisation": one,
        "lines": [complaint_view.line(told) for told in found],
        "counted": sum(not told.struck for told in found),
        "opened": sum(not told.closed for told in found),
        "grave": sum(told.grave and not told.closed for told in found),
        "caution": vigilance.caution(),
    }
    return render(request, "complaints/house.html", context)


def _one(case: Case, pk: int) -> Told:
    rows = case.complaints.select_related(
        "by", "struck_by", "statement", "incident", "case__office", "case__laboratory"
    )
    return complaints_of.told(
        get_object_or_404(
            rows.prefetch_related("entries__by", "entries__struck_by"), pk=number_of(str(pk)) or 0
        )
    )


def _page(
    request: HttpRequest,
    case: Case,
    one: Told,
    status: int = 200,
    *,
    form: EntryForm | None = None,
    **more: Any,
) -> HttpResponse:
    head = head_context(case, person(request))
    user = person(request)
    fitting = {ComplaintAct.TOLD} | (
        {ComplaintAct.AGAIN} if one.closed else {ComplaintAct.LOOKED, ComplaintAct.CLOSED}
    )
    forms = [
        form if form and form.act == act else made()
        for act, made in FORMS.items()
        if not one.struck
        and MAY[act] in head["acts"]
        and (act in fitting or (form and form.act == act))
    ]
    context = {
        **head,
        "page_title": "Complaint",
        **complaint_view.build_context(one),
        "form": form,
        "forms": forms,
        "pdf_problem": pdf_problem(),
        "may_strike": not one.struck and complaints_of.may_strike(user, one.row),
        "strikable": {
            row.pk for row in one.entries if not one.struck and complaints_of.may_strike(user, row)
        },
        **more,
    }
    return render(request, "complaints/complaint.html", context, status=status)
