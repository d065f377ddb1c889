"""One case with one row of everything that hangs on it."""

from __future__ import annotations

import pytest

from labcases.models import Case
from tests.factories import World, world


@pytest.fixture
def cast(db) -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    return cast.walk(patient_name="Agnes Dunmore").case
