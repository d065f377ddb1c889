"""Remount and release, the second look, and what the office reports of the delivery."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import processing
from labcases.domain.finishing import why_not_look
from labcases.domain.processing import SamePerson
from labcases.domain.versions import EditConflict
from labcases.forms.release import DeliveryForm, LookForm, ReleaseForm
from labcases.models import Case, DeliveryReport, Release, User
from labcases.reference.remount import to_mind
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person
from labcases.views._part import Part, part_page

LOOK = "bench work"


def _release(case: Case) -> Release | None:
    return Release.objects.filter(case=case).select_related("finished_by", "second_look_by").first()


def _beside_release(case: Case, user: User) -> dict[str, Any]:
    row = _release(case)
    return {
        "row": row,
        "looks_not": why_not_look(user, case, row) if row else "",
        "cautions": to_mind("disinfection"),
    }


RELEASE = Part(
    title="Release",
    act="bench work",
    form=ReleaseForm,
    row_of=lambda case: _release(case) or Release(case=case),
    save=processing.save_release,
    template="release/release.html",
    then="release",
    saved="Saved. A second person looks at the denture before it is released.",
    beside=_beside_release,
)

DELIVERY = Part(
    title="Delivery",
    act="record a delivery",
    form=DeliveryForm,
    row_of=lambda case: (
        DeliveryReport.objects.filter(case=case).first() or DeliveryReport(case=case)
    ),
    save=processing.save_delivery,
    template="release/delivery.html",
    saved="The delivery is recorded.",
    beside=lambda case, _user: {"row": DeliveryReport.objects.filter(case=case).first()},
)


@require_http_methods(["GET", "POST"])
def release(request: HttpRequest, code: str) -> HttpResponse:
    return part_page(request, code, RELEASE)


@require_POST
def release_look(request: HttpRequest, code: str) -> HttpResponse:
    """A second person says that they looked at the denture."""
    case = case_for(request, code, LOOK)
    form = LookForm(request.POST)
    if _release(case) is None:
        return _refused(
            request, case, 422, "Enter lots and disinfection first; then a second person looks."
        )
    if not form.is_valid():
        return _refused(request, case, 422, str(form.errors["version"][0]))
    try:
        processing.look_again(case=case, version=form.cleaned_data["version"], by=person(request))
    except SamePerson as refused:
        return _refused(request, case, 422, str(refused))
    except EditConflict as found:
        return _refused(
            request,
            case,
            409,
            f"{found.stored.changed_by or 'Somebody else'} changed the release while you had it "
            "open. Look at it again below.",
        )
    messages.success(request, "The second look is recorded.")
    return redirect("release", case.code)


@require_http_methods(["GET", "POST"])
def delivery(request: HttpRequest, code: str) -> HttpResponse:
    return part_page(request, code, DELIVERY)


def _refused(request: HttpRequest, case: Case, status: int, refusal: str) -> HttpResponse:
    user = person(request)
    case = case_for(request, case.code)
    head = head_context(case, user)
    context = {
        **head,
        "page_title": RELEASE.title,
        "form": ReleaseForm(instance=RELEASE.row_of(case)),
        "can_edit": RELEASE.act in head["acts"],
        "refusal": refusal,
        **_beside_release(case, user),
    }
    return render(request, RELEASE.template, context, status=status)
