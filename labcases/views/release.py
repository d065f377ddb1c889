"""The release of the finished denture, and the second look."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import lots, processing
from labcases.domain.finishing import why_not_look
from labcases.domain.processing import SamePerson
from labcases.domain.versions import EditConflict
from labcases.forms.release import LookForm, LotForm, ReleaseForm
from labcases.models import Case, Release, User
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person
from labcases.views._part import Part, part_page
from labcases.views._striking import strike_line

LOOK = "bench work"


def _release(case: Case) -> Release | None:
    return Release.objects.filter(case=case).select_related("finished_by", "second_look_by").first()


def _beside_release(case: Case, user: User) -> dict[str, Any]:
    row = _release(case)
    return {
        "row": row,
        "looks_not": why_not_look(user, case, row) if row else "",
        "lots": lots.at_release(case),
        "struck_lots": [one for one in case.release_lots.all() if one.struck_at],
        "lots_lacking": lots.lacking(case),
        "lot_form": LotForm(laboratory=case.laboratory),
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
            request, case, 422, "Enter the disinfection first; then a second person looks."
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


@require_POST
def release_lot(request: HttpRequest, code: str) -> HttpResponse:
    """Add a lot that stands neither in the processing nor at the teeth."""
    case = case_for(request, code, LOOK)
    form = LotForm(request.POST, laboratory=case.laboratory)
    if not form.is_valid():
        return _page(request, case, 422, lot_form=form)
    lots.add(case=case, by=person(request), **form.values())
    messages.success(request, "The lot is entered.")
    return redirect("release", case.code)


@require_POST
def release_lot_strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Strike a lot out that was added, with a reason."""
    case = case_for(request, code, LOOK)
    row = get_object_or_404(case.release_lots, pk=pk)
    return strike_line(
        request, case, row, verb=lots.strike, page=_page, then="release", key=pk, what="lot"
    )


def _refused(request: HttpRequest, case: Case, status: int, refusal: str) -> HttpResponse:
    return _page(request, case, status, refusal=refusal)


def _page(request: HttpRequest, case: Case, status: int, **more: Any) -> HttpResponse:
    user = person(request)
    case = case_for(request, case.code)
    head = head_context(case, user)
    context = {
        **head,
        "page_title": RELEASE.title,
        "form": ReleaseForm(instance=RELEASE.row_of(case)),
        "can_edit": RELEASE.act in head["acts"],
        **_beside_release(case, user),
        **more,
    }
    return render(request, RELEASE.template, context, status=status)
