"""The story of proposals: three wait, one is answered."""

from __future__ import annotations

import pytest

from labcases.management.demo_proposals import proposed
from labcases.management.demo_stories import Stories
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_the_story_leaves_three_proposals_that_wait_and_one_that_is_answered():
    here = world()
    proposed(
        Stories(
            laboratory=here.laboratory,
            offices=(here.office, here.other_office),
            hands=(here.hands, here.hands),
        )
    )

    case = here.laboratory.laboratory_cases.get()
    assert [(row.kind, row.state) for row in case.proposals.all()] == [
        ("arrangement", "change"),
        ("natural tooth", "waiting"),
        ("reduction", "waiting"),
        ("vertical", "waiting"),
    ]
