"""The posterior try-in, and the final wax with its approval."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import gates, tryin, undoing
from labcases.domain.versions import EditConflict
from labcases.enums import Route, TryInWish
from labcases.forms.processing import ApproveForm, FinalWaxForm
from labcases.forms.tryin import TryInForm, WaiveForm
from labcases.models import Case, FinalWax, TryIn, User
from labcases.outputs import tryin_view, wax_view
from labcases.views import _conflict
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, person
from labcases.views._part import Part, part_page

RECORD = "record a try-in"
WAIVE = "approve"
NONE_OUT = (
    "No try-in is out for this case, so there is nothing to record. The laboratory moves the "
    "case to the try-in when the posterior teeth are ready."
)


@require_http_methods(["GET", "POST"])
def try_in(request: HttpRequest, code: str) -> HttpResponse:
    """The checklist and the dentist's verdict on the last try-in."""
    case = acting_case(request, code, RECORD)
    row = case.try_ins.last()
    if request.method == "GET":
        return _try_in_page(request, case, form=_open_form(case))
    if row is None:
        return _try_in_page(request, case, 422, form=None, refusal=NONE_OUT)
    form = TryInForm(request.POST, instance=row)
    if not form.is_valid():
        return _try_in_page(request, case, 422, form=form)
    try:
        tryin.record(case=case, version=form.started_from, by=person(request), values=form.values())
    except EditConflict as found:
        form.show_stored(found.stored.version)
        return _try_in_page(
            request,
            case,
            409,
            form=form,
            conflict=_clashes(found, form),
        )
    messages.success(request, "The try-in is recorded.")
    return redirect("case", case.code)


@require_POST
def try_in_waive(request: HttpRequest, code: str) -> HttpResponse:
    """The dentist goes on without a try-in, with a reason."""
    case = case_for(request, code, WAIVE)
    form = WaiveForm(request.POST)
    if not form.is_valid():
        return _try_in_page(request, case, 422, form=_open_form(case), waive=form)
    try:
        tryin.waive(case=case, by=person(request), reason=form.cleaned_data["reason"])
    except tryin.NothingToWaive as found:
        return _try_in_page(request, case, 409, form=_open_form(case), refusal=str(found))
    messages.success(request, "The try-in is waived; the reason prints on later papers.")
    return redirect("case", case.code)


def _open_form(case: Case) -> TryInForm | None:
    row = case.try_ins.last()
    return TryInForm(instance=row) if row else None


def _try_in_page(request: HttpRequest, case: Case, status: int = 200, **more: Any) -> HttpResponse:
    rows = list(TryIn.objects.filter(case=case).select_related("decided_by"))
    context = {
        **head_context(case, person(request)),
        "page_title": "Try-in",
        "row": rows[-1] if rows else None,
        "recorded": [tryin_view.recorded(row) for row in reversed(rows) if row.outcome],
        "why_none": _why_none(case),
        **more,
    }
    context["can_edit"] = RECORD in context["acts"]
    if WAIVE in context["acts"] and list(gates.try_in_answered(case)):
        context.setdefault("waive", WaiveForm())
    return render(request, "tryin/try_in.html", context, status=status)


def _clashes(found: EditConflict, form: TryInForm) -> _conflict.Conflict:
    """Both values; of the checklist only the lines that differ, in their own words."""
    shown = _conflict.shown(found, {*form.fields, "answers"})
    stored = found.stored
    return replace(
        shown,
        rows=[
            replace(
                row,
                label="Answers",
                yours=tryin_view.differing(found.yours["answers"], stored.answers),
                stored=tryin_view.differing(stored.answers, found.yours["answers"]),
            )
            if row.name == "answers" and isinstance(stored, TryIn)
            else row
            for row in shown.rows
        ],
    )


def _why_none(case: Case) -> str:
    row = case.prescription
    if row.route == Route.INTERIM or row.try_in == TryInWish.NOT_POSSIBLE:
        return (
            "No try-in is possible on this route: teeth stand in both segments until surgery. The "
            "final wax is judged by photographs and millimetres instead."
        )
    if row.try_in == TryInWish.WAIVED:
        return "The dentist has waived the try-in in the prescription."
    return NONE_OUT


# --- final wax -----------------------------------------------------------------------------


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
