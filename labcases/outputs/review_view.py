"""Reviews as the screen shows them: what is due, the liner, the reline, and every line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from labcases import codes
from labcases.domain import remaking, review_dates, review_state, reviewing
from labcases.domain.review_dates import DueReview, LinerAge
from labcases.enums.reviews import Decision, ReviewAct
from labcases.models import Case, ReviewEntry
from labcases.reference.reviews import signs, to_mind
from labcases.templatetags.units import due_date, long_date, tooth_number

STATES = {
    review_dates.DONE: ("done", "Recorded"),
    review_dates.MISSED: ("ended", "Not recorded"),
    review_dates.NOT_NEEDED: ("ended", "Not needed: made again"),
    review_dates.LATE: ("warning", "Overdue"),
    review_dates.DUE: ("waiting", "Due"),
    review_dates.AHEAD: ("not yet", "Ahead"),
}
LINER_STATES = {
    review_dates.GOOD: ("done", "Within its days"),
    review_dates.TO_CHANGE: ("warning", "To be looked at or changed"),
    review_dates.OVER: ("warning", "Past its days"),
}


@dataclass(frozen=True)
class DueRow:
    """One review as a row: its day, the span in which it is on time, and how it stands."""

    key: str
    words: str
    on: str
    span: str
    glyph: str
    word: str
    booked: bool
    closed: bool
    waits: bool
    source: str


@dataclass(frozen=True)
class ReviewLine:
    """One line of the log in words."""

    entry: ReviewEntry
    act: str
    text: str
    struck: bool
    strikable: bool


def build_context(case: Case, notation: str) -> dict[str, Any]:
    told = review_state.of(case)
    return {
        "told": told,
        "dues": [due_row(case, row) for row in told.dues] if told else [],
        "liner": liner_row(told.liner) if told and told.liner else None,
        "decision": told.decision if told else None,
        "again": again(case),
        "lines": lines(case, notation),
        "cautions": [*to_mind("review"), *to_mind("remount")],
    }


def again(case: Case) -> list[dict[str, str]]:
    """The cases that the denture is made again in."""
    return [
        {
            "code": one.case.code,
            "name": codes.grouped(one.case.code),
            "stage": one.case.get_stage_display().lower(),
            "reason": remaking.reason_words(one),
        }
        for one in remaking.remakes_of(case)
    ]


def due_row(case: Case, row: DueReview) -> DueRow:
    glyph, word = STATES[row.state]
    same = row.earliest == row.latest
    return DueRow(
        row.review.key,
        row.review.words,
        due_date(row.on),
        "that day" if same else f"{long_date(row.earliest)} to {long_date(row.latest)}",
        glyph,
        word,
        booked=row.state not in (review_dates.DONE, review_dates.NOT_NEEDED)
        and review_state.booked(case, row),
        closed=row.closed and row.state in (review_dates.AHEAD, review_dates.DUE),
        waits=row.waits,
        source=f"{row.review.source} ({row.review.mark})",
    )


def liner_row(age: LinerAge) -> dict[str, str]:
    glyph, word = LINER_STATES[age.state]
    return {
        "words": age.liner.words,
        "placed": long_date(age.placed_on),
        "days": str(age.days),
        "span": f"{long_date(age.first)} to {long_date(age.last)}",
        "text": age.liner.text,
        "source": f"{age.liner.source} ({age.liner.mark})",
        "glyph": glyph,
        "word": word,
    }


def lines(case: Case, notation: str) -> list[ReviewLine]:
    """Every line, the newest first."""
    return [
        ReviewLine(
            entry,
            str(entry.get_act_display()),
            reviewing.in_words(entry, lambda tooth: str(tooth_number(tooth, notation))),
            struck=entry.struck_at is not None,
            strikable=entry.struck_at is None and entry.act != ReviewAct.DECISION,
        )
        for entry in sorted(
            case.review_entries.select_related("by", "struck_by"),
            key=lambda row: row.pk,
            reverse=True,
        )
    ]


def decision_rows() -> list[dict[str, str]]:
    """What speaks for which decision, each with its source."""
    return [
        {
            "text": one.text,
            "speaks_for": str(Decision(one.speaks_for).label),
            "source": f"{one.source} ({one.mark})",
        }
        for one in signs().values()
    ]
