"""The clearance check and the height budget as they were kept; computing is a button."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from labcases.domain import checks, natural_teeth
from labcases.domain import proposal_reading as reading
from labcases.domain.calculations import CannotCompute
from labcases.domain.gates import Missing
from labcases.enums import CheckKind
from labcases.models import Case
from labcases.outputs import check_view, height_view
from labcases.views._head import head_context
from labcases.views._lookup import case_for, notation_for, person
from labcases.views._refusal import listed

COMPUTE = "bench work"
# What the buttons post -> what is computed.
KINDS = {"clearance": CheckKind.CLEARANCE, "height": CheckKind.HEIGHT}


@require_safe
def check(request: HttpRequest, code: str) -> HttpResponse:
    """Show the kept answers; nothing is computed by looking."""
    return _page(request, case_for(request, code))


@require_POST
def compute(request: HttpRequest, code: str) -> HttpResponse:
    """Ask the engine once and keep what it says."""
    case = case_for(request, code, COMPUTE)
    kind = KINDS.get(request.POST.get("kind", ""))
    if kind is None:
        return _page(request, case, 422, refusal="Choose the clearance check or the height budget.")
    try:
        checks.compute(case=case, kind=kind, by=person(request))
    except CannotCompute as refused:
        return _page(
            request,
            case,
            422,
            refusal=str(refused),
            refusal_items=listed(case, [Missing("", refused.part, refused.field)]),
        )
    messages.success(request, f"{kind.label} computed and kept.")
    return redirect("check", case.code)


def _page(request: HttpRequest, case: Case, status: int = 200, **more: Any) -> HttpResponse:
    user = person(request)
    notation = notation_for(user, case)
    clearance = checks.latest(case, CheckKind.CLEARANCE)
    height = checks.latest(case, CheckKind.HEIGHT)
    context = {
        **head_context(case, user),
        "page_title": "Clearance check",
        "notation": notation,
        "clearance": check_view.build_context(clearance, notation) if clearance else None,
        "height": height_view.build_context(height, notation) if height else None,
        "proposal": check_view.PROPOSAL,
        **more,
    }
    if clearance:
        context["clearance"]["in_the_way"] = [
            replace(row, words=_word(case, row.natural))
            for row in context["clearance"]["in_the_way"]
        ]
    context["can_edit"] = COMPUTE in context["acts"]
    return render(request, "check/check.html", context, status=status)


def _word(case: Case, tooth: str) -> tuple[str, ...]:
    """The dentist's word on a natural tooth that is the place of a finding, where one was asked."""
    said = natural_teeth.word(case, tooth) if tooth else None
    return (f"{reading.name(said.row).capitalize()}: {said.text}",) if said and said.row else ()
