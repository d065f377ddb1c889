"""Proposals to the dentist, folded to a line of the case."""

from __future__ import annotations

from labcases.domain import proposal_reading as reading
from labcases.models import Case
from labcases.templatetags.units import long_time
from labcases.views._folded import Part, many, url_of


def proposals(case: Case) -> Part:
    rows = list(case.proposals.all())
    waiting = [row for row in rows if row.waits]
    line = many(len(rows), "proposal", "proposals") if rows else "Nothing was proposed"
    if waiting:
        line = "; ".join(
            f"{row.number}. {reading.words(row)}, waits since {long_time(row.raised_at)}"
            for row in waiting
        )
    return Part(
        "proposals",
        "Proposals to the dentist",
        url_of("proposals", case),
        line,
        done=True if rows else None,
        mark="waiting" if waiting else "",
        word="Open" if waiting else "Answered",
        pairs=[
            {
                "label": f"{row.number}. {reading.words(row)}",
                "value": reading.answer_words(row),
            }
            for row in rows
        ],
    )
