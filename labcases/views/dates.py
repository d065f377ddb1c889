"""The surgery day, what is planned back from it, and the dates beside it."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import (
    calendars,
    chance_reading,
    date_moves,
    holder,
    moving,
    pairs,
    schedule,
    stages,
)
from labcases.domain import case as cases
from labcases.domain.queries import Line
from labcases.domain.versions import EditConflict
from labcases.enums import Route
from labcases.enums.dates import Step
from labcases.forms.dates import AppointmentForm, ConfirmForm, MoveForm, SurgeryForm
from labcases.models import Appointment, Case
from labcases.views import _conflict
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, person

# Two forms stand on the page; their fields keep apart by this.
NEW_ID = "id_new_%s"


@require_http_methods(["GET", "POST"])
def dates(request: HttpRequest, code: str) -> HttpResponse:
    """All dates of a case; POST moves the surgery day."""
    case = acting_case(request, code, "book dates")
    if request.method == "GET":
        return _page(request, case)
    form = SurgeryForm(request.POST, case=case)
    if not form.is_valid():
        return _page(request, case, status=422, form=form)
    try:
        cases.set_surgery(
            case=case,
            version=form.cleaned_data["version"],
            on=form.cleaned_data["surgery_on"],
            by=person(request),
        )
    except EditConflict as found:
        form.show_stored(found.stored.version)
        return _page(
            request,
            case,
            status=409,
            form=form,
            conflict=_conflict.shown(found, form.fields),
        )
    both = _both(case)
    messages.success(request, f"The surgery day is saved{both}. The dates below follow it.")
    return redirect("dates", case.code)


@require_POST
def dates_confirm(request: HttpRequest, code: str) -> HttpResponse:
    """The dentist confirms the surgery day that stood on the page."""
    case = case_for(request, code, "confirm surgery")
    form = ConfirmForm(request.POST)
    if not form.is_valid():
        return _page(request, case, status=422, refusal="Look at the day and confirm it again.")
    try:
        cases.confirm_surgery(case=case, version=form.cleaned_data["version"], by=person(request))
    except ValueError as refused:
        return _page(request, case, status=422, refusal=str(refused))
    except EditConflict as found:
        return _page(
            request,
            case,
            status=409,
            refusal=f"{found.stored.changed_by or 'Somebody else'} changed the case while you had "
            "it open. Read the day below and confirm it again.",
        )
    messages.success(request, f"The surgery day is confirmed{_both(case)}.")
    return redirect("dates", case.code)


def _both(case: Case) -> str:
    """Says that a linked case went along."""
    other = pairs.goes_along(case)
    return f", also of linked case {pairs.named(other)}" if other else ""


@require_POST
def appointment_new(request: HttpRequest, code: str) -> HttpResponse:
    """The office books a date; the laboratory proposes one."""
    case = case_for(request, code)
    proposes = _proposes(request, case, None)
    form = AppointmentForm(request.POST, case=case, proposes_only=proposes, auto_id=NEW_ID)
    if not form.is_valid():
        return _page(request, case, status=422, appointment_form=form)
    if "look" in request.POST:
        effects = _effects(case, None, form)
        return _page(request, case, appointment_form=form, effects=effects)
    if proposes:
        cases.propose_appointment(case=case, by=person(request), values=form.values())
        messages.success(request, "The date is proposed. The office books it.")
    else:
        cases.save_appointment(
            case=case, appointment=None, version=0, by=person(request), values=form.values()
        )
        messages.success(request, "The date is saved.")
    return redirect("dates", case.code)


@require_http_methods(["GET", "POST"])
def appointment(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Move, close or drop one date."""
    case = case_for(request, code)
    row = get_object_or_404(Appointment, pk=pk, case=case)
    can_edit = cases.may_change_appointment(person(request), case, row)
    if request.method == "GET":
        proposes = can_edit and _proposes(request, case, row)
        form = AppointmentForm(instance=row, case=case, proposes_only=proposes)
        return _appointment_page(request, case, row, form)
    form = AppointmentForm(
        request.POST, instance=row, case=case, proposes_only=_proposes(request, case, row)
    )
    if not form.is_valid():
        return _appointment_page(request, case, row, form, status=422)
    if "look" in request.POST:
        stored = Appointment.objects.get(pk=row.pk)
        effects = _effects(case, stored, form)
        return _appointment_page(request, case, row, form, effects=effects)
    try:
        cases.save_appointment(
            case=case,
            appointment=Appointment.objects.get(pk=row.pk),
            version=form.started_from,
            by=person(request),
            values=form.values(),
        )
    except EditConflict as found:
        form.show_stored(found.stored.version)
        return _appointment_page(
            request, case, row, form, status=409, conflict=_conflict.shown(found, form.fields)
        )
    messages.success(request, "The date is saved.")
    return redirect("dates", case.code)


def _near_days(case: Case) -> list[tuple[str, date]]:
    """A week earlier and a week later, to look at by one press; nothing before today."""
    on = case.surgery_on
    if on is None:
        return []
    week = timedelta(days=7)
    rows = [("A week earlier", on - week), ("A week later", on + week)]
    return [(words, day) for words, day in rows if day >= calendars.today_of(case.office)]


def _effects(case: Case, row: Appointment | None, form: AppointmentForm) -> moving.Effects | None:
    """What booking a date for the day in the form would change; nothing without a surgery day."""
    values = form.values()
    if case.surgery_on is None:
        return None
    whole = Case.objects.select_related("office", "laboratory", "patient").get(pk=case.pk)
    return moving.appointment(whole, row, kind=values["kind"], on=values["on"])


def _proposes(request: HttpRequest, case: Case, row: Appointment | None) -> bool:
    """Whether this person only proposes; refuses people who may not even do that."""
    user = person(request)
    if not cases.may_change_appointment(user, case, row):
        raise PermissionDenied
    return not cases.may_book(user, case)


def _planned(case: Case, line: Line) -> dict[str, Any]:
    """The plan of a case, whether its surgery day holds, and who holds the case."""
    row = case.prescription
    first, waits = row.first_extraction_on, row.route == Route.CONVENTIONAL
    impression = next((one.on for one in line.plan if one.step == Step.SENT), None)
    return {
        "plan": line.plan,
        "outlook": line.outlook,
        "holder": holder.of(line),
        "healed_on": schedule.earliest_records(first) if waits and first else None,
        "extraction_on": schedule.latest_extraction(impression, calendars.calendar_of(case.office))
        if waits and impression and not first
        else None,
        "weighed": moving.weighed(case, line.plan),
    }


def _page(request: HttpRequest, case: Case, *, status: int = 200, **more: Any) -> HttpResponse:
    case = Case.objects.select_related("office", "laboratory", "patient").get(pk=case.pk)
    user = person(request)
    head = head_context(case, user)
    can_add = cases.may_change_appointment(user, case, None)
    context = {
        **head,
        "page_title": "Dates",
        "shared": _shared(case),
        "zone_words": calendars.zone_words(case),
        **_planned(case, head["line"]),
        "in_time": chance_reading.of_case(case),
        "appointments": case.appointments.all(),
        "form": SurgeryForm(case=case),
        "move_form": MoveForm(case=case),
        "near_days": _near_days(case),
        "appointment_form": AppointmentForm(
            case=case, proposes_only=not cases.may_book(user, case), auto_id=NEW_ID
        ),
        "can_add": can_add,
        "moves": date_moves.said(case.date_moves.select_related("by", "seen_by")),
        "unseen": bool(date_moves.unseen(user, [case])),
        **more,
    }
    return render(request, "dates/dates.html", context, status=status)


def _shared(case: Case) -> dict[str, Any]:
    """The linked case, and whether its surgery day moves along."""
    other = pairs.other(case)
    if other is None:
        return {}
    return {
        "name": pairs.named(other),
        "along": pairs.goes_along(case) is not None,
        "stage": stages.stage_words(other).lower(),
    }


def _appointment_page(
    request: HttpRequest,
    case: Case,
    row: Appointment,
    form: AppointmentForm,
    *,
    status: int = 200,
    conflict: _conflict.Conflict | None = None,
    effects: moving.Effects | None = None,
) -> HttpResponse:
    user = person(request)
    context = {
        **head_context(case, user),
        "page_title": "Date",
        "appointment": row,
        "form": form,
        "conflict": conflict,
        "effects": effects,
        "can_edit": cases.may_change_appointment(user, case, Appointment.objects.get(pk=row.pk)),
    }
    return render(request, "dates/appointment.html", context, status=status)
