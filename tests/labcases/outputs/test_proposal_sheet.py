"""Proposals on paper: what hangs on yes and no, boxes to tick, and a line to sign."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from tests import needs
from tests.labcases.domain.test_proposal_answer import answered, propose
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


def test_every_waiting_proposal_stands_with_what_hangs_on_it_and_its_boxes(cast):
    walk = cast.walk(patient_name="Ada Quill")
    walk.to(Stage.SETTINGS)
    walk.enter_settings()
    answered(walk, propose(walk, ProposalKind.NATURAL), ProposalState.NO, text="it stays")
    propose(walk, ProposalKind.VERTICAL)
    propose(walk, ProposalKind.SETTING)

    text = " ".join(text_of(render("proposals", walk.reload(), cast.tomas)).split())

    assert "R01-PD" in text
    assert "P-100" in text
    assert "Quill" not in text
    assert "Proposal 2: The dentist raises the vertical by 2 mm" in text
    assert "The case goes back to jaw records." in text
    assert "The vertical stays as agreed; another way out is taken." in text
    assert "mm (-2 to 10 mm)" in text
    assert "deg (0 to 75 deg)" in text
    assert "A yes or a change counts as a signature under revision R01." in text
    assert "Dentist, name and signature" in text
    assert (
        "1. Natural tooth 46 (Universal 30): the dentist decides: It stays as it is. it stays"
        in text
    )


def test_a_stale_proposal_says_so_on_paper_too(cast):
    walk = cast.walk()
    walk.to(Stage.SETTINGS)
    walk.enter_settings()
    propose(walk, ProposalKind.SETTING)
    walk.settings["condylar_right_deg"] = Decimal("32")
    walk.enter_settings()

    text = " ".join(text_of(render("proposals", walk.reload(), cast.tomas)).split())

    assert "STALE: The right condylar inclination is 32 deg now; it was 30 deg." in text
