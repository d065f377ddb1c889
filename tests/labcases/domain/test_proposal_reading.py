"""Reading proposals: limits of a change, and the one that names a natural tooth."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import proposal_reading as reading
from labcases.domain import proposing
from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from tests.factories import world
from tests.labcases.domain.test_proposal_answer import answered, propose

pytestmark = pytest.mark.django_db

D = Decimal
K, A = ProposalKind, ProposalState


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.SET_UP)
    return walk


def test_another_number_lies_within_what_the_kind_can_be(walk):
    assert {kind: reading.limits(propose(walk, kind)) for kind in K} == {
        K.SETTING: (0, 75),
        K.REDUCTION: (D("0.01"), D("1.79")),
        K.NATURAL: None,
        K.VERTICAL: (-2, 10),
        K.ARRANGEMENT: None,
    }


def test_an_answer_says_its_number_where_it_is_another_one_and_its_words(walk):
    told = {
        (kind, said): reading.answer_words(
            answered(walk, propose(walk, kind), said, text="" if said == A.YES else "as I say")
        ).replace("\xa0", " ")
        for kind in (K.REDUCTION, K.NATURAL)
        for said in (A.YES, A.CHANGE)
    }

    assert told == {
        (K.REDUCTION, A.YES): "Yes",
        (K.REDUCTION, A.CHANGE): "Yes, with a change: 0.4 mm. as I say",
        (K.NATURAL, A.YES): "I see to it",
        (K.NATURAL, A.CHANGE): "Otherwise. as I say",
    }
    higher = answered(walk, propose(walk, K.VERTICAL), A.CHANGE, text="")
    assert reading.answer_words(higher).replace("\xa0", " ") == (
        "Yes, with a change: agreed pin value 1.5 mm"
    )


def test_the_proposal_of_a_natural_tooth_is_the_last_that_was_not_withdrawn(walk):
    assert reading.of_tooth(walk.reload(), "46") is None
    first, second = propose(walk, K.NATURAL), propose(walk, K.NATURAL)
    assert reading.of_tooth(walk.reload(), "46") == second
    proposing.withdraw(proposal=second, reason="twice", by=walk.hands.technician)
    assert reading.of_tooth(walk.reload(), "46") == first
    assert reading.of_tooth(walk.case, "47") is None
