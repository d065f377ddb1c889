"""Device statement: what goes with the denture by place, how long it is kept, and by which rule."""

from __future__ import annotations

from typing import Any

from labcases.domain import device_statement, profiles, retention
from labcases.domain import statement as european
from labcases.enums import PaperKind
from labcases.models import Case, User
from labcases.outputs import paper

TEMPLATE = "outputs/statement_sheet.html"


def told(case: Case) -> dict[str, Any]:
    """What stands of the statement, and what each chosen place asks, with its source."""
    row = device_statement.standing(case)
    asking = device_statement.asking(case)
    return {
        "statement": row,
        "outdated": device_statement.outdated(case, row) if row else "",
        "asking": asking,
        "chosen": profiles.chosen(case),
        "asked": [
            {"words": item.words, "number": item.number, "places": ", ".join(places)}
            for item, places in device_statement.asked_items(case)
        ],
        "not_read": [
            {"place": one.title, "words": "; ".join(unread)}
            for one in profiles.chosen(case)
            if (unread := device_statement.not_read(one.key))
        ],
        "sources": [
            {
                "place": one.title,
                "source": device_statement.source_of(one.key),
                "edition": one.edition,
            }
            for one in profiles.chosen(case)
        ],
        "kept": row.kept if row else retention.in_words(case),
        "edition": european.source(),
        "advice": device_statement.ADVICE,
    }


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """The statement as it was drawn up, or what would be asked and is not drawn up yet."""
    return {**paper.common(case, PaperKind.STATEMENT, by, notation), **told(case)}
