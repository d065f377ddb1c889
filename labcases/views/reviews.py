"""Reviews after delivery: what is due, a small form an act, what was held, and the decision."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import access, review_state, reviewing
from labcases.domain.bench import NotADentureTooth
from labcases.domain.reviewing import FROM_DELIVERY, MAY_LOG, NotReviewed
from labcases.enums.reviews import ReviewAct
from labcases.forms.reviews import FORMS, DecideForm, OnDayForm, SeenForm
from labcases.models import Case, ReviewEntry
from labcases.outputs import review_view
from labcases.reference.reviews import reviews as kinds
from labcases.reference.reviews import to_mind
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, notation_for, person
from labcases.views._striking import strike_line

RECORD = "record a review"
LOG = "remount after delivery"


@require_http_methods(["GET", "POST"])
def reviews(request: HttpRequest, code: str) -> HttpResponse:
    """What is due and what was recorded; POST adds one line."""
    case = acting_case(request, code, LOG)
    if request.method == "GET":
        return _page(request, case)
    acts = {str(act) for act in FORMS}
    if request.POST.get("act") not in acts:
        return _page(request, case, 422, refusal="Choose what was done, then fill its boxes.")
    user = person(request)
    act = ReviewAct(request.POST["act"])
    if not access.may(user, MAY_LOG[act], case):
        raise PermissionDenied
    form = FORMS[act](request.POST, case=case, notation=notation_for(user, case))
    form.by_dentist = access.may(user, RECORD, case)
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    try:
        reviewing.log(case=case, by=user, values=form.values())
    except (NotReviewed, NotADentureTooth) as refused:
        return _page(request, case, 422, form=form, refusal=str(refused))
    messages.success(request, f"Logged: {act.label.lower()}.")
    return redirect("reviews", case.code)


@require_POST
def strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Strike one line out; it stays readable with the reason beside it."""
    case = case_for(request, code, LOG)
    entry = get_object_or_404(ReviewEntry, pk=pk, case=case)
    if not access.may(person(request), MAY_LOG[ReviewAct(entry.act)], case):
        raise PermissionDenied
    try:
        return strike_line(
            request, case, entry, verb=reviewing.strike, page=_page, then="reviews", key=entry.pk
        )
    except NotReviewed as refused:
        return _page(request, case, 422, refusal=str(refused))


@require_http_methods(["GET", "POST"])
def seen(request: HttpRequest, code: str, key: str) -> HttpResponse:
    """One review: what is looked at, and recording it."""
    case = acting_case(request, code, RECORD)
    if key not in kinds():
        raise Http404
    kind = kinds()[key]
    dues = told.dues if (told := review_state.of(case)) else []
    form = SeenForm(request.POST if request.method == "POST" else None, review=kind, dues=dues)
    refusal = ""
    if request.method == "POST" and form.is_valid():
        try:
            reviewing.log(case=case, by=person(request), values=form.values())
        except NotReviewed as refused:
            refusal = str(refused)
        else:
            messages.success(request, f"Recorded: review, {kind.words.lower()}.")
            return redirect("reviews", case.code)
    status = 422 if request.method == "POST" else 200
    head = head_context(case, person(request))
    context = {
        **head,
        "page_title": kind.words,
        "kind": kind,
        "form": form,
        "refusal": refusal,
        "cautions": to_mind("review"),
        "can_edit": RECORD in head["acts"] and case.stage in FROM_DELIVERY,
    }
    return render(request, "reviews/seen.html", context, status=status)


@require_http_methods(["GET", "POST"])
def decide(request: HttpRequest, code: str) -> HttpResponse:
    """The dentist decides between reline, rebase and remake, and signs."""
    case = acting_case(request, code, RECORD)
    user = person(request)
    posted = request.POST if request.method == "POST" else None
    form = DecideForm(request, user, posted)
    refusal = ""
    if posted is not None and form.is_valid():
        try:
            row = reviewing.log(case=case, by=user, values=form.values())
        except NotReviewed as refused:
            refusal = str(refused)
        else:
            messages.success(request, f"Decided: {row.get_decision_display().lower()}.")
            return redirect("reviews", case.code)
    head = head_context(case, user)
    context = {
        **head,
        "page_title": "Reline, rebase or remake",
        "form": form,
        "refusal": refusal,
        "told": review_state.of(case),
        "again": review_view.again(case),
        "rows": review_view.decision_rows(),
        "can_edit": RECORD in head["acts"] and case.stage in FROM_DELIVERY,
    }
    return render(
        request, "reviews/decide.html", context, status=422 if posted is not None else 200
    )


def _page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: OnDayForm | None = None,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    notation = notation_for(user, case)
    head = head_context(case, user)
    open_now = case.stage in FROM_DELIVERY
    forms = [
        form if form and form.act == act else made(case=case, notation=notation)
        for act, made in FORMS.items()
        if open_now and MAY_LOG[act] in head["acts"]
    ]
    context = {
        **head,
        "page_title": "Reviews",
        **review_view.build_context(case, notation),
        "form": form,
        "forms": forms,
        "can_record": open_now and RECORD in head["acts"],
        "can_strike": {str(act) for act, may in MAY_LOG.items() if may in head["acts"]},
        **more,
    }
    return render(request, "reviews/reviews.html", context, status=status)
