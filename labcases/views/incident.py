"""What is done about one report: closing it, striking it out, reading again whose case it is."""

from __future__ import annotations

from collections.abc import Callable

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from labcases.domain import identity
from labcases.domain import incident as incidents_of
from labcases.domain.striking import AlreadyStruck
from labcases.forms.incidents import CloseForm, IdentityForm, StrikeForm
from labcases.models import Case, Incident
from labcases.views._incident_lines import Tried
from labcases.views._lookup import case_for, person
from labcases.views.incidents import page


@require_POST
def incident_close(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Close a report with what was done."""
    case = case_for(request, code, "close an incident")
    row = get_object_or_404(Incident, pk=pk, case=case)
    form = CloseForm(request.POST, auto_id=_ids(row))

    def close() -> None:
        incidents_of.close(incident=row, done=form.cleaned_data["done"], by=person(request))

    return _do(request, case, row, form, close, "The report is closed.")


@require_POST
def incident_strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Strike out a report that was wrong; what it took back stays taken back."""
    case = case_for(request, code)
    row = get_object_or_404(Incident, pk=pk, case=case)
    if not row.struck_at and not incidents_of.may_strike(person(request), row):
        raise PermissionDenied
    form = StrikeForm(request.POST, auto_id=_ids(row))

    def strike() -> None:
        incidents_of.strike(incident=row, reason=form.cleaned_data["reason"], by=person(request))

    done = "The report is struck out. What it took back stays taken back."
    return _do(request, case, row, form, strike, done)


@require_POST
def incident_identity(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Say that both identifiers were read again, and what was read."""
    case = case_for(request, code, "confirm the patient")
    row = get_object_or_404(Incident, pk=pk, case=case)
    form = IdentityForm(request.POST, auto_id=_ids(row))

    def confirm() -> None:
        identity.confirm(
            incident=row,
            case_code=form.cleaned_data["case_code"],
            patient_code=form.cleaned_data["patient_code"],
            by=person(request),
        )

    return _do(request, case, row, form, confirm, "Both codes are confirmed by you.")


def _ids(row: Incident) -> str:
    return f"id_%s_{row.pk}"


def _do(
    request: HttpRequest,
    case: Case,
    row: Incident,
    form: forms.Form,
    act: Callable[[], None],
    done: str,
) -> HttpResponse:
    """Do it, or show the page again with what was typed and why it was refused."""
    tried = Tried(row.pk, form)
    if not form.is_valid():
        return page(request, case, status=422, tried=tried, refused=form)
    try:
        act()
    except (incidents_of.NotReportable, identity.OtherIdentifiers, ValueError) as refused:
        return page(request, case, status=422, tried=tried, refusal=str(refused))
    except (incidents_of.AlreadyClosed, AlreadyStruck, identity.LookedAlready) as refused:
        return page(request, case, status=409, tried=tried, refusal=str(refused))
    messages.success(request, done)
    return redirect("incidents", case.code)
