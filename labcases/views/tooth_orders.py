"""Taking teeth for a case from stock, ordering them, and counting them in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from labcases.domain import teeth_needed, tooth_orders
from labcases.domain.stock import OutOfStock
from labcases.domain.teeth_needed import Need
from labcases.domain.tooth_orders import ACT, Meanwhile, NeedsReason, NotNow, Old
from labcases.domain.versions import EditConflict
from labcases.forms.tooth_orders import ArrivedForm, SupplyForm, WhyForm
from labcases.models import Case, TeethSupply, User
from labcases.views import teeth
from labcases.views._lookup import case_for, number_of, person
from labcases.views._teeth_in_hand import FORMS, Refused

SAID = {
    "take": "Taken from stock. The count on the shelf is one less.",
    "order": "The order is entered.",
    "here": "Entered as in hand.",
    "arrived": "Counted in.",
    "put-back": "Done. The teeth no longer stand on this case.",
    "discard": "Done. The teeth no longer stand on this case.",
    "use-again": "These teeth are used again.",
}
NOT_CHOSEN = "Enter the tooth selection first: what is ordered is held against it."


@require_POST
def enter(request: HttpRequest, code: str) -> HttpResponse:
    """Take a set from stock, order one, or say that it is here; one need at a time."""
    case = case_for(request, code, ACT)
    kind = FORMS.get(request.POST.get("what", ""))
    need = teeth_needed.need_of(case, request.POST.get("part", ""))
    if kind is None or need is None:
        return teeth.page(
            request, case, 422, refusal="Open the form of what you do, and fill it in."
        )
    if teeth_needed.chosen_of(case) is None:
        return teeth.page(request, case, 422, refusal=NOT_CHOSEN)
    form = kind(request.POST, case=case, need=need, standing=teeth_needed.set_of(case, need))
    if not form.is_valid():
        return teeth.page(request, case, 422, refused=Refused(need.key, form))
    try:
        _keep(form, case, need, person(request))
    except NeedsReason as asked:
        form.add_error("reason", str(asked))
        return teeth.page(request, case, 422, refused=Refused(need.key, form))
    except (OutOfStock, Meanwhile, NotNow, EditConflict) as told:
        fresh = case_for(request, code, ACT)
        return teeth.page(request, fresh, 409, refusal=str(told), refused=Refused(need.key, form))
    messages.success(request, SAID[kind.what])
    return redirect(f"{reverse('teeth', args=[case.code])}#id_{need.key}")


def _keep(form: SupplyForm, case: Case, need: Need, by: User) -> None:
    told = form.cleaned_data
    shared: dict[str, Any] = {
        "case": case,
        "need": need,
        "by": by,
        "reason": told["reason"],
        "tooth": told["tooth"],
        "old": _old(case, need, told),
    }
    if form.what == "take":
        tooth_orders.take(tooth_set=told["tooth_set"], **shared)
    elif form.what == "order":
        tooth_orders.order(values=form.teeth(), **shared)
    else:
        tooth_orders.enter(values=form.teeth(), **shared)


def _old(case: Case, need: Need, told: dict[str, Any]) -> Old | None:
    """What is replaced, as the person saw it; of a single tooth the one that stands now."""
    if told["tooth"]:
        rows = [row for row in teeth_needed.standing(case) if row.tooth == told["tooth"]]
        return Old(rows[0], rows[0].version) if rows else None
    row = TeethSupply.objects.filter(
        pk=told["old"], case=case, arch=need.arch, part=need.part, tooth=""
    ).first()
    if row is None:
        return None
    return Old(row, told["version"] or 0, goes_back=bool(told.get("goes_back")))


def _arrived(row: TeethSupply, version: int, by: User, told: dict[str, Any]) -> None:
    tooth_orders.arrived(row=row, version=version, by=by, values=told)


def _put_back(row: TeethSupply, version: int, by: User, told: dict[str, Any]) -> None:
    tooth_orders.put_back(row=row, version=version, by=by, why=told["reason"])


def _discard(row: TeethSupply, version: int, by: User, told: dict[str, Any]) -> None:
    tooth_orders.discard(row=row, version=version, by=by, why=told["reason"])


def _use_again(row: TeethSupply, version: int, by: User, told: dict[str, Any]) -> None:
    tooth_orders.use_again(row=row, version=version, by=by, reason=told["reason"])


CHANGES: dict[str, Callable[[TeethSupply, int, User, dict[str, Any]], None]] = {
    "arrived": _arrived,
    "put-back": _put_back,
    "discard": _discard,
    "use-again": _use_again,
}


@require_POST
def change(request: HttpRequest, code: str, pk: int, what: str) -> HttpResponse:
    """Count an order in, put teeth back, say that they are not used, or use them again."""
    case = case_for(request, code, ACT)
    if what not in CHANGES:
        raise Http404
    row = get_object_or_404(TeethSupply, pk=pk, case=case)
    form: Any = (
        ArrivedForm(request.POST, row=row)
        if what == "arrived"
        else WhyForm(request.POST, prefix=what, auto_id=f"id_{row.pk}_%s")
    )
    if not form.is_valid():
        return teeth.page(request, case, 422, refused=Refused(str(row.pk), form))
    seen = request.POST.get("version", "")
    try:
        CHANGES[what](row, number_of(seen) or 0, person(request), form.cleaned_data)
    except NeedsReason as asked:
        form.add_error("reason", str(asked))
        return teeth.page(request, case, 422, refused=Refused(str(row.pk), form))
    except (NotNow, EditConflict) as told:
        fresh = case_for(request, code, ACT)
        return teeth.page(
            request, fresh, 409, refusal=str(told), refused=Refused(str(row.pk), form)
        )
    messages.success(request, SAID[what])
    return redirect(f"{reverse('teeth', args=[case.code])}#id_in_hand")
