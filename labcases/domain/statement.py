"""The eight items of the statement for a custom-made device, and which of them a case has.

The items are data (``reference/statement.toml``); what a case holds is looked up as for the
profiles. Not legal advice.
"""

from __future__ import annotations

from dataclasses import dataclass

from labcases.domain import profiles
from labcases.domain.profiles import Has
from labcases.models import Case
from labcases.reference import told_statement

#: Of several parts of an item the one that is furthest from being there says how it stands.
_WORST_FIRST = (
    *(Has.MISSING, Has.NOT_READ, Has.LATER, Has.ELSEWHERE),
    *(Has.AT_SENDING, Has.AT_SIGNING, Has.PRESENT),
)


@dataclass(frozen=True)
class StatementItem:
    """One item: ``part`` and ``field`` mend what is missing, as in the profiles."""

    number: int
    key: str
    words: str
    has: Has
    mend: str = ""
    part: str = ""
    field: str = ""

    @property
    def filled(self) -> bool:
        """Whether this program can print it as the case stands."""
        return self.has == Has.PRESENT


def items(case: Case) -> list[StatementItem]:
    """The eight items in order, each with how it stands in the revision in force."""
    row = case.prescription
    found = []
    for told in told_statement()["items"]:
        answers = [profiles.LOOKS[part](case, row) for part in told["parts"]]
        has, mend, part, field = min(answers, key=lambda one: _WORST_FIRST.index(one[0]))
        found.append(
            StatementItem(told["number"], told["key"], told["words"], has, mend, part, field)
        )
    return found


def source() -> str:
    """Where the items were read, and in which edition."""
    told = told_statement()
    return f"{told['source']}; {told['edition']}"
