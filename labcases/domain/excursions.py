"""What the last passes in the excursions say of a mark in centric, and what is said of it by hand.

The rule asks first whether the same cusp marks there too (``calculations.excursions``).
"""

from __future__ import annotations

from labcases import notation
from labcases.domain import history, ledger, passes
from labcases.domain.calculations import SeenExcursion
from labcases.enums import Movement, SetUpAct
from labcases.enums.marks import Excursions
from labcases.models import Case, Mark, SetUpEntry, User


class NotOfCentric(Exception):
    """The mark is of another movement, or its pass was struck out."""


def seen(case: Case) -> dict[Movement, SeenExcursion]:
    """The last pass in each excursion, whether it was as wanted or not."""
    last = {m: entry for m, entry in ledger.last_passes(case).items() if m != Movement.CENTRIC}
    marks: dict[int, dict[str, str]] = {entry.pk: {} for entry in last.values()}
    for mark in Mark.objects.filter(entry__in=marks):
        marks[mark.entry_id][mark.tooth] = mark.cusps
    return {
        movement: SeenExcursion(
            marks[entry.pk],
            frozenset(passes.ground_since(case, SetUpAct.PASS, movement=movement)),
        )
        for movement, entry in last.items()
    }


def say(*, mark: Mark, answer: Excursions, by: User) -> Mark:
    """Say of a mark in centric whether its cusp marks in the excursions too; the last word counts.

    Raises
    ------
    NotOfCentric
        The mark is of another movement, or the pass was struck out meanwhile.
    """
    with history.turn(mark.entry.case):
        entry = SetUpEntry.objects.select_for_update().get(pk=mark.entry_id)
        if entry.movement != Movement.CENTRIC:
            raise NotOfCentric("This is asked of marks in centric only.")
        if entry.struck_at is not None:
            raise NotOfCentric("This pass was struck out. Make the pass again and log it.")
        row = Mark.objects.get(pk=mark.pk)
        before = row.in_excursions
        # Two teeth that meet are one contact: both say the same.
        pair = (row.tooth, notation.opposing(row.tooth))
        marks = Mark.objects.filter(entry=entry, tooth__in=pair)
        if not marks.exclude(in_excursions=answer).update(in_excursions=answer):
            return row
        history.write(
            case=mark.entry.case,
            by=by,
            act="excursions answered",
            part="set-up log",
            changes={
                "tooth": [None, row.tooth],
                "marks in excursions too": [before or None, str(answer)],
            },
        )
    row.in_excursions = answer
    return row
