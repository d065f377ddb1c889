"""Asking, answering and closing questions, and who has read what of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable
from typing import Any

from django.db.models import Case as Either
from django.db.models import Count, Exists, F, OuterRef, Q, QuerySet, Subquery, When
from django.db.models.functions import Coalesce
from django.utils import timezone

from labcases.domain import access, history
from labcases.enums import ENDS, EntryKind, Side
from labcases.models import (
    Box,
    Case,
    Prescription,
    Question,
    QuestionEntry,
    QuestionRead,
    User,
)
from labcases.models.question import WAITING

THREADS = "open_threads"
"""Where a list keeps the threads that it has fetched with a case."""

HOUSE = {Side.OFFICE: access.OFFICE, Side.LABORATORY: access.LABORATORY}

# What a question can name of the prescription, and the field that a revision then opens at.
FIELD_OF: dict[str, str] = {
    "the arch": "arch",
    "the route": "route",
    "the teeth to be replaced": "teeth",
    "what the denture meets": "opponent",
    "the opposing teeth": "opposing",
    "the first extraction": "first_extraction_on",
    "the order of the set-up": "set_up_order",
    "the base material": "base_material",
    "the tooth material": "tooth_material",
    "the shade": "shade",
    "the mould": "mould",
    "the occlusal scheme": "scheme",
    "the jaw record": "jaw_record",
    "the flange": "flange",
    "the allergy": "allergy",
    "the try-in": "try_in",
    "overjet and overbite": "overjet_mm",
    "the incisal display": "incisal_display_mm",
    "the midline": "midline_offset_mm",
    "the vertical of the denture": "vertical_wish",
    "the vertical before extraction": "vertical_occlusion_mm",
    "the pockets": "probing_mm",
    "the photographs": "photographs",
    "the post-dam": "post_dam",
    "the end of a lower denture": "lower_border",
    "the changes to natural teeth": "natural_changes",
    "the identification mark": "identification",
    "the surgical template": "template_wanted",
    "the settings that are wished": "settings_wish",
    "the return of the casts": "return_casts",
    "the plan for a reline": "reline_plan",
    "the characterisation": "characterisation",
    "the instructions": "instructions",
}


class SaidMeanwhile(Exception):
    """Somebody said something in this thread first. Nothing was written."""

    def __init__(self, question: Question, seen: int) -> None:
        self.question = question
        self.entries = list(
            question.entries.filter(number__gt=seen).select_related("by", "revision")
        )
        who = str(self.entries[0].by) if self.entries else "Somebody"
        super().__init__(f"{who} said something in this thread while you were writing.")


class Closed(Exception):
    """The thread is closed; a new question is asked instead."""


def ask(
    *,
    case: Case,
    about: str,
    text: str,
    waits_for: Side,
    clinical: bool = False,
    blocking: bool = True,
    tooth: str = "",
    box: Box | None = None,
    by: User,
) -> Question:
    """Ask about a named thing. The case waits for the answer unless ``blocking`` is off."""
    now = timezone.now()
    with history.turn(case):
        question = Question.objects.create(
            case=case,
            about=about,
            tooth=tooth,
            box=box,
            text=text,
            waits_for=waits_for,
            clinical=clinical,
            blocking=blocking,
            asked_by=by,
            asked_from=_house_of(by, case, other_than=waits_for),
            waiting_since=now,
        )
        _log(question, "asked", None, text, by)
        mark_read(user=by, question=question, said=0)
    return question


def _house_of(user: User, case: Case, *, other_than: Side) -> Side:
    """The house that a person asks from; of two houses the one that does not answer."""
    held = access.positions(user, case)
    found = [side for side, house in HOUSE.items() if held & house]
    return next((side for side in found if side != other_than), other_than)


def waits_in_words(question: Question) -> str:
    """Why the case goes nowhere."""
    house = question.get_waits_for_display().lower()
    return f"The case waits for the {house}: a question about {question.about} is open."


def answered_by_act(question: Question) -> str:
    """The act of the access table that answers a question."""
    return "answer a clinical question" if question.clinical else "answer a question"


def may_answer(user: User, question: Question) -> bool:
    """The house that is waited for answers; of it only the dentist where it is clinical."""
    if question.closed_at:
        return False
    able = HOUSE[Side(question.waits_for)] & access.MAY[answered_by_act(question)]
    return bool(access.positions(user, question.case) & able)


def may_ask_again(user: User, question: Question) -> bool:
    """Once it is answered, the asker's house may ask once more."""
    held = access.positions(user, question.case) & access.MAY["ask a question"]
    asks = question.asked_by_id == user.pk or (
        question.asked_from != question.waits_for and held & HOUSE[Side(question.asked_from)]
    )
    return bool(held and asks and question.answered_at and not question.closed_at)


def may_remark(user: User, question: Question) -> bool:
    return not question.closed_at and access.may(user, "ask a question", question.case)


def may_close(user: User, question: Question) -> bool:
    """The asker closes; for one who has left, any of the asker's house."""
    case = question.case
    held = access.positions(user, case) & access.MAY["ask a question"]
    if question.closed_at or not held:
        return False
    if question.asked_by_id == user.pk:
        return True
    left = not access.positions(question.asked_by, case)
    return bool(left and held & HOUSE[Side(question.asked_from)])


def may_answer_by_revision(user: User, question: Question) -> bool:
    """The dentist, where the question is about a field of the prescription."""
    return (
        question.about in FIELD_OF
        and question.waits
        and question.waits_for == Side.OFFICE
        and access.may(user, "answer a clinical question", question.case)
    )


def answer(*, question: Question, text: str, by: User) -> Question:
    """Answer, or answer anew. The case no longer waits for this question.

    Raises
    ------
    SaidMeanwhile
        The thread has grown since ``question`` was read.
    Closed
        The asker has closed it.
    """
    with history.turn(question.case):
        _say(question, EntryKind.ANSWER, text, by, answered=(text, by))
        _log(question, "answered", question.text, text, by)
    return question


def ask_again(*, question: Question, text: str, by: User) -> Question:
    """Ask once more in the same thread; the case waits again from now on."""
    with history.turn(question.case):
        _say(question, EntryKind.AGAIN, text, by, waits=True)
        _log(question, "asked again", None, text, by)
    return question


def remark(*, question: Question, text: str, by: User) -> Question:
    """Add words that neither answer nor ask: who waits stays as it is."""
    with history.turn(question.case):
        _say(question, EntryKind.REMARK, text, by)
        _log(question, "remarked", None, text, by)
    return question


def close(*, question: Question, by: User, reason: str = "") -> Question:
    """Close a thread; a question that nobody answered is withdrawn with a reason.

    Raises
    ------
    ValueError
        It is not answered, and no reason is given.
    SaidMeanwhile
        The thread has grown since ``question`` was read.
    """
    withdrawn = question.answered_at is None
    reason = reason.strip()
    if withdrawn and not reason:
        raise ValueError("Give the reason why you take the question back.")
    with history.turn(question.case):
        if withdrawn:
            _say(question, EntryKind.REMARK, reason, by)
        seen = question.said
        written = Question.objects.filter(pk=question.pk, said=seen, closed_at__isnull=True).update(
            closed_by=by, closed_at=timezone.now()
        )
        question.refresh_from_db()
        if not written:
            _refuse(question, seen)
        _log(question, "withdrawn" if withdrawn else "closed", question.text, None, by, reason)
    return question


def will_answer(*, question: Question, row: Prescription, by: User) -> Question:
    """Say that a revision is being written to answer; the case waits until it is signed."""
    with history.turn(question.case):
        _say(question, EntryKind.REVISION, "", by, revision=row)
        _log(question, "took up", question.text, f"revision {row.revision}", by)
    return question


def answer_by(*, row: Prescription, by: User) -> None:
    """A revision was signed: it answers the questions for which it was begun.

    Call it inside the transaction of the signature.
    """
    for question in row.questions.filter(WAITING).select_for_update():
        text = f"Revision {row.revision} of the prescription is signed."
        _say(question, EntryKind.ANSWER, text, by, answered=(text, by), revision=row)
        _log(question, "answered", question.text, text, by)


def _say(
    question: Question,
    kind: EntryKind,
    text: str,
    by: User,
    *,
    answered: tuple[str, User] | None = None,
    waits: bool = False,
    revision: Prescription | None = None,
) -> None:
    """Add an entry if the thread is still as long as the caller saw it."""
    now, seen = timezone.now(), question.said
    changes: dict[str, object] = {"said": F("said") + 1}
    if answered:
        changes |= {"answer": answered[0], "answered_by": answered[1], "answered_at": now}
    if waits:
        changes |= {
            "answer": "",
            "answered_by": None,
            "answered_at": None,
            "waiting_since": now,
            # A revision that was signed has answered; the next one is begun anew.
            "revision": None,
        }
    if revision:
        changes["revision"] = revision
    written = Question.objects.filter(pk=question.pk, said=seen, closed_at__isnull=True).update(
        **changes
    )
    question.refresh_from_db()
    if not written:
        _refuse(question, seen)
    QuestionEntry.objects.create(
        question=question,
        number=question.said,
        kind=kind,
        text=text,
        by=by,
        at=now,
        revision=revision,
    )
    mark_read(user=by, question=question, said=question.said)


def _log(
    question: Question, act: str, before: str | None, after: str | None, by: User, reason: str = ""
) -> None:
    """One line of the case's history about a question."""
    history.write(
        case=question.case,
        by=by,
        act=act,
        part="question",
        changes={question.about: [before, after]},
        reason=reason,
        row=history.made(question),
    )


def _refuse(question: Question, seen: int) -> None:
    if question.closed_at and question.said == seen:
        raise Closed(f"{question.closed_by} has closed this question. Ask a new one.")
    raise SaidMeanwhile(question, seen)


def mark_read(*, user: User, question: Question, said: int) -> None:
    """Remember how far a person has read a thread; a marker never goes back."""
    row, new = QuestionRead.objects.get_or_create(
        user=user, question=question, defaults={"said": said}
    )
    if not new and row.said < said:
        QuestionRead.objects.filter(pk=row.pk, said__lt=said).update(said=said, at=timezone.now())


def read_up_to(user: User, questions: Iterable[Question]) -> dict[int, int]:
    """Question -> how far a person has read it; -1 where not even the question was."""
    keys = [question.pk for question in questions]
    found = dict.fromkeys(keys, -1)
    found |= dict(
        QuestionRead.objects.filter(user=user, question__in=keys).values_list("question", "said")
    )
    return found


def threads(user: User) -> QuerySet[Question]:
    """Open threads, each with how many things in it are new to a person (``unread_count``)."""
    reads = QuestionRead.objects.filter(user=user)
    unread_entries = (
        QuestionEntry.objects.filter(question=OuterRef("pk"))
        .exclude(by=user)
        .exclude(Exists(reads.filter(question=OuterRef("question"), said__gte=OuterRef("number"))))
        .order_by()
        .values("question")
        .annotate(count=Count("pk"))
        .values("count")
    )
    itself = When(~Q(asked_by=user) & ~Exists(reads.filter(question=OuterRef("pk"))), then=1)
    return Question.objects.filter(closed_at__isnull=True).annotate(
        unread_count=Coalesce(Subquery(unread_entries), 0) + Either(itself, default=0)
    )


def unread(user: User, cases: Collection[Case]) -> dict[int, int]:
    """Case -> how many things others said in its open threads that a person has not read.

    Of what ``queries`` fetched with the cases, or asked for now.
    """
    open_cases = [case for case in cases if case.stage not in ENDS]
    found: Counter[int] = Counter()
    if any(not hasattr(case, THREADS) for case in open_cases):
        keys = [case.pk for case in open_cases]
        rows: Iterable[Any] = threads(user).filter(case__in=keys)
    else:
        rows = (row for case in open_cases for row in getattr(case, THREADS))
    for row in rows:
        found[row.case_id] += row.unread_count
    return {case: count for case, count in found.items() if count}
