"""Questions about a case, and their answers, in one thread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import access
from labcases.domain import case as cases
from labcases.enums import Side
from labcases.forms.questions import WORDS, AnswerForm, QuestionForm
from labcases.models import Case, Question
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, person


@dataclass(frozen=True)
class Said:
    """A question with the form that answers it, for those who may."""

    question: Question
    answer_form: AnswerForm | None


@require_http_methods(["GET", "POST"])
def questions(request: HttpRequest, code: str) -> HttpResponse:
    """The thread of a case; POST asks."""
    case = acting_case(request, code, "ask a question")
    if request.method == "GET":
        return _page(request, case)
    form = QuestionForm(request.POST)
    if not form.is_valid():
        return _page(request, case, status=422, form=form)
    cases.ask(case=case, by=person(request), **_asked(form))
    messages.success(request, "The question is asked. The case waits until it is answered.")
    return redirect("questions", case.code)


@require_POST
def question_answer(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Answer one question; a second answer is shown beside the first."""
    case = case_for(request, code)
    question = get_object_or_404(Question, pk=pk, case=case)
    if not access.may(person(request), cases.answered_by_act(question), case):
        raise PermissionDenied
    form = AnswerForm(request.POST, auto_id=_ids(question))
    if not form.is_valid():
        return _page(request, case, status=422, answering=(question, form))
    try:
        cases.answer(question=question, text=form.cleaned_data["text"], by=person(request))
    except cases.AlreadyAnswered:
        question.refresh_from_db()
        return _page(request, case, status=409, late_answer=(question, form.cleaned_data["text"]))
    messages.success(request, "The answer is saved.")
    return redirect("questions", case.code)


def _asked(form: QuestionForm) -> dict[str, Any]:
    cleaned = form.cleaned_data
    return {
        "about": cleaned["about"],
        "text": cleaned["text"],
        "waits_for": Side(cleaned["waits_for"]),
        "clinical": cleaned["clinical"],
    }


def _ids(question: Question) -> str:
    """Several answers may stand open on one page; their fields keep apart by this."""
    return f"id_%s_{question.pk}"


def _page(
    request: HttpRequest,
    case: Case,
    *,
    status: int = 200,
    form: QuestionForm | None = None,
    answering: tuple[Question, AnswerForm] | None = None,
    late_answer: tuple[Question, str] | None = None,
) -> HttpResponse:
    user = person(request)
    head = head_context(case, user)
    tried = {answering[0].pk: answering[1]} if answering else {}
    thread = []
    for row in case.questions.select_related("asked_by", "answered_by"):
        may_answer = row.answered_at is None and cases.answered_by_act(row) in head["acts"]
        answer_form = tried.get(row.pk, AnswerForm(auto_id=_ids(row))) if may_answer else None
        thread.append(Said(row, answer_form))
    context = {
        **head,
        "page_title": "Questions",
        "thread": thread,
        "form": form or QuestionForm(initial=_initial(request, case)),
        "answering": answering[1] if answering else None,
        "late_answer": late_answer,
    }
    return render(request, "questions/questions.html", context, status=status)


def _initial(request: HttpRequest, case: Case) -> dict[str, Any]:
    """What the question is about when the link says so; the other house has to answer."""
    about = request.GET.get("about", "")
    from_office = access.positions(person(request), case) & access.OFFICE
    return {
        "about": about if about in WORDS else "",
        "waits_for": Side.LABORATORY if from_office else Side.OFFICE,
    }
