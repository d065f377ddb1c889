"""The case of the other arch: opening it, linking one that is open, and unlinking."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from labcases.domain import gates, linking, pairs, stages
from labcases.domain.case import NotLinked
from labcases.domain.linking import CannotLink
from labcases.enums import Stage
from labcases.forms.linked import JoinForm, UnlinkForm
from labcases.models import Case
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person
from labcases.views._refusal import listed

LINK = "link cases"
OPEN = "open a case"


@require_safe
def linked(request: HttpRequest, code: str) -> HttpResponse:
    """The other case, where both differ, and what each lacks to be released together."""
    return _page(request, case_for(request, code))


@require_POST
def linked_open(request: HttpRequest, code: str) -> HttpResponse:
    """Open the case of the other arch, linked with this one."""
    case = case_for(request, code, OPEN)
    try:
        opened = linking.open_other(case=case, by=person(request))
    except (CannotLink, NotLinked) as refused:
        return _page(request, case, status=422, refusal=str(refused))
    messages.success(
        request,
        f"Case {pairs.named(opened)} is open and linked. What was said once of this mouth is "
        "filled in; the dentist signs it.",
    )
    return redirect("case", opened.code)


@require_POST
def linked_join(request: HttpRequest, code: str) -> HttpResponse:
    """Link this case with one that is open already."""
    case = case_for(request, code, LINK)
    form = JoinForm(request.POST, cases=linking.candidates(case, person(request)))
    if not form.is_valid():
        return _page(request, case, status=422, form=form)
    other = form.cleaned_data["other"]
    try:
        linking.link(case=case, other=other, by=person(request))
    except CannotLink as refused:
        return _page(request, case, status=422, form=form, refusal=str(refused))
    messages.success(request, f"Linked with case {pairs.named(other)}.")
    return redirect("linked", case.code)


@require_POST
def linked_part(request: HttpRequest, code: str) -> HttpResponse:
    """Unlink, with a reason."""
    case = case_for(request, code, LINK)
    form = UnlinkForm(request.POST)
    if not form.is_valid():
        # The box for the reason stands only where there is a link.
        gone = "" if pairs.link_of(case) else linking.LINKED_NO_MORE
        return _page(request, case, status=422, unlink_form=form, refusal=gone)
    try:
        linking.unlink(case=case, reason=form.cleaned_data["reason"], by=person(request))
    except CannotLink as refused:
        return _page(request, case, status=409, refusal=str(refused))
    messages.success(request, "Unlinked. Each case has a surgery day of its own again.")
    return redirect("linked", case.code)


def _page(
    request: HttpRequest,
    case: Case,
    *,
    status: int = 200,
    form: JoinForm | None = None,
    unlink_form: UnlinkForm | None = None,
    refusal: str = "",
) -> HttpResponse:
    user = person(request)
    other = pairs.other(case)
    context: dict[str, Any] = {
        **head_context(case, user),
        "page_title": "Both arches",
        "other": other,
        "refusal": refusal,
        "unlink_form": unlink_form or UnlinkForm(),
    }
    context |= {"can_link": LINK in context["acts"], "can_open": OPEN in context["acts"]}
    if other is not None:
        context |= {
            "other_name": pairs.named(other),
            "other_stage": stages.stage_words(other),
            "differences": list(pairs.differences(case.prescription, other.prescription)),
            "lacks": [
                {
                    "name": pairs.named(one),
                    "at_finishing": one.stage == Stage.FINISHING,
                    "stage": stages.stage_words(one).lower(),
                    "items": listed(one, gates.release_ready(one)),
                }
                for one in (case, other)
            ],
        }
    else:
        found = linking.candidates(case, user) if case.is_open else []
        context |= {"candidates": found, "form": form or JoinForm(cases=found)}
    return render(request, "linked/page.html", context, status=status)
