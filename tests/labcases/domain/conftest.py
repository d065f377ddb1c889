"""Cases that wait before each stage, made once for a module and untouched by its tests."""

from __future__ import annotations

import pytest
from django.db import transaction

from labcases.enums import Stage
from labcases.management.walk import Walk
from labcases.models import Case
from tests.factories import World, world

ROAD = tuple(
    stage
    for stage in Stage
    if stage not in (Stage.DRAFT, Stage.TRAY, Stage.DECLINED, Stage.CANCELLED)
)


class Stock:
    """One cast, and for each stage a case of which only the move into it is left."""

    def __init__(self) -> None:
        self.cast: World = world()
        self._keys = {
            stage: self.cast.walk(patient_code=f"P-{100 + number}").ready(stage).pk
            for number, stage in enumerate(ROAD)
        }

    def before(self, stage: Stage) -> Walk:
        return Walk(Case.objects.get(pk=self._keys[stage]), self.cast.hands)


@pytest.fixture(scope="module")
def _stock(django_db_setup, django_db_blocker):
    """Filled once for a module that asks for it; each test undoes what it did itself."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield Stock()
        transaction.set_rollback(True)


@pytest.fixture
def stock(_stock, db) -> Stock:
    return _stock


@pytest.fixture
def cast(stock) -> World:
    return stock.cast


@pytest.fixture
def before(stock):
    """A function that takes the case before a stage out of stock."""
    return stock.before
