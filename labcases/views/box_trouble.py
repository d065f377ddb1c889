"""Boxes that are lost or not ours, and differences that are settled."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from labcases.domain import box as box_verbs
from labcases.domain import differences
from labcases.domain.box import AlreadyMoved
from labcases.domain.differences import NothingToSettle
from labcases.domain.striking import AlreadyStruck
from labcases.enums.boxes import BoxTrouble
from labcases.forms.box_trouble import SettleForm, TroubleForm
from labcases.forms.setup import StrikeForm
from labcases.models import BoxItem, Case, Settlement
from labcases.views._boxes import box_for, list_page
from labcases.views._lookup import case_for, person

ACT = "take in a box"


@require_POST
def report(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Say that a box is lost, or not ours."""
    case = case_for(request, code, ACT)
    row = box_for(case, pk)
    form = TroubleForm(request.POST, box=row)
    if not form.is_valid():
        return list_page(request, case, status=422, form=form)
    lost = form.cleaned_data["trouble"] == BoxTrouble.LOST
    verb = box_verbs.report_lost if lost else box_verbs.report_wrong
    try:
        verb(box=row, note=form.cleaned_data["note"], by=person(request))
    except AlreadyMoved as refused:
        return list_page(request, case, status=409, refusal=str(refused))
    messages.success(
        request, "The box is reported. What was in it counts as missing until it turns up."
    )
    return _to_box(case, pk)


@require_POST
def turned_up(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Take back that a box is lost, or not ours."""
    case = case_for(request, code, ACT)
    row = box_for(case, pk)
    try:
        row = box_verbs.turned_up(box=row, by=person(request))
    except AlreadyMoved as refused:
        return list_page(request, case, status=409, refusal=str(refused))
    here = row.received_at is not None
    messages.success(
        request,
        "The box turned up."
        if here
        else "The box turned up. Take it in and count it when it is here.",
    )
    return _to_box(case, pk)


@require_POST
def settle(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Say what a difference turned out to be."""
    case = case_for(request, code, ACT)
    item = get_object_or_404(BoxItem.objects.select_related("box__case"), pk=pk, box__case=case)
    form = SettleForm(request.POST, item=item)
    if not form.is_valid():
        return list_page(request, case, status=422, form=form)
    try:
        differences.settle(item=item, by=person(request), **form.cleaned_data)
    except NothingToSettle as refused:
        return list_page(request, case, status=409, refusal=str(refused))
    messages.success(request, "The difference is settled.")
    return _to_box(case, item.box_id)


@require_POST
def settlement_strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Open a difference again that was settled wrongly."""
    case = case_for(request, code, ACT)
    row = get_object_or_404(Settlement.objects.select_related("item__box"), pk=pk, case=case)
    form = StrikeForm(request.POST, auto_id=f"id_unsettle{pk}_%s")
    if not form.is_valid():
        return list_page(request, case, status=422, unsettle_form=form, unsettling=pk)
    try:
        differences.strike(row=row, reason=form.cleaned_data["reason"], by=person(request))
    except AlreadyStruck as refused:
        return list_page(request, case, status=409, refusal=str(refused))
    messages.success(request, "The line is struck out. The difference is open again.")
    return _to_box(case, row.item.box_id)


def _to_box(case: Case, pk: int) -> HttpResponse:
    return redirect(f"{reverse('boxes', args=[case.code])}#box-{pk}")
