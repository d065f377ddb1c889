"""The reviews after delivery, folded to a line on the page of a case."""

from __future__ import annotations

from typing import Any

from django.db.models import prefetch_related_objects
from django.urls import reverse

from labcases import codes
from labcases.domain import remaking, review_dates, review_state, reviewing
from labcases.domain.review_state import AfterDelivery
from labcases.enums import Stage
from labcases.models import Case
from labcases.templatetags.units import due_date, long_date, long_time
from labcases.views._folded import Part, url_of

DELIVERED = (Stage.DELIVERED, Stage.IN_REVIEW, Stage.CLOSED)
LAST = 5


def reviews(case: Case) -> Part:
    """What is due next, the lines that were recorded last, and the case of a remake."""
    url = url_of("reviews", case)
    again = _made_again(case)
    if case.stage not in DELIVERED:
        line = "After the delivery"
        return Part("reviews", "Reviews", url, f"{line}{_again_words(again)}", pairs=again)
    prefetch_related_objects([case], "review_entries__by")
    told = review_state.of(case)
    if told is None:
        return Part("reviews", "Reviews", url, "No day of delivery is entered", done=False)
    overdue = case.is_open and told.next is not None and told.next.state == review_dates.LATE
    pairs: list[Any] = [
        {"label": long_time(row.at), "value": f"{reviewing.in_words(row)} ({row.by})"}
        for row in reversed(review_state.standing(case)[-LAST:])
    ]
    window = f"{long_date(told.window.first)} to {long_date(told.window.last)}; sources differ"
    return Part(
        "reviews",
        "Reviews",
        url,
        f"{_line(case, told)}{_again_words(again)}",
        done=told.decision is not None and not told.waits_for_reline,
        mark="warning" if overdue else "",
        word="Overdue" if overdue else "Decided" if told.decision else "Open",
        pairs=[*pairs, {"label": "Reline", "value": window}, *again],
    )


def _line(case: Case, told: AfterDelivery) -> str:
    said = []
    if told.next and case.is_open:
        late = ", overdue" if told.next.state == review_dates.LATE else ""
        said.append(f"Next: {told.next.review.words.lower()}, {due_date(told.next.on)}{late}")
    if told.liner:
        said.append(f"{told.liner.liner.words}, {long_date(told.liner.last)} at the latest")
    if told.decision:
        said.append(f"Decided: {told.decision.get_decision_display().lower()}")
    return "; ".join(said) or "Nothing is due"


def _made_again(case: Case) -> list[Any]:
    if case.stage not in remaking.FROM:
        return []
    return [
        {
            "label": "Made again",
            "value": f"{codes.grouped(made.case.code)}: {remaking.reason_words(made)}",
            "url": reverse("case", args=[made.case.code]),
            "link": "Open that case",
        }
        for made in remaking.remakes_of(case)
    ]


def _again_words(again: list[Any]) -> str:
    return f"; made again in case {again[-1]['value'].split(':')[0]}" if again else ""
