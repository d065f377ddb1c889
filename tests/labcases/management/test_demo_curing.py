"""The bench of the demonstration has hours, a cycle of its own, and a base in the bath."""

from __future__ import annotations

import pytest

from labcases.domain import curing, curing_cycles
from labcases.domain import processing_state as states
from labcases.enums import Stage
from labcases.management import demo_curing
from tests.factories import world

pytestmark = [pytest.mark.django_db]


def test_the_laboratory_has_hours_and_an_overnight_cycle():
    here = world()

    cycle = curing_cycles.as_cycle(demo_curing.equip(here.laboratory, here.mona))

    here.laboratory.refresh_from_db()
    assert [row.called for row in here.laboratory.own_materials.all()] == [
        "heat-cured resin, pink, veined",
        "soft liner, chairside",
        "repair resin, tooth shade",
    ]
    assert f"{here.laboratory.opens_at:%H:%M}-{here.laboratory.closes_at:%H:%M}" == "08:00-16:00"
    assert curing.whole(cycle) == (630, 630)


def test_a_base_is_in_the_bath_with_nothing_to_mind():
    walk = world().walk()
    walk.to(Stage.PROCESSING)

    demo_curing.in_the_bath(walk)

    state = states.of(states.of_case(walk.reload()))
    assert state.next_step.label == "Taken out of the bath"
    assert state.cautions() == []
    assert state.run.flask == "5"
