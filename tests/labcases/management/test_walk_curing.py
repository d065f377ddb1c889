"""A walk processes a base as a bench would: in order, in time, with every lot."""

from __future__ import annotations

import pytest

from labcases.domain import processing_state as states
from labcases.enums import Stage
from tests.factories import world

pytestmark = [pytest.mark.django_db]


def test_a_base_is_processed_without_anything_to_mind():
    state = states.of(states.run_of(world().case_at(Stage.REMOUNT)))

    assert state.steps_missing() == []
    assert state.lots_missing() == []
    assert state.cautions() == []
    assert (state.run.flask, state.run.cycle) == ("3", "short")
    assert {row.lot for row in state.materials} == {"L-2291", "M-118"}
