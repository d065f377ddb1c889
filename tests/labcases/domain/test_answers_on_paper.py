"""One signed paper that answers several proposals: all of its answers, or none."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import ledger, proposing
from labcases.domain.signed_papers import NotNow
from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind
from labcases.management import paper_walk
from tests.factories import World, world
from tests.labcases.domain.test_paper_approvals import fresh, typed
from tests.labcases.domain.test_proposal_answer import propose

pytestmark = pytest.mark.django_db


@pytest.fixture
def here() -> World:
    return world()


def said_of(row, answer, number="", text=""):
    return {"proposal": row.pk, "answer": answer, "number": number, "text": text}


def test_one_paper_answers_several_proposals_and_what_takes_the_case_back_comes_last(here):
    walk = here.walk()
    walk.to(Stage.SETTINGS)
    walk.enter_settings()
    vertical = propose(walk, ProposalKind.VERTICAL)
    setting = propose(walk, ProposalKind.SETTING)
    natural = propose(walk, ProposalKind.NATURAL)
    left = propose(walk, ProposalKind.ARRANGEMENT)
    answers = [
        said_of(vertical, "change", "1.5", "no more"),
        said_of(setting, "yes"),
        said_of(natural, "no", text="it stays"),
    ]
    paper = typed(here, walk.case, "proposal", answers=answers)

    paper_walk.confirm(paper, by=here.mona)

    case = fresh(walk.case)
    assert list(case.proposals.values_list("number", "state")) == [
        (1, "change"),
        (2, "yes"),
        (3, "no"),
        (4, "waiting"),
    ]
    assert {row.paper for row in case.proposals.exclude(pk=left.pk)} == {paper}
    assert (case.stage, ledger.agreed_mm(case)) == (Stage.JAW_RECORDS, Decimal("1.5"))
    assert case.articulator.condylar_right_deg == Decimal("35")
    entries = case.history.filter(part="proposal", act="answered on paper").order_by("id")
    assert [next(iter(entry.changes)) for entry in entries] == [
        "proposal 3",
        "proposal 2",
        "proposal 1",
    ]


def test_of_several_answers_none_is_entered_where_one_does_not_fit(here):
    walk = here.walk()
    walk.to(Stage.SETTINGS)
    walk.enter_settings()
    natural = propose(walk, ProposalKind.NATURAL)
    setting = propose(walk, ProposalKind.SETTING)
    paper = typed(
        here,
        walk.case,
        "proposal",
        answers=[said_of(natural, "yes"), said_of(setting, "change", "30")],
    )

    with pytest.raises(NotNow) as refused:
        paper_walk.confirm(paper, by=here.mona)

    assert str(refused.value).replace("\N{NO-BREAK SPACE}", " ") == (
        "Proposal 2: 30 deg is what stands now. Enter another number, or answer no. None of the 2 "
        "answers on the paper is entered."
    )
    assert {row.state for row in walk.case.proposals.all()} == {"waiting"}


def test_one_of_several_that_changed_since_holds_the_whole_paper_up(here):
    walk = here.walk()
    walk.to(Stage.ACCEPTED)
    rows = [propose(walk, kind) for kind in (ProposalKind.NATURAL, ProposalKind.ARRANGEMENT)]
    paper = typed(here, walk.case, "proposal", answers=[said_of(row, "yes") for row in rows])
    proposing.withdraw(proposal=rows[1], reason="twice", by=here.tomas)

    with pytest.raises(NotNow, match="What this paper speaks of has changed since it was typed"):
        paper_walk.confirm(paper, by=here.mona)
