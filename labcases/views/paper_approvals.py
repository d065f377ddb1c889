"""Typing what a dentist approved on paper; its page, handing over and confirming follow."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from labcases.domain import paper_approvals
from labcases.domain.signed_papers import TYPE, NotNow
from labcases.domain.versions import EditConflict
from labcases.enums.signed_papers import PaperSays
from labcases.forms.paper_approvals import Typed, form_for
from labcases.models import Case, SignedPaper
from labcases.views._head import head_context
from labcases.views._lookup import case_for, number_of, person

#: The word of the address -> what the paper says.
KINDS = {
    "surgery-day": PaperSays.SURGERY,
    "try-in": PaperSays.TRY_IN,
    "waiver": PaperSays.WAIVER,
    "final-wax": PaperSays.FINAL_WAX,
    "gate": PaperSays.GATE,
    "proposal": PaperSays.PROPOSAL,
    "delivery": PaperSays.DELIVERY,
}


def offered(case: Case) -> list[tuple[str, str, str]]:
    """Every kind: the word of its address, its name, and why it is not typed now."""
    return [
        (word, str(says.label), paper_approvals.why_not(case, says)) for word, says in KINDS.items()
    ]


@require_http_methods(["GET", "POST"])
def approval_paper_new(request: HttpRequest, code: str, kind: str) -> HttpResponse:
    """Type an approval from a signed paper."""
    if kind not in KINDS:
        raise Http404
    case = case_for(request, code, TYPE)
    says = KINDS[kind]
    reason = paper_approvals.why_not(case, says)
    if reason:
        return _page(request, case, says, None, 409, refusal=reason)
    if request.method == "GET":
        return _page(request, case, says, form_for(says, case))
    form = form_for(says, case, request.POST)
    if not form.is_valid():
        return _page(request, case, says, form, 422)
    try:
        paper = paper_approvals.begin(case=case, says=says, said=form.said(), by=person(request))
    except NotNow as refused:
        return _page(request, case, says, form, 409, refusal=str(refused))
    messages.success(request, "Typed. Attach the signed page and hand it over.")
    return redirect("signed_paper", case.code, paper.pk)


@require_http_methods(["GET", "POST"])
def approval_paper_said(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Type it anew while it is typed."""
    case = case_for(request, code, TYPE)
    rows = case.signed_papers.exclude(says=PaperSays.PRESCRIPTION)
    paper: SignedPaper = get_object_or_404(rows, pk=pk)
    if request.method == "GET":
        return _page(
            request, case, paper.says, form_for(paper.says, case, said=paper.said), paper=paper
        )
    form = form_for(paper.says, case, request.POST, paper.said)
    if not form.is_valid():
        return _page(request, case, paper.says, form, 422, paper=paper)
    try:
        paper_approvals.retype(
            paper=paper,
            version=number_of(request.POST.get("paper_version", "")) or 0,
            said=form.said(),
            by=person(request),
        )
    except NotNow as refused:
        return _page(request, case, paper.says, form, 409, refusal=str(refused), paper=paper)
    except EditConflict as found:
        told = f"{found.stored.changed_by} typed it meanwhile. Look at it and save again."
        paper.refresh_from_db()
        return _page(request, case, paper.says, form, 409, refusal=told, paper=paper)
    messages.success(request, "Saved.")
    return redirect("signed_paper", case.code, paper.pk)


def _page(
    request: HttpRequest,
    case: Case,
    says: str,
    form: Typed | None,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    context = {
        **head_context(case, person(request)),
        "page_title": f"{PaperSays(says).label}, from a signed paper",
        "form": form,
        **more,
    }
    return render(request, "signed_papers/approval.html", context, status=status)
