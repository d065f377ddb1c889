"""The final wax with its approval."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import tryin, undoing
from labcases.domain.versions import EditConflict
from labcases.forms.processing import ApproveForm, FinalWaxForm
from labcases.models import Case, FinalWax, User
from labcases.outputs import wax_view
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person
from labcases.views._part import Part, part_page


def _wax(case: Case) -> FinalWax | None:
    return FinalWax.objects.filter(case=case).select_related("approved_by").first()


def _beside_wax(case: Case, _user: User) -> dict[str, Any]:
    wax = _wax(case)
    row = case.prescription
    return {
        "wax": wax,
        "compared": wax_view.comparison(row, wax),
        "changed_since": wax_view.changed_since_approval(case),
        "earlier_revision": bool(wax and wax.approved_at and not undoing.wax_approval_stands(case)),
        "cautions": wax_view.cautions(wax),
        "handed_over": case.handoffs.last(),
        "row": row,
    }


FINAL_WAX = Part(
    title="Final wax",
    act="bench work",
    form=FinalWaxForm,
    row_of=lambda case: _wax(case) or FinalWax(case=case),
    save=tryin.save_final_wax,
    template="tryin/final_wax.html",
    then="final_wax",
    saved="The final wax is saved.",
    beside=_beside_wax,
)


@require_http_methods(["GET", "POST"])
def final_wax(request: HttpRequest, code: str) -> HttpResponse:
    return part_page(request, code, FINAL_WAX)


@require_POST
def final_wax_approve(request: HttpRequest, code: str) -> HttpResponse:
    """The dentist approves the wax that stood on the page."""
    case = case_for(request, code, "approve")
    form = ApproveForm(request.POST)
    if _wax(case) is None:
        return _wax_refused(
            request, case, 422, "The laboratory has not entered the final wax. Approve it then."
        )
    if not form.is_valid():
        return _wax_refused(request, case, 422, str(form.errors["version"][0]))
    try:
        tryin.approve_final_wax(case=case, version=form.cleaned_data["version"], by=person(request))
    except EditConflict as found:
        return _wax_refused(
            request,
            case,
            409,
            f"{found.stored.changed_by or 'Somebody else'} changed the wax while you had it open. "
            "Look at it below and approve it again.",
        )
    messages.success(request, "The final wax and the trimming of the cast are approved.")
    return redirect("final_wax", case.code)


def _wax_refused(request: HttpRequest, case: Case, status: int, refusal: str) -> HttpResponse:
    user = person(request)
    case = case_for(request, case.code)
    head = head_context(case, user)
    context = {
        **head,
        "page_title": FINAL_WAX.title,
        "form": FinalWaxForm(instance=FINAL_WAX.row_of(case)),
        "can_edit": FINAL_WAX.act in head["acts"],
        "refusal": refusal,
        **_beside_wax(case, user),
    }
    return render(request, FINAL_WAX.template, context, status=status)
