"""Teeth of a case on its way."""

import pytest

from labcases.domain import teeth_needed, tooth_orders
from labcases.management.walk_teeth import have_teeth
from tests.factories import world
from tests.labcases.tooth_stock import BACK, chosen_case, fresh, front, on_shelf

pytestmark = pytest.mark.django_db


def test_every_set_is_here_but_for_those_that_a_story_took():
    cast = world()
    case = chosen_case(cast)
    tooth_orders.take(case=case, need=front(case), tooth_set=on_shelf(cast), by=cast.tomas)

    have_teeth(fresh(case), cast.tomas)
    have_teeth(fresh(case), cast.tomas)

    assert teeth_needed.in_hand(fresh(case))
    assert teeth_needed.lots(fresh(case)) == "anterior teeth A-17, posterior teeth T-118"
    assert not case.questions.exists()


def test_what_lies_on_the_shelf_as_approved_is_taken_from_there():
    cast = world()
    case, row = chosen_case(cast), on_shelf(cast, BACK)

    have_teeth(case, cast.tomas)

    row.refresh_from_db()
    assert row.count == 0
    assert teeth_needed.lots(fresh(case)) == "anterior teeth T-118, posterior teeth P-08"
