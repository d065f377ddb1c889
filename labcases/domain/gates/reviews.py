"""What must be recorded before a denture is in review, and before its case is closed."""

from __future__ import annotations

from collections.abc import Iterator

from labcases.domain import review_state
from labcases.domain.gates.missing import DENTIST, Missing
from labcases.enums.reviews import Decision, ReviewAct
from labcases.models import Case
from labcases.templatetags.units import long_date


def first_review_held(case: Case) -> Iterator[Missing]:
    if review_state.last(case, ReviewAct.SEEN) is None:
        yield Missing(
            "No review is recorded since the delivery. Record the first one.",
            *("reviews", "", DENTIST),
        )


def denture_decided(case: Case) -> Iterator[Missing]:
    """A decision, what was decided done, and no liner that will run out unseen."""
    told = review_state.of(case)
    decision = told.decision if told else None
    if told is None or decision is None:
        yield Missing(
            "Nothing is decided about reline, rebase or remake. The dentist decides.",
            *("review_decide", "decision", DENTIST),
        )
    elif told.waits_for_reline:
        yield Missing(
            f"A {decision.decision} is decided, and not recorded as done.",
            *("reviews", "done", DENTIST),
        )
    elif decision.decision == Decision.REMAKE and not case.remakes.exists():
        yield Missing(
            "A remake is decided, and no case is open for it.", "remake", "reason", DENTIST
        )
    if told and told.liner:
        yield Missing(
            f"A {told.liner.liner.words.lower()} is in use since "
            f"{long_date(told.liner.placed_on)}. Record that it was taken out or relined over.",
            *("reviews", "liner", DENTIST),
        )
