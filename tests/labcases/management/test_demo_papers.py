"""The demonstration has an office that sends paper, with a paper for a second pair of eyes."""

import pytest

from labcases.domain import on_paper, paper_offices
from labcases.management import demo_papers
from labcases.management.demo_stories import STORIES, Stories
from labcases.models import Case, Organisation
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_one_paper_case_is_accepted_and_another_waits_to_be_confirmed():
    here = world()
    demo_papers.on_paper(
        Stories(
            laboratory=here.laboratory,
            offices=(here.office, here.other_office),
            hands=(here.hands, here.hands),
        )
    )

    office = Organisation.objects.get(name="Osier Row Dental Practice")
    assert paper_offices.is_on_paper(office)
    assert list(Case.objects.filter(office=office).values_list("patient__code", "stage")) == [
        ("MR-207", "accepted"),
        ("MR-208", "draft"),
    ]
    accepted, waiting = Case.objects.filter(office=office).order_by("id")
    assert on_paper.signature(accepted.prescription).startswith(
        "on paper, page on file: Ilse Rowan, licence D-6120"
    )
    assert [paper.state for paper in on_paper.waiting(waiting)] == ["to be confirmed"]
    assert waiting.signed_papers.get().typed_by == here.lena
    assert demo_papers.on_paper in STORIES
