"""Several answers to one proposal at the same moment: the first stands, the others see it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import ledger, proposing
from labcases.domain.proposal_answer import Signature, answer
from labcases.domain.proposing import AnsweredMeanwhile
from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.models import Case, Proposal
from tests.factories import world
from tests.labcases.domain.test_turns import at_once

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


def test_of_four_answers_and_a_withdrawal_at_once_one_is_carried_out():
    here = world()
    case = here.case_at(Stage.ACCEPTED)
    row = proposing.raise_proposal(
        case=case,
        kind=ProposalKind.VERTICAL,
        number=Decimal("2"),
        why="so that it fits",
        by=here.tomas,
    )
    told: list[str] = []

    def say(number: int) -> None:
        fresh = Proposal.objects.get(pk=row.pk)
        try:
            if number == 0:
                proposing.withdraw(proposal=fresh, reason="read again", by=here.mona)
                return
            answer(
                proposal=fresh,
                version=1,
                answer=ProposalState.CHANGE,
                number=Decimal(number),
                signature=Signature("Dora Winsley", "D-7781"),
                by=here.dora,
            )
        except AnsweredMeanwhile as first:
            told.append(str(first))

    at_once([lambda number=number: say(number) for number in range(5)])

    stands = Proposal.objects.get()
    after = Case.objects.get(pk=case.pk)
    assert len(told) == 4
    assert {text.partition(" proposal 1 first")[0] for text in told} == {
        "Mona Ridley withdrew" if stands.state == "withdrawn" else "Dora Winsley answered"
    }
    assert ledger.agreed_mm(after) == (stands.answered_mm or 0)
    assert after.history.filter(part="proposal").count() == 2
