"""What a laboratory calls the stages, and the working days that a house takes."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from labcases.domain import stage_plan
from labcases.forms.stage_plan import StagePlanForm
from labcases.views._lookup import person
from labcases.views.organisation import organisation_for


@require_http_methods(["GET", "POST"])
def stages_of_house(request: HttpRequest, pk: int) -> HttpResponse:
    """Everybody inside reads it; who keeps the plan of the house changes it."""
    user = person(request)
    one = organisation_for(user, pk)
    may_keep = stage_plan.may_keep(user, one)
    if request.method == "POST" and not may_keep:
        raise PermissionDenied
    form = StagePlanForm(request.POST if request.method == "POST" else None, house=one)
    if form.is_valid():
        try:
            changed = stage_plan.save(house=one, names=form.names(), days=form.days(), by=user)
        except ValueError as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, "Saved." if changed else "Nothing differs from before.")
            return redirect("stages_of_house", pk)
    context = {
        "page_title": f"Stages of {one}" if one.is_laboratory else f"Working days of {one}",
        "organisation": one,
        "form": form,
        "may_keep": may_keep,
        "source": stage_plan.SOURCE,
    }
    status = 422 if form.errors else 200
    return render(request, "organisation/stages.html", context, status=status)
