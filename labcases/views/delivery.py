"""The denture at the office: as it came, the surgery as it was, the delivery with its checks."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import after_care, delivered, disinfecting
from labcases.domain import delivery as delivering
from labcases.domain.stages import Refused
from labcases.forms.delivery import ArrivalForm, DeliveryForm, SettleForm, SurgeryForm
from labcases.models import ArrivalCheck, Case, Delivery, Surgery, User
from labcases.outputs import tryin_view
from labcases.reference.delivery import arrival_checklist, cautions, delivery_checklist
from labcases.views import _conflict
from labcases.views._head import head_context
from labcases.views._lookup import case_for, notation_for, office_form, person
from labcases.views._part import Part, part_page

RECORD = "record a delivery"


def _row(model: type[Model], case: Case) -> Any:
    return model._default_manager.filter(case=case).first() or model(case=case)


def _beside_arrival(case: Case, _user: User) -> dict[str, Any]:
    row = _row(ArrivalCheck, case)
    pauses = [tryin_view.answered(one, row.answers, row.words) for one in arrival_checklist()]
    boxes = delivered.came(case)
    return {
        "row": row,
        "current": {"pauses": pauses} if row.pk else None,
        "boxes": boxes,
        "unsafe": [one for one in disinfecting.of_case(case) if one.box.comes_to == "office"],
    }


def _beside_surgery(case: Case, user: User) -> dict[str, Any]:
    row: Surgery = _row(Surgery, case)
    kept, took = delivered.otherwise(case, row) if row.pk else ([], [])
    return {
        "row": row,
        "notation": notation_for(user, case),
        "planned": delivered.planned(case),
        "kept": kept,
        "took": took,
        "told": delivered.reported_otherwise(case),
        "otherwise": delivered.OTHERWISE,
        "cautions": cautions("surgery"),
    }


def _beside_delivery(case: Case, user: User) -> dict[str, Any]:
    row: Delivery = _row(Delivery, case)
    pauses = [tryin_view.answered(one, row.answers, row.words) for one in delivery_checklist()]
    due = delivered.words(case, timezone.localdate())
    return {
        "row": row,
        "notation": notation_for(user, case),
        "current": {"pauses": pauses} if row.answers else None,
        "cautions": cautions("delivery"),
        "after_care_lacks": after_care.why_not(case),
        "office_form": office_form(user, case.office),
        "due": due,
        "settle": SettleForm() if due else None,
    }


ARRIVAL = Part(
    title="Check on arrival",
    act="receive",
    form=ArrivalForm,
    row_of=lambda case: _row(ArrivalCheck, case),
    save=delivering.save_arrival,
    template="delivery/arrival.html",
    saved="The check on arrival is saved.",
    beside=_beside_arrival,
    readable=_conflict.of_lines,
)
SURGERY = Part(
    title="Surgery",
    act=RECORD,
    form=SurgeryForm,
    row_of=lambda case: _row(Surgery, case),
    save=delivering.save_surgery,
    template="delivery/surgery.html",
    then="surgery",
    saved="The surgery is recorded.",
    beside=_beside_surgery,
)
DELIVERY = Part(
    title="Delivery",
    act=RECORD,
    form=DeliveryForm,
    row_of=lambda case: _row(Delivery, case),
    save=delivering.save,
    template="delivery/delivery.html",
    saved="The delivery is recorded.",
    beside=_beside_delivery,
    readable=_conflict.of_lines,
)


@require_http_methods(["GET", "POST"])
def arrival(request: HttpRequest, code: str) -> HttpResponse:
    """Check the denture as it came out of its box."""
    return part_page(request, code, ARRIVAL)


@require_http_methods(["GET", "POST"])
def surgery(request: HttpRequest, code: str) -> HttpResponse:
    """Record the surgery as it was."""
    return part_page(request, code, SURGERY)


@require_http_methods(["GET", "POST"])
def delivery(request: HttpRequest, code: str) -> HttpResponse:
    """Record the delivery with its checks."""
    return part_page(request, code, DELIVERY)


@require_POST
def settle(request: HttpRequest, code: str) -> HttpResponse:
    """Say that the denture is delivered and nobody reported it."""
    case = case_for(request, code, delivering.SETTLE)
    form = SettleForm(request.POST)
    if not form.is_valid():
        return _refused(request, case, str(form.errors["settled_reason"][0]), form)
    try:
        delivering.settle(case=case, by=person(request), reason=form.cleaned_data["settled_reason"])
    except (delivering.NotYet, Refused) as refused:
        return _refused(request, case, str(refused), form)
    messages.success(request, "The case is delivered, not reported. The office may still report.")
    return redirect("case", case.code)


def _refused(request: HttpRequest, case: Case, refusal: str, form: SettleForm) -> HttpResponse:
    user = person(request)
    case = case_for(request, case.code)
    head = head_context(case, user)
    context = {
        **head,
        "page_title": DELIVERY.title,
        "form": DeliveryForm(instance=DELIVERY.row_of(case)),
        "can_edit": RECORD in head["acts"],
        "refusal": refusal,
        **_beside_delivery(case, user),
    }
    if context["due"]:
        context["settle"] = form
    return render(request, DELIVERY.template, context, status=422)
