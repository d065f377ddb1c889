"""The statement that goes with the denture, where a chosen place asks for one."""

from __future__ import annotations

from collections.abc import Iterator

from labcases.domain import device_statement
from labcases.domain.gates.missing import Missing
from labcases.models import Case

PAGE = "statement"


def statement_drawn_up(case: Case) -> Iterator[Missing]:
    asking = device_statement.asking(case)
    if not asking:
        return
    row = device_statement.standing(case)
    if row is None:
        yield Missing(
            f"{asking[0].title} asks for a statement with the denture. Draw it up before it "
            "leaves.",
            PAGE,
        )
    elif why := device_statement.outdated(case, row):
        yield Missing(f"The device statement is outdated. {why} Draw it up again.", PAGE)
