"""What hangs on an answer, told before it is given."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from labcases.domain import hanging
from labcases.enums import Route, Stage, Thing
from labcases.enums.proposals import ProposalKind, ProposalState
from tests.factories import world
from tests.labcases.domain.test_proposal_answer import propose

pytestmark = pytest.mark.django_db

K, A = ProposalKind, ProposalState
D = Decimal


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.SET_UP)
    walk.set_posterior()
    return walk


def told(walk, kind, said, **number):
    row = propose(walk, kind)
    found = hanging.hangs(row, said, **number)
    return found, [text.replace("\xa0", " ") for text in found.sentences]


def test_of_a_new_vertical_everything_from_the_mounting_onward(walk):
    found, sentences = told(walk, K.VERTICAL, A.YES)

    assert sentences == [
        "The agreed pin value becomes 2 mm from pin zero, and the vertical ledger must balance to "
        "it before processing and again before release.",
        "A new jaw record is taken at that vertical, and the casts are mounted by it.",
        "The space at each site is read again at that vertical.",
        "The set-up is tried in at that vertical before the final wax.",
        "The case goes back to jaw records.",
        "The mounting is kept as a past one; the casts are mounted and verified again.",
        "The jaw record of the mounting no longer counts; a new one is taken.",
        "Pin openings and readings are struck out.",
        Thing.PASSES.label,
        "Parts of the set-up that were done are struck out as done.",
        "The clearance check and the height budget are stale and are computed again.",
        "Into mounting: a jaw record at the new vertical is counted in.",
        "Into settings: the casts are mounted by that record and verified.",
        "Into try-in: the pin stands at the new agreed value.",
        "Into processing: the set-up is tried in, and the ledger balances at the new value.",
        f"{found.days_lost} working days of the plan are done again.",
    ]
    assert found.moves
    assert found.days_lost > 0


def test_on_the_interim_route_it_says_that_no_try_in_comes_first(walk):
    row = propose(walk, K.VERTICAL)
    row.case.prescription.__class__.objects.update(route=Route.INTERIM)
    row = type(row).objects.get(pk=row.pk)

    sentences = hanging.hangs(row, A.YES).sentences

    assert any(text.startswith("No try-in exists on the interim route") for text in sentences)
    assert not any("Into try-in" in text or "is tried in" in text for text in sentences)


def test_whether_the_surgery_day_holds_is_told_where_the_case_goes_back(walk):
    row = propose(walk, K.VERTICAL)
    near = hanging.hangs(row, A.YES, today=walk.case.surgery_on)
    far = hanging.hangs(row, A.YES, today=date(2020, 1, 1))

    assert (near.surgery.holds, far.surgery.holds) == (False, True)
    assert hanging.hangs(row, A.NO).surgery is None


def test_of_a_setting_the_check_and_the_passes(walk):
    found, sentences = told(walk, K.SETTING, A.CHANGE)

    assert sentences[:3] == [
        "The right condylar inclination in the articulator record becomes the number that you "
        "give, as approved by the dentist.",
        "The case goes back to settings.",
        "The clearance check goes stale.",
    ]
    assert found.things == (Thing.PASSES, Thing.PARTS)


def test_of_a_reduction_the_shell_that_it_leaves(walk):
    found, sentences = told(walk, K.REDUCTION, A.CHANGE, number=D("0.4"))

    assert sentences == [
        "Denture tooth 15 may be reduced by up to 0.4 mm more; its budget then says: allowed by "
        "the dentist, proposal 1.",
        "That leaves a shell of 1.4 mm over the fossa; the least on the material sheet is 1.5 mm.",
        "No other tooth is allowed anything by it.",
    ]
    assert not found.moves


@pytest.mark.parametrize("said", [A.YES, A.NO, A.CHANGE])
def test_of_a_natural_tooth_nothing(walk, said):
    found, sentences = told(walk, K.NATURAL, said)

    assert sentences[0] == (
        "Your word is recorded and shown beside the finding. Nothing else follows: the laboratory "
        "changes no natural tooth, and no depth is proposed for one."
    )
    assert (found.moves, found.things, found.checks, found.gates) == (False, (), (), ())


def test_of_a_no_that_what_waited_goes_on(walk):
    for kind in K:
        _found, sentences = told(walk, kind, A.NO)
        assert sentences[-1] == "It is recorded, and what waited for it goes on without it."
        assert len(sentences) == 2


def test_of_another_arrangement_the_approval_of_a_wax_that_is_approved(walk):
    found, _sentences = told(walk, K.ARRANGEMENT, A.YES)
    assert (found.things, found.gates) == ((), ())
