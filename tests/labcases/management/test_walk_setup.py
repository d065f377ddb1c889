"""The set-up of a walk is a whole one: cut before set, every tooth, the pin back."""

from __future__ import annotations

import pytest

from labcases.domain import ledger, next_lines, trimming
from labcases.enums import Route, Stage
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


def test_after_both_parts_nothing_is_usual_any_more(walk):
    walk.set_posterior()
    walk.set_anterior()
    case = walk.reload()
    assert next_lines.of(case) == []
    assert [row.tooth for row in trimming.of(case).teeth] == ["13", "11", "22", "12", "21", "23"]
    assert ledger.cusps_held(case) == dict.fromkeys(
        ("17", "16", "15", "14", "24", "25", "26", "27"), True
    )


def test_on_the_interim_route_back_teeth_are_cut_too(walk):
    walk.prescribe(route=Route.INTERIM)
    walk.set_posterior()
    assert [row.tooth for row in trimming.of(walk.reload()).teeth] == ["15", "24", "14", "25"]
    acts = [str(entry.act) for entry in ledger.standing(walk.case)]
    assert acts.index("cast trimmed") < acts.index("tooth set")
