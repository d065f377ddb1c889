"""The reviews of a case on its way, and the decision about its denture."""

from __future__ import annotations

from typing import Any

from django.utils import timezone

from labcases.domain import reviewing
from labcases.enums.reviews import Decision, ReviewAct
from labcases.models import Case, ReviewEntry, User
from labcases.reference.reviews import FIRST, reviews


def log(case: Case, by: User, act: ReviewAct, **values: Any) -> ReviewEntry:
    """One line, of today."""
    told = {"happened_on": timezone.localdate(), **values}
    return reviewing.log(case=case, by=by, values={"act": act, **told})


def seen(case: Case, by: User, key: str, **values: Any) -> ReviewEntry:
    """A review in which every line is yes."""
    answers = {line.key: "yes" for line in reviews()[key].pause.lines}
    return log(case, by, ReviewAct.SEEN, review=key, answers=answers, **values)


def first_review(case: Case, by: User) -> ReviewEntry:
    return seen(case, by, FIRST)


def decide(case: Case, by: User, decision: str = Decision.WAIT, **values: Any) -> ReviewEntry:
    told = {"signs": ["fit_good"], "note": "The patient is content.", **values}
    return log(case, by, ReviewAct.DECISION, decision=decision, **told)
