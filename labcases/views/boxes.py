"""Boxes of a case: listed, sent, taken in and counted."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import box as box_verbs
from labcases.domain import differences, disinfecting, stages
from labcases.forms.boxes import CountForm
from labcases.models import Box
from labcases.views._boxes import box_for, list_page
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person
from labcases.views._refusal import listed


@require_http_methods(["GET"])
def boxes(request: HttpRequest, code: str) -> HttpResponse:
    return list_page(request, case_for(request, code))


@require_POST
def box_send(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Send a box, or the case with it when the box leaves with a move of the case."""
    case = case_for(request, code, "pack a box")
    row = box_for(case, pk)
    user = person(request)
    if row.direction not in box_verbs.ways_of(user, case):
        raise PermissionDenied
    stage = box_verbs.leaves_with(row)
    try:
        if stage:
            stages.move(case=case, to=stage, by=user)
        else:
            box_verbs.send(box=row, by=user)
    except stages.NotAllowed as refused:
        raise PermissionDenied(str(refused)) from refused
    except (stages.SomebodyWasFaster, box_verbs.AlreadyMoved) as refused:
        return list_page(request, case, status=409, refusal=str(refused))
    except (stages.Refused, box_verbs.MayNotLeave) as refused:
        return list_page(
            request, case, status=422, refusal=str(refused), items=listed(case, refused.items)
        )
    sent = f"The case is {stage.value} and the box is on its way." if stage else "The box is sent."
    messages.success(request, sent)
    return redirect("boxes", case.code)


@require_http_methods(["GET", "POST"])
def box_receive(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Count what came out of a box."""
    case = case_for(request, code)
    row = box_for(case, pk)
    user = person(request)
    if not box_verbs.may_take_in(user, row):
        raise PermissionDenied
    items = list(row.items.all())
    form = CountForm(request.POST if request.method == "POST" else None, items=items)
    status = 200
    refusal = ""
    if request.method == "POST" and form.is_valid():
        try:
            box_verbs.receive(box=row, counts=form.counts(), by=user)
        except box_verbs.AlreadyMoved as refused:
            refusal, status = str(refused), 409
        else:
            _say_taken_in(request, row)
            return redirect("boxes", case.code)
    elif request.method == "POST":
        status = 422
    unsafe = [item for item in disinfecting.of_case(case) if item.box_id == row.pk]
    context = {
        **head_context(case, user),
        "page_title": "Take in a box",
        "box": row,
        "form": form,
        "refusal": refusal,
        "unsafe": disinfecting.names(unsafe),
        "contaminated": disinfecting.CONTAMINATED,
    }
    return render(request, "boxes/receive.html", context, status=status)


def _say_taken_in(request: HttpRequest, row: Box) -> None:
    different = differences.of_box(row)
    if different:
        messages.warning(
            request,
            f"The box is taken in, and the count differs. {differences.said_of(different)} "
            "Settle it, or ask about it.",
        )
    else:
        messages.success(request, "The box is taken in. Everything on the list is there.")
