"""How the cast was trimmed, and which front teeth stand otherwise than the natural ones."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from labcases.domain import arrangement, trimming
from labcases.forms.arrangement import ArrangementForm
from labcases.forms.trimming import TrimForm
from labcases.models import Case, User
from labcases.outputs import arrangement_view, trimming_view
from labcases.views._approval import say_if_trimmed_otherwise
from labcases.views._head import bench_context
from labcases.views._lookup import acting_case, notation_for, person

LOG = "bench work"


@require_http_methods(["GET", "POST"])
def front_teeth(request: HttpRequest, code: str) -> HttpResponse:
    """Show what was trimmed and how teeth are set; POST adds a line of one of the two."""
    case = acting_case(request, code, LOG)
    if request.method == "GET":
        return _page(request, case)
    user = person(request)
    if request.POST.get("what") == ArrangementForm.what:
        return _arrange(request, case, user)
    form = TrimForm(request.POST, case=case, notation=notation_for(user, case))
    if not form.on_cast:
        return _page(request, case, 422, refusal=trimming.NOTHING_TO_TRIM)
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    try:
        trimming.log(case=case, by=user, **form.values())
    except trimming.CannotTrim as refused:
        return _page(request, case, 422, form=form, refusal=str(refused))
    messages.success(request, "Logged: the trimming of the cast.")
    say_if_trimmed_otherwise(request, case)
    return redirect("front_teeth", case.code)


def _arrange(request: HttpRequest, case: Case, user: User) -> HttpResponse:
    form = ArrangementForm(request.POST, case=case, notation=notation_for(user, case))
    if not form.is_valid():
        return _page(request, case, 422, arrange=form)
    try:
        arrangement.log(case=case, by=user, **form.values())
    except arrangement.CannotDeviate as refused:
        return _page(request, case, 422, arrange=form, refusal=str(refused))
    messages.success(request, "Logged: a tooth that is set otherwise.")
    return redirect(f"{reverse('front_teeth', args=[case.code])}#arrangement")


def _page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: TrimForm | None = None,
    arrange: ArrangementForm | None = None,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    notation = notation_for(user, case)
    context = {
        **bench_context(case, user),
        "page_title": "Trimming and arrangement",
        "notation": notation,
        **trimming_view.build_context(case, notation),
        "ways": trimming_view.listed(case.prescription.arch),
        **arrangement_view.build_context(case, notation),
        "refused_form": form or arrange,
        "arrange": arrange or ArrangementForm(case=case, notation=notation),
        "form": form or TrimForm(case=case, notation=notation),
        **more,
    }
    context["can_edit"] = LOG in context["acts"]
    return render(request, "setup/front_teeth.html", context, status=status)
