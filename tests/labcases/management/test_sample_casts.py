"""The casts of the demonstration: one late pour, two mountings, the second one verified."""

from __future__ import annotations

import pytest

from labcases.domain import casts, mounting
from labcases.enums import Stage
from labcases.management.sample_casts import mounted_twice
from tests.factories import world


@pytest.mark.django_db
def test_a_late_pour_and_a_second_mounting_are_told():
    walk = world().walk()
    walk.to(Stage.MOUNTING)

    mounted_twice(walk)
    walk.enter(Stage.SETTINGS)

    case = walk.reload()
    assert case.stage == Stage.SETTINGS
    assert [one.code for one in casts.cautions(case)] == ["poured-late"]
    assert [(one.number, one.verdict) for one in case.past_mountings.all()] == [(1, "not agreed")]
    assert (case.mounting.number, mounting.judge(case.mounting).word) == (2, "agreed")
    assert mounting.cautions(case) == []
