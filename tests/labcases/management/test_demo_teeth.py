"""The stock of the demonstration, and its order that comes too late."""

import pytest
from django.utils import timezone

from labcases.domain import queries, stock, tooth_dates
from labcases.enums import Arch, Route, Stage
from labcases.management.demo_teeth import SETS, fill_stock, ordered_late
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_the_shelves_hold_sets_of_both_arches_and_some_are_down_to_none():
    cast = world()

    fill_stock(cast.laboratory, cast.mona)

    rows = stock.search(cast.laboratory, stock.Asked())
    assert rows.count() == len(SETS) == 9
    assert rows.filter(count=0).count() == 2
    assert {row.arch for row in rows} == {"upper", "lower"}


def test_one_order_is_overdue_and_the_other_comes_after_the_set_up_must_begin():
    cast = world()
    walk = cast.walk(surgery_in_days=9)
    walk.to(Stage.MASTER_CAST, route=Route.INTERIM, arch=Arch.LOWER)

    ordered_late(walk)

    case, today = walk.reload(), timezone.localdate()
    assert "set-up must begin" in tooth_dates.too_late(case, queries.plan_of(case), today)
    assert (
        "Ordered from Lowgate Supplies and not here: the lower anterior teeth"
        in (tooth_dates.overdue(case, today)[0])
    )
