"""Holding marks of foil against the prediction, and deciding about what would explain them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from labcases.domain import explaining
from labcases.domain.calculations import CannotCompute
from labcases.domain.explaining import NotDecided
from labcases.domain.gates import Missing
from labcases.domain.proposing import NotProposable
from labcases.domain.versions import EditConflict
from labcases.enums.marks import Decision
from labcases.forms.passes import LeaveForm
from labcases.models import Case, MarksCompared
from labcases.views._lookup import case_for, person
from labcases.views._refusal import listed
from labcases.views.passes import CORRECT, LOG, tap_page


@require_POST
def compare(request: HttpRequest, code: str) -> HttpResponse:
    """Ask the engine once and keep what it says."""
    case = case_for(request, code, LOG)
    try:
        explaining.compare(case=case, by=person(request))
    except CannotCompute as refused:
        return tap_page(
            request,
            case,
            422,
            refusal=str(refused),
            refusal_items=listed(case, [Missing("", refused.part, refused.field)]),
        )
    messages.success(request, "The marks are held against the prediction.")
    return _to_section(case)


@require_POST
def adopt(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Let the case follow the change, or propose it to the dentist."""
    case = case_for(request, code, LOG)
    try:
        run = explaining.adopt(run=_run(case, pk), by=person(request))
    except (NotDecided, NotProposable) as refused:
        return tap_page(request, case, 422, refusal=str(refused))
    except EditConflict as refused:
        return tap_page(request, case, 409, refusal=str(refused))
    if run.decision == Decision.PROPOSED and run.proposal is not None:
        messages.success(request, f"Proposed to the dentist: proposal {run.proposal.number}.")
        return redirect("proposal", case.code, run.proposal.pk)
    messages.success(request, "Adopted. Compare again after the next pass.")
    return _to_section(case)


@require_POST
def leave(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Say why the change is not followed."""
    case = case_for(request, code, LOG)
    run = _run(case, pk)
    form = LeaveForm(request.POST, auto_id="id_leave_%s")
    if not form.is_valid():
        return tap_page(request, case, 422, leave_form=form, refusal=CORRECT, refusal_form=form)
    try:
        explaining.leave(run=run, reason=form.cleaned_data["reason"], by=person(request))
    except NotDecided as refused:
        return tap_page(request, case, 409, leave_form=form, refusal=str(refused))
    messages.success(request, "Left, with the reason.")
    return _to_section(case)


def _run(case: Case, pk: int) -> MarksCompared:
    return get_object_or_404(MarksCompared, pk=pk, case=case)


def _to_section(case: Case) -> HttpResponse:
    return redirect(f"{reverse('passes', args=[case.code])}#compared")
