"""Finishing: the mark and the template; the office gives the text on the same page."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import finishing as finish
from labcases.domain.versions import EditConflict
from labcases.enums.prescribing import Identification
from labcases.forms.finishing import FinishingForm, MarkTextForm
from labcases.models import Case, Finishing, MarkText, User
from labcases.reference.remount import to_mind
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person
from labcases.views._part import Part, part_page

GIVE = "write a prescription"


def _row(case: Case) -> Finishing:
    return Finishing.objects.filter(case=case).first() or Finishing(case=case)


def _mark_row(case: Case) -> MarkText:
    return MarkText.objects.filter(case=case).first() or MarkText(case=case)


def _beside(case: Case, user: User) -> dict[str, Any]:
    kind = finish.wanted(case)
    text = finish.shown_to(user, case)
    given = bool(finish.text_of(case))
    return {
        "row": _row(case),
        "mark_kind": kind.label if kind else "",
        "mark_wanted": finish.is_wanted(case),
        "mark_text": text,
        "mark_given": given,
        "by_office": kind == Identification.OFFICE_TEXT,
        "template_wanted": finish.template_wanted(case),
        "mark_form": MarkTextForm(instance=_mark_row(case)),
        "cautions": to_mind("finishing"),
    }


FINISHING = Part(
    title="Finishing",
    act="bench work",
    form=FinishingForm,
    row_of=_row,
    save=finish.save,
    template="finishing/finishing.html",
    then="finishing",
    saved="Saved. Lots, disinfection and the second look stand on the page of the release.",
    beside=_beside,
)


@require_http_methods(["GET", "POST"])
def finishing(request: HttpRequest, code: str) -> HttpResponse:
    return part_page(request, code, FINISHING)


@require_POST
def mark_text(request: HttpRequest, code: str) -> HttpResponse:
    """The office gives the text of the mark, or another one."""
    case = case_for(request, code, GIVE)
    form = MarkTextForm(request.POST, instance=_mark_row(case))
    if finish.wanted(case) != Identification.OFFICE_TEXT:
        return _refused(
            request, case, form, 422, "The prescription asks for no text of the office."
        )
    if not form.is_valid():
        return _refused(request, case, form, 422, str(form.errors["mark_text"][0]))
    try:
        finish.give_text(
            case=case, version=form.started_from, by=person(request), values=form.values()
        )
    except EditConflict:
        return _refused(
            request,
            case,
            form,
            409,
            "Somebody else gave a text meanwhile. Look at it and write yours again if it is right.",
        )
    messages.success(request, "The text of the mark is given.")
    return redirect("finishing", case.code)


def _refused(
    request: HttpRequest, case: Case, form: MarkTextForm, status: int, refusal: str
) -> HttpResponse:
    user = person(request)
    typed = form.data.get("mark_text", "")
    fresh = case_for(request, case.code)
    context = {
        **head_context(fresh, user),
        "page_title": FINISHING.title,
        "form": FinishingForm(instance=_row(fresh)),
        "can_edit": False,
        "refusal": refusal,
        **_beside(fresh, user),
        "mark_form": MarkTextForm(instance=_mark_row(fresh), initial={"mark_text": typed}),
    }
    return render(request, FINISHING.template, context, status=status)
