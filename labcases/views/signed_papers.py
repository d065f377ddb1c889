"""A signed paper: its page beside what was typed from it, and who confirms it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from labcases.domain import confirming, signed_papers
from labcases.domain.confirming import CONFIRM, SecondPersonNeeded
from labcases.domain.gates import Missing
from labcases.domain.pictures import NotAccepted
from labcases.domain.prescription import AlreadySigned, NotReady, TooLateToRevise
from labcases.domain.question import FIELD_OF
from labcases.domain.signed_papers import TYPE, NotNow
from labcases.domain.versions import EditConflict
from labcases.enums.signed_papers import PaperState
from labcases.forms.prescription import STEP_OF
from labcases.forms.signed_papers import (
    ConfirmPaperForm,
    PageForm,
    ReasonForm,
    SignatoryForm,
)
from labcases.models import Case, SignedPaper, User
from labcases.views import _answers
from labcases.views._head import head_context
from labcases.views._lookup import case_for, link_to, notation_for, person
from labcases.views._said import said_in_words
from labcases.views.paper_approvals import offered

#: What a confirming person says of a paper that does not agree, and why one is given up.
BACK = {"label": "What does not agree with the page", "asked": "Say what does not agree."}
GIVE_UP = {
    "label": "Why the paper is not typed any further",
    "asked": "Give the reason why the paper is not typed any further.",
}


@require_safe
def papers_signed(request: HttpRequest, code: str) -> HttpResponse:
    """All signed papers of a case, for both houses."""
    case = case_for(request, code)
    context = {
        **head_context(case, person(request)),
        "page_title": "Signed papers",
        "rows": [
            (row, row.words if row.state == PaperState.CONFIRMED else "")
            for row in case.signed_papers.select_related(
                "typed_by", "confirmed_by", "sent_back_by", "prescription"
            )
        ],
        "offered": offered(case),
    }
    return render(request, "signed_papers/list.html", context)


@require_safe
def signed_paper(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """The page beside what was typed from it."""
    case, paper = _paper_for(request, code, pk)
    return _page(request, case, paper)


@require_POST
def signed_paper_page(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Attach a page."""
    case, paper = _paper_for(request, code, pk, TYPE)
    form = PageForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, case, paper, 422, page_form=form)
    try:
        signed_papers.add_page(paper=paper, picture=form.cleaned_data["upload"], by=person(request))
    except NotAccepted as refused:
        form.add_error("upload", str(refused))
        return _page(request, case, paper, 422, page_form=form)
    except NotNow as refused:
        return _page(request, case, paper, 409, refusal=str(refused))
    messages.success(request, "The page is attached.")
    return _to(paper)


@require_POST
def signed_paper_hand_over(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Everything is typed: a second member confirms it."""
    case, paper = _paper_for(request, code, pk, TYPE)
    form = SignatoryForm(request.POST, paper=paper)
    if not form.is_valid():
        return _page(request, case, paper, 422, signatory=form)
    try:
        signed_papers.hand_over(
            paper=paper,
            version=form.cleaned_data["version"],
            by=person(request),
            **form.values(),
        )
    except NotReady:
        return _page(
            request, case, paper, 422, signatory=form, refusal="Not handed over: see what is open."
        )
    except NotNow as refused:
        return _page(request, case, paper, 409, refusal=str(refused))
    except EditConflict as found:
        return _page(request, case, paper, 409, refusal=_overtaken(found))
    messages.success(request, "Handed over. A second member compares it with the page.")
    return _to(paper)


@require_POST
def signed_paper_confirm(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """It agrees with the page; a prescription is in force by that."""
    case, paper = _paper_for(request, code, pk, CONFIRM)
    user = person(request)
    form = ConfirmPaperForm(request, user, request.POST)
    if not form.is_valid():
        return _page(request, case, paper, 422, confirm_form=form)
    try:
        confirmed = confirming.confirm(paper=paper, version=form.cleaned_data["version"], by=user)
    except (SecondPersonNeeded, NotReady) as refused:
        return _page(request, case, paper, 422, refusal=str(refused))
    except (NotNow, AlreadySigned, TooLateToRevise) as refused:
        return _page(request, case, paper, 409, refusal=str(refused))
    except EditConflict as found:
        return _page(request, case, paper, 409, refusal=_overtaken(found))
    row = confirmed.prescription
    messages.success(
        request,
        f"Revision {row.revision} is signed on paper and in force."
        if row
        else "Confirmed, and entered as the paper says it.",
    )
    return redirect("case", case.code)


@require_POST
def signed_paper_back(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """It does not agree with the page: back to be typed, with the reason."""
    case, paper = _paper_for(request, code, pk, CONFIRM)
    form = ReasonForm(request.POST, **BACK, auto_id="id_back_%s")
    if not form.is_valid():
        return _page(request, case, paper, 422, back_form=form)
    return _closed(request, case, paper, form, confirming.send_back, "It goes back to be typed.")


@require_POST
def signed_paper_give_up(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """The paper does not count: the draft stays, and the office may write it."""
    case, paper = _paper_for(request, code, pk, TYPE)
    form = ReasonForm(request.POST, **GIVE_UP, auto_id="id_up_%s")
    if not form.is_valid():
        return _page(request, case, paper, 422, give_up_form=form)
    return _closed(request, case, paper, form, signed_papers.give_up, "The paper is given up.")


def _closed(
    request: HttpRequest, case: Case, paper: SignedPaper, form: ReasonForm, verb: Any, done: str
) -> HttpResponse:
    try:
        verb(paper=paper, by=person(request), **form.cleaned_data)
    except NotNow as refused:
        return _page(request, case, paper, 409, refusal=str(refused))
    except EditConflict as found:
        return _page(request, case, paper, 409, refusal=_overtaken(found))
    messages.success(request, done)
    return _to(paper)


@require_POST
def signed_paper_ask(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Ask the office about one thing that the paper leaves open, with one tap."""
    case, paper = _paper_for(request, code, pk, TYPE)
    field = request.POST.get("field", "")
    text = next((item.text for item in signed_papers.lacks(paper) if item.field == field), "")
    if not text or field not in STEP_OF:
        return _page(request, case, paper, 422, refusal="Choose one of the things that are open.")
    try:
        asked = signed_papers.ask_office(
            paper=paper,
            field=field,
            about=_about(field),
            text=f"The signed paper leaves this open. {text} Send the answer signed, please.",
            by=person(request),
        )
    except NotNow as refused:
        return _page(request, case, paper, 409, refusal=str(refused))
    messages.success(
        request, f"The office is asked about {asked.about}. Confirming the paper answers it."
    )
    return _to(paper)


def _about(field: str) -> str:
    """The field in the words of a question."""
    known = {name: words for words, name in FIELD_OF.items()}
    return known.get(field) or f"the prescription: {_answers.label_of(field).lower()}"


def _paper_for(
    request: HttpRequest, code: str, pk: int, act: str = "see a case"
) -> tuple[Case, SignedPaper]:
    case = case_for(request, code, act)
    rows = SignedPaper.objects.select_related(
        "case__laboratory", "case__office", "prescription", "typed_by", "confirmed_by"
    )
    return case, get_object_or_404(rows, pk=pk, case=case)


def _to(paper: SignedPaper) -> HttpResponse:
    return redirect("signed_paper", paper.case.code, paper.pk)


def _overtaken(found: EditConflict) -> str:
    return (
        f"{found.stored.changed_by or 'Somebody else'} went on with this paper while you had it "
        "open. Look at it again."
    )


def open_points(case: Case, paper: SignedPaper) -> list[dict[str, Any]]:
    """What is open, where it is typed, and the field that the office can be asked about."""
    return [
        {
            "text": item.text,
            "url": _where(case, paper, item),
            "link": "Go there",
            "ask": item.field if item.field in STEP_OF else "",
            "asked": any(
                one.about == _about(item.field) and one.waits for one in case.questions.all()
            )
            if item.field in STEP_OF
            else False,
        }
        for item in signed_papers.lacks(paper)
    ]


def _where(case: Case, paper: SignedPaper, item: Missing) -> str:
    if item.part == "paper":
        return f"{reverse('signed_paper', args=[case.code, paper.pk])}#id_{item.field}"
    if item.part == "office":
        return reverse("questions", args=[case.code])
    return link_to(case, item)


def _page(
    request: HttpRequest, case: Case, paper: SignedPaper, status: int = 200, **more: Any
) -> HttpResponse:
    user = person(request)
    paper.refresh_from_db()
    head = head_context(case, user)
    context = {
        **head,
        "page_title": f"{paper.get_says_display()}, on paper",
        "paper": paper,
        "pages": paper.in_view,
        "words": paper.words if paper.state == PaperState.CONFIRMED else "",
        "open_points": [],
        **_typed(case, paper, user, change=TYPE in head["acts"]),
        **_forms(request, paper, user, head["acts"]),
        **more,
    }
    context["refused_form"] = next(
        (form for name, form in more.items() if name in FORMS and form.errors), None
    )
    return render(request, "signed_papers/paper.html", context, status=status)


FORMS = ("page_form", "signatory", "confirm_form", "back_form", "give_up_form")


def _typed(case: Case, paper: SignedPaper, user: User, *, change: bool) -> dict[str, Any]:
    """What was typed, in words, and what is open of it."""
    typing = paper.state == PaperState.TYPING
    row = paper.prescription
    told: dict[str, Any] = {"row": row}
    if paper.state in (PaperState.TYPING, PaperState.WAITING):
        told["open_points"] = open_points(case, paper)
    if not row:
        told["said"] = said_in_words(paper)
        told["can_retype"] = change and typing
    else:
        notation = notation_for(user, case)
        told["sections"] = _answers.sections(row, notation, change=change and typing)
    return told


def _forms(
    request: HttpRequest, paper: SignedPaper, user: User, acts: frozenset[str]
) -> dict[str, Any]:
    """The forms that this person may send at this point."""
    version = {"version": paper.version}
    found: dict[str, Any] = {"known": signed_papers.signatories(paper.case)}
    if TYPE in acts and paper.state in (PaperState.TYPING, PaperState.WAITING):
        found |= {
            "page_form": PageForm(),
            "give_up_form": ReasonForm(initial=version, **GIVE_UP, auto_id="id_up_%s"),
        }
        if paper.state == PaperState.TYPING:
            found["signatory"] = SignatoryForm(paper=paper)
    if CONFIRM in acts and paper.state == PaperState.WAITING:
        found["back_form"] = ReasonForm(initial=version, **BACK, auto_id="id_back_%s")
        found["why_not"] = confirming.why_not_confirm(user, paper)
        if not found["why_not"]:
            found["confirm_form"] = ConfirmPaperForm(request, user, initial=version)
    return found
