"""The final wax: what is decided and measured, its two checklists, and its approval."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import final_wax as waxes
from labcases.domain import trimming, undoing, wax_measures
from labcases.domain.versions import EditConflict
from labcases.enums.wax import WaxList
from labcases.forms.final_wax import LIST_FORMS, ApproveForm, FinalWaxForm
from labcases.models import Case, FinalWax, User
from labcases.outputs import trimming_view, wax_view
from labcases.views import _conflict
from labcases.views._head import head_context
from labcases.views._lookup import case_for, notation_for, person
from labcases.views._part import Part, part_page
from labcases.views._refusal import listed


def _wax(case: Case) -> FinalWax | None:
    return FinalWax.objects.filter(case=case).select_related("approved_by").first()


def _beside_wax(case: Case, user: User) -> dict[str, Any]:
    wax = _wax(case)
    open_points = listed(case, wax_view.open_points(case, wax))
    return {
        "wax": wax,
        "compared": wax_measures.compared(case, wax),
        "lists": wax_view.lists(case, wax),
        "photographs": waxes.photographs(case),
        "views_lacking": waxes.views_lacking(case),
        "open_points": open_points,
        "changed_since": wax_view.changed_since_approval(case),
        "earlier_revision": bool(wax and wax.approved_at and not undoing.wax_approval_stands(case)),
        "cautions": waxes.cautions(case, wax),
        "trims": trimming.lines(case),
        "trimmed_otherwise": trimming_view.told(
            waxes.trimmed_otherwise(case, wax), notation_for(user, case)
        ),
        "approved_gone": bool(wax and wax.approved_at and waxes.approved_gone(case, wax)),
        "handed_over": case.handoffs.last(),
        "row": case.prescription,
        **trimming_view.build_context(case, notation_for(user, case)),
    }


def _row(case: Case) -> FinalWax:
    return _wax(case) or FinalWax(case=case)


def _readable(row: _conflict.Row, yours: Any, stored: Any) -> _conflict.Row:
    if row.name == "as_prescribed":
        names = wax_measures.LABELS
        told = [
            "; ".join(f"{names[name]}: {words}" for name, words in one.items())
            for one in (yours, stored)
        ]
        return replace(row, label="As prescribed", yours=told[0], stored=told[1])
    return _conflict.of_lines(row, yours, stored)


FINAL_WAX = Part(
    title="Final wax",
    act="bench work",
    form=FinalWaxForm,
    row_of=_row,
    save=waxes.save,
    template="wax/final_wax.html",
    then="final_wax",
    saved="The final wax is saved.",
    beside=_beside_wax,
    readable=_readable,
)
LISTS = {
    which: Part(
        title=f"Final-wax checklist: {which.label.lower()}",
        act="bench work",
        form=form,
        row_of=_row,
        save=partial(waxes.save_list, which=which),
        template="wax/checklist.html",
        then="final_wax",
        saved=f"The checklist for the {which.value} is saved.",
        beside=lambda case, _user, which=which: {  # type: ignore[misc]
            "which": which,
            "wax": _wax(case),
            "shown": next(one for one in wax_view.lists(case, _wax(case)) if one.which == which),
        },
        readable=_readable,
    )
    for which, form in LIST_FORMS.items()
}


@require_http_methods(["GET", "POST"])
def final_wax(request: HttpRequest, code: str) -> HttpResponse:
    """What is decided and measured, beside the record of the patient's own teeth."""
    return part_page(request, code, FINAL_WAX)


@require_http_methods(["GET", "POST"])
def final_wax_checklist(request: HttpRequest, code: str, which: str) -> HttpResponse:
    """One of the two checklists."""
    if which not in WaxList:
        raise Http404
    return part_page(request, code, LISTS[WaxList(which)])


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
        return _wax_refused(request, case, 422, str(next(iter(form.errors.values()))[0]))
    try:
        waxes.approve(case=case, by=person(request), **form.values())
    except waxes.NotReady as refused:
        return _wax_refused(request, case, 422, str(refused))
    except waxes.OtherTrimming as refused:
        return _wax_refused(request, case, 409, str(refused))
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
        "form": FinalWaxForm(instance=_row(case)),
        "can_edit": FINAL_WAX.act in head["acts"],
        "refusal": refusal,
        **_beside_wax(case, user),
    }
    return render(request, FINAL_WAX.template, context, status=status)
