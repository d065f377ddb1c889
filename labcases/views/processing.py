"""The handoff to processing: what is missing, what it starts from, and what was frozen."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from labcases.domain import processing, stages
from labcases.domain.gates import DENTIST, Missing
from labcases.enums import Stage
from labcases.forms.processing import HandoffForm
from labcases.models import Case, Handoff
from labcases.outputs import handoff_view
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, notation_for, person
from labcases.views._refusal import listed

HAND_OVER = "bench work"


@require_http_methods(["GET", "POST"])
def handoff(request: HttpRequest, code: str) -> HttpResponse:
    """What the gate still lacks, and the form; after it, what was frozen."""
    case = acting_case(request, code, HAND_OVER)
    if request.method == "GET":
        return _page(request, case)
    head = head_context(case, person(request))
    form = HandoffForm(request.POST, laboratory=case.laboratory, may_pass=DENTIST in head["acts"])
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    try:
        processing.hand_over(
            case=case, by=person(request), values=form.values(), reason=form.passing_reason
        )
    except stages.NotAllowed as refused:
        raise PermissionDenied(str(refused)) from refused
    except stages.SomebodyWasFaster as refused:
        case = acting_case(request, code, HAND_OVER)
        return _page(request, case, 409, form=form, refusal=str(refused))
    except stages.Refused as refused:
        case = acting_case(request, code, HAND_OVER)
        return _page(request, case, 422, form=form, refusal=str(refused))
    messages.success(request, "Handed over to processing. What it starts from is frozen below.")
    return redirect("handoff", case.code)


def _page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: HandoffForm | None = None,
    refusal: str = "",
) -> HttpResponse:
    user = person(request)
    context = head_context(case, user)
    notation = notation_for(user, case)
    last = case.handoffs.select_related("by").last()
    in_wax = case.stage == Stage.FINAL_WAX
    can_edit = HAND_OVER in context["acts"] and in_wax
    context |= {
        "page_title": "Processing handoff",
        "refusal": refusal,
        "notation": notation,
        "in_wax": in_wax,
        "can_edit": can_edit,
        "missing": listed(case, _items(case)) if last is None or in_wax else [],
        "passable": _passable(case) if in_wax else False,
        "form": form or (_empty_form(case, last, context["acts"]) if can_edit else None),
        "frozen": handoff_view.frozen(last, notation) if last else None,
        "earlier": list(case.handoffs.select_related("by"))[:-1],
    }
    return render(request, "processing/handoff.html", context, status=status)


def _items(case: Case) -> list[Missing]:
    """What the gate lacks beside this very page."""
    return [item for item in stages.missing(case, Stage.PROCESSING) if item.part != "handoff"]


def _passable(case: Case) -> bool:
    """Whether everything that is missing may be gone on without, by a dentist with a reason."""
    items = _items(case)
    return bool(items) and all(item.passable == DENTIST for item in items)


def _empty_form(case: Case, last: Handoff | None, acts: frozenset[str]) -> HandoffForm:
    initial = {"base_material": case.prescription.base_material}
    if last is not None:
        initial |= {"base_product": last.base_product, "base_lot": last.base_lot}
    return HandoffForm(initial=initial, laboratory=case.laboratory, may_pass=DENTIST in acts)
