"""The walk through the office leaves what the gate into delivered asks for."""

import pytest

from labcases.enums import Stage
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_each_person_of_the_office_does_their_own():
    here = world()
    case = here.case_at(Stage.DELIVERED)
    assert case.arrival.done_by == here.farah
    assert (case.surgery.done_by, case.delivery.done_by) == (here.dora, here.dora)
