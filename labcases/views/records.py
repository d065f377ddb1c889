"""Check records: reading them in, what they say, and taking it into the articulator record."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import calculations, records
from labcases.domain.versions import EditConflict
from labcases.enums import CheckRecordKind
from labcases.forms.records import AdoptForm, GapForm, PointsForm, RecordForm
from labcases.models import Case, CheckRecord
from labcases.outputs import records_view
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, notation_for, person
from labcases.views._striking import strike_line

WRITE = "bench work"


@require_http_methods(["GET", "POST"])
def check_records(request: HttpRequest, code: str) -> HttpResponse:
    """Show the records and what they say; POST reads one more in."""
    case = acting_case(request, code, WRITE)
    if request.method == "GET":
        return _page(request, case)
    if request.POST.get("kind") not in CheckRecordKind.values:
        return _page(request, case, 422, refusal="Choose which record was read, then fill it in.")
    kind = CheckRecordKind(request.POST["kind"])
    if kind in records.MOVED and calculations.points_closed(case) is None:
        return _page(request, case, 422, refusal=records.CLOSED_FIRST)
    form = _form(request, case, kind, request.POST)
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    records.add(case=case, by=person(request), values=form.values())
    messages.success(request, f"Kept: {kind.label.lower()}.")
    return redirect("check_records", case.code)


@require_POST
def strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Strike one record out; it stays readable with the reason beside it."""
    case = case_for(request, code, WRITE)
    record = get_object_or_404(CheckRecord, pk=pk, case=case)
    return strike_line(
        request,
        case,
        record,
        verb=records.strike,
        page=_page,
        then="check_records",
        key=record.pk,
        what="record",
    )


@require_POST
def adopt(request: HttpRequest, code: str) -> HttpResponse:
    """Take the ticked values of one proposal into the articulator record."""
    case = case_for(request, code, WRITE)
    form = AdoptForm(request.POST)
    if not form.is_valid():
        only_untick = set(form.errors) == {"take"}
        said = form.errors["take"][0] if only_untick else "Read the proposal on this page again."
        return _page(request, case, 422, refusal=said)
    told = form.cleaned_data
    try:
        records.adopt(
            case=case,
            version=told["version"],
            digest=told["digest"],
            method=told["method"],
            fields=told["take"],
            by=person(request),
        )
    except records.NotAdopted as refused:
        return _page(request, case, 422, refusal=str(refused))
    except EditConflict as found:
        fresh = case_for(request, code, WRITE)
        return _page(
            request,
            fresh,
            409,
            refusal=f"{found.stored.changed_by} changed the settings while you read them. Nothing "
            "was adopted; compare the values below once more.",
        )
    messages.success(request, "Adopted. The articulator record says where the values come from.")
    return redirect("settings", case.code)


def _form(request: HttpRequest, case: Case, kind: CheckRecordKind, data: Any = None) -> RecordForm:
    if kind == CheckRecordKind.GAP:
        return GapForm(data, case=case, notation=notation_for(person(request), case))
    return PointsForm(data, kind=kind, closed=calculations.points_closed(case))


def _page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: RecordForm | None = None,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    notation = notation_for(user, case)
    head = head_context(case, user)
    can_edit = WRITE in head["acts"]
    proposals = records_view.proposals(case)
    context = {
        **head,
        "page_title": "Check records",
        "notation": notation,
        "record": getattr(case, "articulator", None),
        "proposals": proposals,
        "ways_apart": records_view.ways_apart(proposals),
        "lines": records_view.lines(case, notation),
        "form": form,
        "can_edit": can_edit,
        **more,
    }
    if can_edit:
        forms = {
            kind: form if form and form.kind == kind else _form(request, case, kind)
            for kind in CheckRecordKind
        }
        gap, closed, *moved = (
            forms[kind] for kind in (CheckRecordKind.GAP, CheckRecordKind.CLOSED, *records.MOVED)
        )
        context |= {
            "gap_form": gap,
            "point_forms": [closed, *moved] if calculations.points_closed(case) else [closed],
        }
    return render(request, "records/page.html", context, status=status)
