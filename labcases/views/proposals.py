"""Proposals to the dentist: what waits, what hangs on each answer, and the answer itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from labcases.domain import hanging, proposing
from labcases.domain import proposal_reading as reading
from labcases.domain.hanging import Hangs
from labcases.domain.proposal_answer import ANSWER, NotAnswerable, answer
from labcases.domain.proposal_table import KIND_OF, TABLE
from labcases.domain.proposing import RAISE, AnsweredMeanwhile, NotProposable
from labcases.enums.proposals import ANSWERS, ProposalKind
from labcases.forms.proposals import AnswerForm, ProposeForm, WithdrawForm, answer_form
from labcases.models import Case, Proposal
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, notation_for, person

GLYPHS = {"waiting": "waiting", "yes": "done", "no": "ended", "change": "done"}


@dataclass(frozen=True)
class Shown:
    """A proposal in words, with what has changed under it."""

    row: Proposal
    words: str
    said: str
    glyph: str
    stale: list[str]


def _shown(row: Proposal) -> Shown:
    return Shown(
        row,
        reading.words(row),
        reading.answer_words(row),
        GLYPHS.get(row.state, "ended"),
        reading.stale(row),
    )


@require_safe
def proposals(request: HttpRequest, code: str) -> HttpResponse:
    """Every proposal of a case, the open ones first, and what can be proposed now."""
    case = case_for(request, code)
    rows = [_shown(row) for row in _rows(case)]
    context = {
        **head_context(case, person(request)),
        "page_title": "Proposals to the dentist",
        "waiting": [one for one in rows if one.row.waits],
        "answered": [one for one in reversed(rows) if not one.row.waits],
        "offered": [
            (row.slug, kind.label, proposing.why_not(case, kind)) for kind, row in TABLE.items()
        ],
    }
    return render(request, "proposals/list.html", context)


@require_http_methods(["GET", "POST"])
def proposal_new(request: HttpRequest, code: str, kind: str) -> HttpResponse:
    """Propose one thing; the address may name its tooth, its setting and its reason."""
    if kind not in KIND_OF:
        raise Http404
    case, wanted = case_for(request, code, RAISE), KIND_OF[kind]
    reason = proposing.why_not(case, wanted)
    if reason:
        return _new_page(request, case, wanted, None, 409, refusal=reason)
    given: dict[str, Any] = {"kind": wanted, "case": case}
    given["notation"] = notation_for(person(request), case)
    if request.method == "GET":
        initial = {name: request.GET[name] for name in _OFFERED if name in request.GET}
        return _new_page(request, case, wanted, ProposeForm(initial=initial, **given))
    form = ProposeForm(request.POST, **given)
    if not form.is_valid():
        return _new_page(request, case, wanted, form, 422)
    try:
        row = proposing.raise_proposal(case=case, by=person(request), **form.proposed())
    except NotProposable as refused:
        return _new_page(request, case, wanted, form, 422, refusal=str(refused))
    waits = "The case waits for the answer." if row.blocking else "The case goes on meanwhile."
    messages.success(request, f"Proposal {row.number} waits for the dentist. {waits}")
    return redirect("proposal", case.code, row.pk)


_OFFERED = ("field", "tooth", "why", "depth_mm", "agreed_mm", "to")


def _new_page(
    request: HttpRequest,
    case: Case,
    kind: ProposalKind,
    form: ProposeForm | None,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    context = {
        **head_context(case, person(request)),
        "page_title": f"Propose: {kind.label.lower()}",
        "form": form,
        "kind": kind,
        "signed": TABLE[kind].signed,
        **more,
    }
    return render(request, "proposals/new.html", context, status=status)


@require_http_methods(["GET", "POST"])
def proposal(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """One proposal with what hangs on each answer; the dentist's POST answers."""
    case = acting_case(request, code, ANSWER)
    row = _row(case, pk)
    if request.method == "GET":
        return _page(request, case, row)
    if not row.waits:
        return _page(request, case, row, 409, refusal=str(AnsweredMeanwhile(row)))
    form = answer_form(request, person(request), row, request.POST)
    if not form.is_valid():
        return _page(request, case, row, 422, form=form)
    try:
        answer(
            proposal=row,
            version=form.cleaned_data["version"],
            by=person(request),
            signature=form.signature(),
            **form.answered(),
        )
    except AnsweredMeanwhile as told:
        return _page(request, case, _row(case, pk), 409, refusal=str(told))
    except NotAnswerable as refused:
        return _page(request, case, row, 422, form=form, refusal=str(refused))
    messages.success(request, f"Proposal {row.number} is answered.")
    return redirect("proposal", case.code, row.pk)


@require_POST
def withdraw(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """The laboratory takes back what nobody has answered."""
    case = case_for(request, code, RAISE)
    row = _row(case, pk)
    form = WithdrawForm(request.POST)
    if not row.waits:
        return _page(request, case, row, 409, refusal=str(AnsweredMeanwhile(row)))
    if not form.is_valid():
        return _page(request, case, row, 422, withdraw_form=form)
    try:
        proposing.withdraw(proposal=row, reason=form.cleaned_data["reason"], by=person(request))
    except AnsweredMeanwhile as told:
        return _page(request, case, _row(case, pk), 409, refusal=str(told))
    messages.success(request, f"Proposal {row.number} is withdrawn.")
    return redirect("proposals", case.code)


def _rows(case: Case) -> list[Proposal]:
    rows = list(
        case.proposals.select_related(
            "raised_by",
            "answered_by",
            "withdrawn_by",
            "paper__typed_by",
            "paper__confirmed_by",
        )
    )
    for row in rows:
        row.case = case
    return rows


def _row(case: Case, pk: int) -> Proposal:
    row: Proposal = get_object_or_404(Proposal, pk=pk, case=case)
    row.case = case
    return row


def _page(
    request: HttpRequest,
    case: Case,
    row: Proposal,
    status: int = 200,
    *,
    form: AnswerForm | None = None,
    withdraw_form: WithdrawForm | None = None,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    context = {
        **head_context(case, user),
        "page_title": f"Proposal {row.number}",
        "one": _shown(row),
        "row": row,
        "hangs": _hangs(row) if row.waits else [],
        "signed": TABLE[ProposalKind(row.kind)].signed,
        "record_says": reading.differs(row),
        **more,
    }
    if row.waits and ANSWER in context["acts"]:
        context["form"] = form or answer_form(request, user, row)
    if row.waits and RAISE in context["acts"]:
        context["withdraw_form"] = withdraw_form or WithdrawForm()
    return render(request, "proposals/proposal.html", context, status=status)


def _hangs(row: Proposal) -> list[Hangs]:
    return [hanging.hangs(row, one) for one in ANSWERS]
