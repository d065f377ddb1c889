"""The technicians of the demonstration have minutes, so that its load says something."""

from __future__ import annotations

import pytest

from labcases.domain import load_reading
from labcases.management import demo_load
from tests.factories import world

pytestmark = [pytest.mark.django_db]


def test_technicians_have_minutes_and_the_manager_has_none():
    here = world()

    demo_load.give_minutes(here.laboratory, here.mona)

    bench = load_reading.bench_of(here.laboratory)
    assert {person.name: person.minutes for person in bench.people} == {
        "Mona Ridley": {},
        "Tomas Abelard": {1: 300, 2: 300, 3: 300, 4: 300, 5: 150},
    }
