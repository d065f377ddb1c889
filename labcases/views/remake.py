"""Making a denture again: the case that it is made in, and why."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from labcases import codes
from labcases.domain import remaking
from labcases.domain.case import NotLinked
from labcases.domain.remaking import NotRemade
from labcases.forms.remake import RemakeForm
from labcases.models import Case, Remake
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, person

OPEN = "open a case"


@require_http_methods(["GET", "POST"])
def remake(request: HttpRequest, code: str) -> HttpResponse:
    """Which case this one is made in place of, which in place of it; POST opens one."""
    case = acting_case(request, code, OPEN)
    if request.method == "GET":
        return _page(request, case)
    form = RemakeForm(request.POST)
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    told = form.cleaned_data
    try:
        opened = remaking.open_remake(
            case=case, reason=told["reason"], words=told["in_words"], by=person(request)
        )
    except (NotRemade, NotLinked) as refused:
        return _page(request, case, 422, form=form, refusal=str(refused))
    messages.success(
        request,
        f"Case {codes.grouped(opened.code)} is open. The choices of the old prescription are "
        "filled in; teeth, measures and allergy are asked anew, and the dentist signs it.",
    )
    return redirect("case", opened.code)


def told(made: Remake, other: Case) -> dict[str, Any]:
    """One of the two cases as the other one names it."""
    return {
        "code": other.code,
        "name": codes.grouped(other.code),
        "stage": other.get_stage_display().lower(),
        "reason": remaking.reason_words(made),
        "by": made.by,
        "at": made.at,
    }


def _page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: RemakeForm | None = None,
    refusal: str = "",
) -> HttpResponse:
    head = head_context(case, person(request))
    before = remaking.made_from(case)
    context = {
        **head,
        "page_title": "Remake",
        "before": told(before, before.old) if before else None,
        "after": [told(one, one.case) for one in remaking.remakes_of(case)],
        "why_not": remaking.why_not(case),
        "form": form or RemakeForm(),
        "can_open": OPEN in head["acts"],
        "refusal": refusal,
    }
    return render(request, "remake/page.html", context, status=status)
