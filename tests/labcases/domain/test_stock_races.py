"""The last set on the shelf, and one part of one case, wanted by several people at one moment."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise
from threading import Barrier

import pytest
from django.db import connections

from labcases.domain import stock, stock_files, tooth_orders
from labcases.domain.stock import OutOfStock
from labcases.domain.stock_files import NotTakenIn
from labcases.domain.tooth_orders import Meanwhile
from labcases.models import Case, StockLine, TeethSupply, ToothSet
from tests.factories import World, world
from tests.labcases.domain.test_stock_table import ROW, file
from tests.labcases.tooth_stock import chosen_case, front, on_shelf

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


@pytest.fixture
def here(transactional_db) -> World:
    return world()


def together(people: int, act: Callable[[int], object]) -> Counter[str]:
    """Let that many people act at one moment; how many ended in which way."""
    start = Barrier(people)

    def one(number: int) -> str:
        start.wait(timeout=30)
        try:
            act(number)
        except (OutOfStock, Meanwhile, NotTakenIn) as told:
            return type(told).__name__
        else:
            return "stored"
        finally:
            connections.close_all()

    with ThreadPoolExecutor(people) as pool:
        return Counter(pool.map(one, range(people)))


def test_two_technicians_take_the_last_set_and_one_of_them_is_told(here):
    row = on_shelf(here, count=1)
    wanted = [chosen_case(here), chosen_case(here, "P-101")]
    seen = [Case.objects.get(pk=case.pk) for case in wanted]
    by = (here.tomas, here.mona)

    ended = together(
        2,
        lambda n: tooth_orders.take(
            case=seen[n],
            need=front(seen[n]),
            tooth_set=ToothSet.objects.get(pk=row.pk),
            by=by[n],
        ),
    )

    assert ended == {"stored": 1, "OutOfStock": 1}
    assert ToothSet.objects.get().count == 0
    assert TeethSupply.objects.count() == 1
    assert StockLine.objects.filter(act="taken").count() == 1


def test_ten_people_take_teeth_for_one_case_and_one_set_leaves_the_shelf(here):
    row, case = on_shelf(here, count=20), chosen_case(here)
    seen = [Case.objects.get(pk=case.pk) for _ in range(10)]

    ended = together(
        10,
        lambda n: tooth_orders.take(
            case=seen[n], need=front(seen[n]), tooth_set=row, by=here.tomas
        ),
    )

    assert ended == {"stored": 1, "Meanwhile": 9}
    assert ToothSet.objects.get().count == 19


def test_no_count_is_lost_when_many_take_and_put_back(here):
    row = on_shelf(here, count=5)

    def act(number: int) -> None:
        verb = stock.take_one if number % 2 else stock.put_one
        verb(row=ToothSet.objects.get(pk=row.pk), case=None, by=here.tomas)

    assert together(8, act) == {"stored": 8}

    row.refresh_from_db()
    assert (row.count, row.version) == (5, 9)
    counted = list(row.lines.values_list("before", "after"))
    assert all(after == before for (_, after), (before, _) in pairwise(counted))


def test_a_file_that_two_people_take_in_is_taken_in_once(here):
    one = stock_files.look(laboratory=here.laboratory, content=file(ROW), by=here.lena)
    digest = stock_files.plan(one).digest

    ended = together(2, lambda _n: stock_files.take_in(file=one, digest=digest, by=here.lena))

    assert ended == {"stored": 1, "NotTakenIn": 1}
    assert ToothSet.objects.get().lines.count() == 1
