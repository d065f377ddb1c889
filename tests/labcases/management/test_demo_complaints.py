"""The demonstration has a complaint that is looked into and not closed."""

from __future__ import annotations

import pytest

from labcases.domain import complaints
from labcases.enums import Stage
from labcases.management import demo_complaints
from tests.factories import world

pytestmark = [pytest.mark.django_db]


def test_a_complaint_is_looked_into_and_stands_open_on_both_desks():
    here = world()
    walk = here.walk()
    walk.to(Stage.SENT)

    demo_complaints.complained_of(walk)

    for person in (here.mona, here.farah):
        (one,) = complaints.open_to(person)
        assert (one.state.label, one.grave) == ("Looked into", False)
