"""Questions about a case: their threads, who waits, and what is new to the reader."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import access, prescription
from labcases.domain import question as questions_of
from labcases.domain.gates import Missing
from labcases.domain.prescription import TooLateToRevise
from labcases.enums import EntryKind, Side
from labcases.forms.questions import CloseForm, QuestionForm, SayForm, SeenForm
from labcases.models import Case, Question, QuestionEntry, User
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, link_to, notation_for, person


@dataclass(frozen=True)
class Said:
    """One entry of a thread, and whether the reader has not read it yet."""

    entry: QuestionEntry
    new: bool


@dataclass(frozen=True)
class Thread:
    """A question with what was said, and what this person may say or do."""

    question: Question
    new: bool
    said: list[Said]
    form: SayForm | None = None
    close_form: CloseForm | None = None
    revise_form: SeenForm | None = None
    may: frozenset[str] = field(default_factory=frozenset)

    @property
    def unread(self) -> int:
        return self.new + sum(one.new for one in self.said)


@dataclass(frozen=True)
class Tried:
    """What a person sent that was not stored, shown again at its thread."""

    question: Question
    form: SayForm | None = None
    close_form: CloseForm | None = None


@require_http_methods(["GET", "POST"])
def questions(request: HttpRequest, code: str) -> HttpResponse:
    """The threads of a case; POST asks."""
    case = acting_case(request, code, "ask a question")
    if request.method == "GET":
        return _page(request, case)
    form = _question_form(request, case, request.POST)
    if not form.is_valid():
        return _page(request, case, status=422, form=form)
    asked = questions_of.ask(case=case, by=person(request), **form.asked())
    waits = "The case waits until it is answered." if asked.blocking else "The case goes on."
    messages.success(request, f"The question is asked. {waits}")
    return redirect("questions", case.code)


@require_POST
def question_answer(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Answer, or answer anew."""
    return _say(request, code, pk, EntryKind.ANSWER)


@require_POST
def question_again(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Ask once more in the same thread."""
    return _say(request, code, pk, EntryKind.AGAIN)


@require_POST
def question_remark(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Say something that neither answers nor asks."""
    return _say(request, code, pk, EntryKind.REMARK)


@dataclass(frozen=True)
class Speech:
    """One way of saying something: who may, what it does, and the words around it."""

    may: Callable[[User, Question], bool]
    verb: Callable[..., Question]
    label: str
    done: str


SPEECH: dict[EntryKind, Speech] = {
    EntryKind.ANSWER: Speech(
        questions_of.may_answer, questions_of.answer, "Answer", "The answer is saved."
    ),
    EntryKind.AGAIN: Speech(
        questions_of.may_ask_again,
        questions_of.ask_again,
        "Ask again",
        "The question is asked again, and waits for an answer once more.",
    ),
    EntryKind.REMARK: Speech(
        questions_of.may_remark, questions_of.remark, "Remark", "The remark is saved."
    ),
}


def _say(request: HttpRequest, code: str, pk: int, kind: EntryKind) -> HttpResponse:
    case, question = _asked(request, code, pk)
    way = SPEECH[kind]
    if not question.closed_at and not way.may(person(request), question):
        if _asked_again_meanwhile(request, question, kind):
            told = questions_of.SaidMeanwhile(question, _counted(request.POST["seen"]) or 0)
            return _overtaken(request, case, told, request.POST.get("text", ""))
        raise PermissionDenied
    form = SayForm(request.POST, label=way.label, auto_id=_ids(question))
    if not form.is_valid():
        return _page(request, case, status=422, tried=Tried(question, form=form))
    question.said = form.cleaned_data["seen"]
    try:
        way.verb(question=question, text=form.cleaned_data["text"], by=person(request))
    except (questions_of.SaidMeanwhile, questions_of.Closed) as told:
        return _overtaken(request, case, told, form.cleaned_data["text"])
    messages.success(request, way.done)
    return redirect(f"{_here(case)}#question-{question.pk}")


def _asked_again_meanwhile(request: HttpRequest, question: Question, kind: EntryKind) -> bool:
    """The thread was answered on this person's page, and has been asked again since."""
    seen = _counted(request.POST.get("seen", ""))
    return (
        kind == EntryKind.AGAIN
        and question.waits
        and seen is not None
        and seen < question.said
        and questions_of.may_remark(person(request), question)
    )


@require_POST
def question_close(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """The asker closes a thread, or takes an unanswered question back with a reason."""
    case, question = _asked(request, code, pk)
    if not question.closed_at and not questions_of.may_close(person(request), question):
        raise PermissionDenied
    form = CloseForm(request.POST, auto_id=_ids(question))
    if form.is_valid():
        question.said = form.cleaned_data["seen"]
        reason = form.cleaned_data["reason"]
        try:
            questions_of.close(question=question, by=person(request), reason=reason)
        except ValueError as refused:
            form.add_error("reason", str(refused))
        except (questions_of.SaidMeanwhile, questions_of.Closed) as told:
            return _overtaken(request, case, told, "")
        else:
            messages.success(request, "The question is closed.")
            return redirect("questions", case.code)
    return _page(request, case, status=422, tried=Tried(question, close_form=form))


@require_POST
def question_revise(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Answer by a new revision: open it at the field that the question is about."""
    case, question = _asked(request, code, pk)
    user = person(request)
    if not access.may(user, "answer a clinical question", case):
        raise PermissionDenied
    if not questions_of.may_answer_by_revision(user, question):
        messages.error(request, "This question waits for no revision of the prescription.")
        return redirect("questions", case.code)
    if question.revision and case.draft_revision == question.revision:
        return redirect(_field_of(case, question))
    form = SeenForm(request.POST)
    question.said = form.cleaned_data["seen"] if form.is_valid() else -1
    try:
        row = prescription.answer_by_revision(asked=question, by=user)
    except questions_of.SaidMeanwhile as told:
        return _overtaken(request, case, told, "")
    except TooLateToRevise as refusal:
        messages.error(request, str(refusal))
        return redirect("questions", case.code)
    messages.success(
        request,
        f"Revision {row.revision} is open at {question.about}. Signing it answers the question; "
        "until then the case waits.",
    )
    return redirect(_field_of(case, question))


def _field_of(case: Case, question: Question) -> str:
    """The address of the field of the prescription that a question is about."""
    return link_to(case, Missing("", "prescription", questions_of.FIELD_OF[question.about]))


def _counted(text: str) -> int | None:
    """How much somebody had on the page; nothing where the page says no such number."""
    return int(text) if re.fullmatch(r"[0-9]{1,9}", text) else None


@require_POST
def questions_read(request: HttpRequest, code: str) -> HttpResponse:
    """Take everything that stood on the page as read: ``seen-<question>`` says how far."""
    case = case_for(request, code)
    for question in case.questions.all():
        seen = _counted(request.POST.get(f"seen-{question.pk}", ""))
        if seen is not None:
            said = min(seen, question.said)
            questions_of.mark_read(user=person(request), question=question, said=said)
    messages.success(request, "Marked as read.")
    return redirect("questions", case.code)


def _asked(request: HttpRequest, code: str, pk: int) -> tuple[Case, Question]:
    case = case_for(request, code)
    return case, get_object_or_404(Question.objects.select_related("case"), pk=pk, case=case)


def _here(case: Case) -> str:
    return link_to(case, Missing("", "questions"))


def _ids(question: Question) -> str:
    """Several threads stand open on one page; their fields keep apart by this."""
    return f"id_%s_{question.pk}"


def _question_form(request: HttpRequest, case: Case, *data: Any, **more: Any) -> QuestionForm:
    return QuestionForm(
        *data, boxes=case.boxes.all(), notation=notation_for(person(request), case), **more
    )


def _overtaken(
    request: HttpRequest,
    case: Case,
    told: questions_of.SaidMeanwhile | questions_of.Closed,
    yours: str,
) -> HttpResponse:
    """Somebody spoke first: show what, and keep what this person wrote."""
    late = {
        "told": str(told),
        "entries": getattr(told, "entries", []),
        "question": getattr(told, "question", None),
        "yours": yours,
    }
    return _page(request, case, status=409, late=late)


def _page(
    request: HttpRequest,
    case: Case,
    *,
    status: int = 200,
    form: QuestionForm | None = None,
    tried: Tried | None = None,
    late: dict[str, Any] | None = None,
) -> HttpResponse:
    user = person(request)
    rows = list(
        case.questions.select_related(
            "case", "asked_by", "answered_by", "closed_by", "revision", "box"
        ).prefetch_related("entries__by", "entries__revision")
    )
    read = questions_of.read_up_to(user, rows)
    threads = [_thread(row, user, read[row.pk], tried, late) for row in rows]
    context = {
        **head_context(case, user),
        "page_title": "Questions",
        "open_threads": [one for one in threads if not one.question.closed_at],
        "closed_threads": [one for one in threads if one.question.closed_at],
        "unread": sum(one.unread for one in threads),
        "seen": [(f"seen-{row.pk}", row.said) for row in rows],
        "form": form or _question_form(request, case, initial=_initial(request, case)),
        "refused": (tried.form or tried.close_form) if tried else None,
        "late": late,
    }
    return render(request, "questions/questions.html", context, status=status)


def _thread(
    row: Question, user: User, read: int, tried: Tried | None, late: dict[str, Any] | None
) -> Thread:
    """A thread as this person sees it, with what was typed into it and refused."""
    said = [
        Said(entry, entry.number > read and entry.by_id != user.pk) for entry in row.entries.all()
    ]
    new = read < 0 and row.asked_by_id != user.pk
    may = frozenset(kind.value for kind, way in SPEECH.items() if way.may(user, row))
    may |= {"close"} if questions_of.may_close(user, row) else set()
    may |= {"revise"} if questions_of.may_answer_by_revision(user, row) else set()
    here = tried if tried and tried.question.pk == row.pk else None
    form = close_form = None
    if may & set(EntryKind):
        label = next(SPEECH[kind].label for kind in SPEECH if kind.value in may)
        initial: dict[str, Any] = {"seen": row.said}
        if late and late["question"] and late["question"].pk == row.pk:
            initial["text"] = late["yours"]
        form = SayForm(initial=initial, label=label, auto_id=_ids(row))
    seen = {"seen": row.said}
    if "close" in may:
        close_form = CloseForm(initial=seen, auto_id=_ids(row))
    if here:
        form, close_form = here.form or form, here.close_form or close_form
    revise_form = SeenForm(initial=seen, auto_id=False) if "revise" in may else None
    return Thread(row, new, said, form, close_form, revise_form, may)


def _initial(request: HttpRequest, case: Case) -> dict[str, Any]:
    """What the question is about when the link says so; the other house has to answer."""
    from_office = access.positions(person(request), case) & access.OFFICE
    return {
        "about": request.GET.get("about", ""),
        "text": request.GET.get("text", ""),
        "waits_for": Side.LABORATORY if from_office else Side.OFFICE,
    }
