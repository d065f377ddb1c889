"""Opening a case from a signed paper, and typing a paper into the next revision."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases import codes
from labcases.domain import access, signed_papers
from labcases.domain.case import NotLinked
from labcases.domain.prescription import TooLateToRevise
from labcases.domain.signed_papers import TYPE, OfficeIsWriting
from labcases.enums import ENDS
from labcases.forms.signed_papers import PaperCaseForm, case_helper
from labcases.models import Case, OfficeLink
from labcases.views._lookup import case_for, person


@require_http_methods(["GET", "POST"])
def paper_case_new(request: HttpRequest) -> HttpResponse:
    """The laboratory opens a case for an office that sent paper, then types the paper."""
    user = person(request)
    laboratories = signed_papers.laboratories(user)
    if not laboratories:
        raise PermissionDenied
    links = (
        OfficeLink.objects.filter(laboratory__in=laboratories, active=True)
        .select_related("office", "laboratory")
        .order_by("office__name", "laboratory__name")
    )
    form = PaperCaseForm(request.POST if request.method == "POST" else None, links=links)
    form.helper = case_helper()
    if form.is_valid():
        try:
            case = signed_papers.open_case(by=user, **form.values())
        except NotLinked as refused:
            form.add_error("link", str(refused))
        else:
            _mention_others(request, case)
            messages.success(
                request,
                f"Case {codes.grouped(case.code)} is open. Type what the paper says; what it "
                "leaves open stays open.",
            )
            return redirect("prescription_step", case.code, "teeth")
    context = {"page_title": "Open a case from a signed paper", "form": form, "links": links}
    return render(request, "signed_papers/new.html", context, status=422 if form.errors else 200)


def _mention_others(request: HttpRequest, case: Case) -> None:
    """Another open case of the same patient here: two arches, or the same paper twice."""
    own = access.visible_cases(person(request)).filter(patient=case.patient_id)
    others = own.exclude(pk=case.pk).exclude(stage__in=ENDS)
    if others:
        listed = ", ".join(codes.grouped(row.code) for row in others)
        messages.info(request, f"Patient {case.patient.code} has another open case: {listed}.")


@require_POST
def paper_begin(request: HttpRequest, code: str) -> HttpResponse:
    """Type a signed paper into the draft, or into the next revision."""
    case = case_for(request, code, TYPE)
    try:
        paper = signed_papers.begin(case=case, by=person(request))
    except (OfficeIsWriting, TooLateToRevise) as refused:
        messages.error(request, str(refused))
        return redirect("prescription", case.code)
    row = paper.prescription
    messages.success(
        request, f"Revision {row.revision if row else ''} is typed from a signed paper now."
    )
    return redirect("prescription_step", case.code, "teeth")
