"""Logging that what came in a box was disinfected here, and striking such a line out."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from labcases.domain import box as box_verbs
from labcases.domain import disinfecting
from labcases.domain.disinfecting import NotArrived
from labcases.forms.disinfecting import DisinfectionForm
from labcases.models import Box, BoxItem, Disinfection
from labcases.views._boxes import list_page
from labcases.views._lookup import case_for, person
from labcases.views._striking import strike_line


@require_POST
def disinfect(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Log that one item was disinfected in the house that it came to."""
    case = case_for(request, code)
    item = get_object_or_404(BoxItem.objects.select_related("box__case"), pk=pk, box__case=case)
    _whose(request, item.box)
    form = DisinfectionForm(request.POST, item=item)
    if not form.is_valid():
        return list_page(request, case, status=422, form=form)
    try:
        row = disinfecting.log(item=item, by=person(request), values=form.cleaned_data)
    except NotArrived as refused:
        return list_page(request, case, status=409, refusal=str(refused))
    if row.enough:
        messages.success(request, f"Logged. {disinfecting.in_words(row)}.")
    else:
        messages.warning(
            request,
            f"Logged, and too short: {row.actual_minutes} of {row.label_minutes} min. "
            f"{disinfecting.CONTAMINATED}",
        )
    return redirect(f"{reverse('boxes', args=[case.code])}#box-{item.box_id}")


@require_POST
def strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Strike a line out; it stays readable with the reason beside it."""
    case = case_for(request, code)
    row = get_object_or_404(Disinfection.objects.select_related("item__box"), pk=pk, case=case)
    _whose(request, row.item.box)
    return strike_line(
        request, case, row, verb=disinfecting.strike, page=list_page, then="boxes", key=pk
    )


def _whose(request: HttpRequest, box: Box) -> None:
    """Only the house that a box came to says what it did with what was in it."""
    if not box_verbs.may_take_in(person(request), box):
        raise PermissionDenied
