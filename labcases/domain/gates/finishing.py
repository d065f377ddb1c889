"""What must be true of the finished denture: its mark and its template."""

from __future__ import annotations

from collections.abc import Iterator

from labcases.domain import finishing
from labcases.domain.gates.missing import MANAGER, Missing
from labcases.models import Case, Finishing

PAGE = "finishing"


def finished(case: Case) -> Iterator[Missing]:
    row: Finishing | None = getattr(case, "finishing", None)
    yield from _marked(case, row)
    yield from _template(case, row)


def _marked(case: Case, row: Finishing | None) -> Iterator[Missing]:
    if not finishing.is_wanted(case):
        return
    if not finishing.text_of(case):
        yield Missing(
            "The office has not given the text of the mark. Ask for it, or ask the dentist for a "
            "revision.",
            PAGE,
            passable=MANAGER,
        )
    elif row is None or not row.mark_placed:
        yield Missing(
            "Put the mark into the denture, read it, and say that it is placed.",
            PAGE,
            "mark_placed",
            MANAGER,
        )
    elif row.mark_digest != finishing.digest(case):
        yield Missing(
            "The text of the mark has changed since it was placed. Read the mark and say it again.",
            PAGE,
            "mark_placed",
            MANAGER,
        )


def _template(case: Case, row: Finishing | None) -> Iterator[Missing]:
    if not finishing.template_wanted(case):
        return
    if row is None or not row.template_made:
        yield Missing("A template was decided. Make it and say so.", PAGE, "template_made", MANAGER)
    elif not row.template_seats:
        yield Missing(
            "Check the template beside the finished denture: it seats on the cast as the denture "
            "does. Where it does not, make it again.",
            PAGE,
            "template_seats",
            MANAGER,
        )
