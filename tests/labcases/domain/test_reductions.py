"""What was taken off a tooth, and what the dentist lets off beyond its budget."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import bench, reductions
from labcases.enums import SetUpAct, Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from tests.factories import world
from tests.labcases.domain.test_proposal_answer import answered, propose

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.SET_UP)
    return walk


def test_what_is_allowed_counts_from_what_was_taken_off_by_then(walk):
    walk.log(SetUpAct.REDUCTION, teeth=["15", "16"], after_mm=D("0.2"))
    assert reductions.taken_mm(walk.reload()) == {"15": 0.2, "16": 0.2}
    assert reductions.allowed(walk.case) == {}

    answered(walk, propose(walk, ProposalKind.REDUCTION), ProposalState.YES)

    [(tooth, found)] = reductions.allowed(walk.reload()).items()
    assert (tooth, found.total_mm, found.words) == (
        "15",
        D("0.7"),
        "allowed by the dentist, proposal 1",
    )


def test_a_site_that_is_measured_again_is_allowed_nothing_by_an_older_answer(walk):
    answered(walk, propose(walk, ProposalKind.REDUCTION), ProposalState.YES)
    site = walk.reload().sites.get(tooth="15")
    bench.save_site(
        case=walk.case,
        tooth="15",
        version=site.version,
        by=walk.hands.technician,
        values={"shell_over_fossa_mm": D("2.4")},
    )

    assert reductions.allowed(walk.reload()) == {}
