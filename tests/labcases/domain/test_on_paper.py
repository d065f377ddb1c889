"""How a signature on paper reads, and where there is none to read."""

from __future__ import annotations

import pytest

from labcases.domain import on_paper
from labcases.enums import Stage
from labcases.management import paper_walk
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_a_draft_and_a_signature_by_log_in_read_as_they_always_did():
    here = world()
    draft = here.walk().case
    signed = here.walk(patient_code="P-2").to(Stage.SENT)

    assert on_paper.signature(draft.prescription) == ""
    assert on_paper.signature(signed.prescription) == ""
    assert on_paper.waiting(draft) == []


def test_papers_under_way_are_told_until_they_are_confirmed():
    here = world()
    case = paper_walk.open_case(
        office=here.office, laboratory=here.laboratory, patient_code="MR-1", by=here.lena
    )
    assert [paper.state for paper in on_paper.waiting(case)] == ["being typed"]

    paper_walk.sign_on_paper(case, typed_by=here.lena, confirmed_by=here.mona)

    assert on_paper.waiting(case) == []
    assert on_paper.of_draft(case.prescription) is None
