"""One act that several people undo, or undo and change, at one moment."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connections

from labcases.domain import case as cases
from labcases.domain import chain, undo
from labcases.domain.undo import CannotUndo
from labcases.domain.versions import EditConflict
from labcases.enums import Stage
from labcases.models import Case
from tests.factories import World, world

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


@pytest.fixture
def here(transactional_db) -> World:
    return world()


@pytest.fixture
def case(here) -> Case:
    walk = here.walk()
    walk.to(Stage.ACCEPTED)
    numbered(walk.reload(), "T-7", here)
    return walk.reload()


def numbered(case, tray, here):
    cases.set_tray_number(case=case, version=case.version, tray_number=tray, by=here.tomas)


def together(*acts: Callable[[], object]) -> Counter[str]:
    """Do all at one moment; how many ended in which way."""
    start = Barrier(len(acts))

    def one(act: Callable[[], object]) -> str:
        start.wait(timeout=30)
        try:
            act()
        except (CannotUndo, EditConflict) as told:
            return type(told).__name__
        else:
            return "stored"
        finally:
            connections.close_all()

    with ThreadPoolExecutor(len(acts)) as pool:
        return Counter(pool.map(one, acts))


def undoing(case, entry, by):
    return lambda: undo.undo(case=Case.objects.get(pk=case.pk), numbers=[entry.sequence], by=by)


def test_an_act_that_two_people_undo_at_once_is_undone_once(here, case):
    entry = case.history.last()

    ended = together(*(undoing(case, entry, by) for by in (here.tomas, here.mona) * 3))

    assert ended == {"stored": 1, "CannotUndo": 5}
    assert Case.objects.get(pk=case.pk).tray_number == ""
    assert case.history.filter(sequence__gt=entry.sequence).count() == 1
    assert chain.walk(case.laboratory).broken is None


def test_an_act_is_not_undone_over_what_somebody_typed_at_that_moment(here, case):
    entry, seen = case.history.last(), Case.objects.get(pk=case.pk)

    ended = together(undoing(case, entry, here.mona), lambda: numbered(seen, "T-8", here))

    tray = Case.objects.get(pk=case.pk).tray_number
    # Whoever was first stands: "T-8" is never wiped, and never lost without a word.
    assert (ended, tray) in [
        ({"stored": 1, "CannotUndo": 1}, "T-8"),
        ({"stored": 1, "EditConflict": 1}, ""),
    ]
