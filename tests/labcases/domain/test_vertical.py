"""The agreed vertical: what the dentist answered, until a revision says it anew."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import gates, ledger, prescription, vertical
from labcases.enums import BoxContent, BoxDirection, SetUpAct, Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.models import Proposal
from tests.factories import world
from tests.labcases.domain.test_proposal_answer import answered, propose

pytestmark = pytest.mark.django_db

D = Decimal
K, A = ProposalKind, ProposalState


def raised(walk) -> Proposal:
    return answered(walk, propose(walk, K.VERTICAL), A.YES)


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.SETTINGS)
    return walk


def test_nothing_is_agreed_but_zero_until_the_dentist_answers(walk):
    row = propose(walk, K.VERTICAL)
    assert (vertical.raised(walk.reload()), ledger.agreed_mm(walk.case)) == (None, 0)

    answered(walk, row, A.CHANGE)

    assert vertical.raised(walk.reload()) == row
    assert ledger.agreed_mm(walk.case) == D("1.5")


def test_the_ledger_balances_at_the_new_value_only(walk):
    raised(walk)
    walk.log(SetUpAct.PIN_READING, after_mm=D("0"))
    assert (ledger.balance(walk.reload()).difference_mm, ledger.balance(walk.case).balanced) == (
        -2,
        False,
    )
    walk.log(SetUpAct.PIN_READING, after_mm=D("2"))
    assert ledger.balance(walk.reload()).balanced


def revise(walk, **values):
    draft = prescription.revise(case=walk.reload(), by=walk.hands.dentist)
    prescription.save(row=draft, version=draft.version, by=walk.hands.dentist, values=values)
    walk.sign()


def test_a_revision_that_says_the_vertical_anew_goes_before_the_answer(walk):
    raised(walk)
    revise(walk, instructions="slowly")
    assert ledger.agreed_mm(walk.reload()) == 2

    revise(walk, vertical_occlusion_mm=D("66"))
    assert ledger.agreed_mm(walk.reload()) == 0


def test_the_mounting_waits_for_a_record_that_came_after_the_answer(walk):
    assert list(gates.jaw_record_here(walk.reload())) == []
    raised(walk)

    assert [one.text for one in gates.jaw_record_here(walk.reload())] == [
        "No jaw record has been counted in since the dentist set a new vertical."
    ]
    sent = walk.pack(BoxDirection.TO_LABORATORY, BoxContent.JAW_RECORD, by=walk.hands.office_desk)
    walk.case.boxes.filter(pk=sent.pk).update(sent_at=sent.packed_at)
    walk.take_in(BoxDirection.TO_LABORATORY, by=walk.hands.lab_desk)
    assert list(gates.jaw_record_here(walk.reload())) == []


@pytest.mark.parametrize(
    ("route", "try_in", "wanted"),
    [
        ("conventional", "waived", True),
        ("conventional", "not possible", False),
        ("interim", "waived", False),
    ],
)
def test_a_new_vertical_is_tried_in_also_where_the_try_in_was_waived(walk, route, try_in, wanted):
    row = walk.reload().prescription
    type(row).objects.filter(pk=row.pk).update(route=route, try_in=try_in)
    assert list(gates.try_in_answered(walk.reload())) == []
    raised(walk)

    assert [(one.text, one.passable) for one in gates.try_in_answered(walk.reload())] == [
        (
            "The dentist set a new vertical (proposal 1) and it has not been tried in. The dentist "
            "may go on without, with a reason.",
            "pass a dentist's gate",
        )
    ] * wanted
