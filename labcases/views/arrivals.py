"""A box that nobody announced: the house that it came to enters and counts it in one go."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from labcases.domain import arrivals, disinfecting
from labcases.forms.boxes import ArrivalForm, ItemFormSet
from labcases.reference.disinfection import listed_agents
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person


@require_http_methods(["GET", "POST"])
def box_arrived(request: HttpRequest, code: str) -> HttpResponse:
    """What came, how many, and how it was disinfected as far as anybody says."""
    case = case_for(request, code, "take in a box")
    user = person(request)
    ways = arrivals.ways_of(user, case)
    if not ways:
        raise PermissionDenied
    posted = request.POST if request.method == "POST" else None
    form = ArrivalForm(posted, ways=ways)
    contents = ItemFormSet(posted)
    status = 200
    if posted is not None:
        if form.is_valid() and contents.is_valid():
            row = arrivals.record(
                case=case,
                courier=form.cleaned_data["courier"],
                items=contents.rows(),
                by=user,
                direction=form.way,
            )
            unsafe = [one for one in disinfecting.of_case(case) if one.box_id == row.pk]
            if unsafe:
                messages.warning(
                    request,
                    f"The box is recorded. {disinfecting.names(unsafe)}: "
                    f"{disinfecting.CONTAMINATED[0].lower()}{disinfecting.CONTAMINATED[1:]}",
                )
            else:
                messages.success(request, "The box is recorded.")
            return redirect("boxes", case.code)
        contents.is_valid()
        status = 422
    under_way = case.boxes.filter(
        direction__in=ways, sent_at__isnull=False, received_at__isnull=True, trouble=""
    )
    context = {
        **head_context(case, user),
        "page_title": "Record a box that arrived",
        "form": form,
        "contents": contents,
        "under_way": under_way,
        "agents": listed_agents(),
    }
    return render(request, "boxes/arrived.html", context, status=status)
