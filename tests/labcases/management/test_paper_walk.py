"""The walk of a signed paper does what the pages do, and nothing for a paper of another sort."""

import pytest

from labcases.management import paper_walk
from labcases.models import Case
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_it_types_attaches_hands_over_and_confirms():
    here = world()
    case = paper_walk.open_case(
        office=here.office, laboratory=here.laboratory, patient_code="MR-1", by=here.lena
    )

    paper = paper_walk.sign_on_paper(case, typed_by=here.lena, confirmed_by=here.mona, shade="A1")

    assert (paper.state, paper.typed_by, paper.confirmed_by) == ("confirmed", here.lena, here.mona)
    assert Case.objects.get(pk=case.pk).prescription.shade == "A1"
    assert paper.in_view[0].kind == "paper prescription"


def test_a_drawing_can_stand_for_several_pages():
    assert paper_walk.drawn_page().sent_sha256 != paper_walk.drawn_page(b"2").sent_sha256
