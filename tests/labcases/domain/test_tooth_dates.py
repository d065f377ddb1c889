"""Orders of teeth against the plan of a case, and orders that should be here already."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import bench, queries, teeth_needed, tooth_dates, tooth_orders
from labcases.models import Case
from tests.factories import World, world
from tests.labcases.tooth_stock import back, chosen_case, fresh, front
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db

# Surgery on Wed 31-Mar-2027: the set-up begins 13 working days before, on Fri 12-Mar-2027.
TODAY = date(2027, 3, 1)


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    case = chosen_case(cast)
    Case.objects.filter(pk=case.pk).update(surgery_on=date(2027, 3, 31))
    return fresh(case)


def order(cast, case, need=front, *, ordered_on=TODAY, lead_days: int, **more):
    return tooth_orders.order(
        case=case,
        need=need(case),
        by=cast.lena,
        values={
            **teeth_needed.wanted(case, need(case).part),
            **{"supplier": "Brook Supplies", "ordered_on": ordered_on, "lead_days": lead_days},
        },
        **more,
    )


def too_late(case: Case, today: date = TODAY) -> str:
    row = fresh(case)
    return tooth_dates.too_late(row, queries.plan_of(row, today), today)


def test_teeth_that_come_on_the_latest_day_are_in_time(cast, case):
    order(cast, case, lead_days=9)

    assert too_late(case) == ""


def test_teeth_that_come_a_day_later_are_warned_of(cast, case):
    order(cast, case, lead_days=10)

    assert too_late(case) == "Teeth expected 15-Mar-2027, set-up must begin 12-Mar-2027."


def test_the_last_of_several_orders_counts_single_teeth_too(cast, case):
    order(cast, case, lead_days=2)
    order(cast, case, back, lead_days=12, tooth="16", reason="chipped")

    assert too_late(case) == "Teeth expected 17-Mar-2027, set-up must begin 12-Mar-2027."


def test_what_has_come_or_has_no_plan_warns_of_nothing(cast, case):
    held = order(cast, case, lead_days=10)
    tooth_orders.arrived(row=held, version=1, by=cast.lena, values={"counted": 6})
    assert too_late(case) == ""

    order(cast, case, back, lead_days=10)
    Case.objects.filter(pk=case.pk).update(surgery_on=None)
    assert too_late(case) == ""


def test_an_order_is_overdue_on_the_open_day_after_the_expected_one(cast, case):
    order(cast, case, lead_days=4)  # Fri 5-Mar-2027
    row = fresh(case)

    assert tooth_dates.overdue(row, date(2027, 3, 5)) == []
    assert tooth_dates.overdue(row, date(2027, 3, 7)) == []
    assert tooth_dates.overdue(row, date(2027, 3, 8)) == [
        "Ordered from Brook Supplies and not here: the upper anterior teeth, expected "
        "05-Mar-2027, 1 working day ago."
    ]
    assert tooth_dates.overdue(row, date(2027, 3, 9))[0].endswith("2 working days ago.")


class TestWhereItIsSaid:
    """An order of thirty days ago that should have come after one, and a surgery that is near."""

    @pytest.fixture
    def case(self, cast) -> Case:
        walk = cast.walk(surgery_in_days=22)
        walk.to("mounting")
        chosen = walk.reload()
        today = timezone.localdate()
        bench.save_selection(
            case=chosen,
            version=0,
            by=cast.tomas,
            values={"anterior_mould": "O-44", "shade": "B2", "material": "resin"},
        )
        chosen = walk.reload()
        order(cast, chosen, ordered_on=today - timedelta(days=30), lead_days=1)
        order(cast, chosen, back, ordered_on=today, lead_days=30)
        return walk.reload()

    @pytest.mark.parametrize("who", ["tomas", "lena", "mona"])
    def test_on_case_teeth_bench_and_desk_of_the_laboratory(self, cast, case, who):
        client = logged_in(getattr(cast, who))

        for name, args in (
            ("case", [case.code]),
            ("teeth", [case.code]),
            ("bench", []),
            ("desk", []),
        ):
            words = text_of(client.get(reverse(name, args=args)))
            assert "Teeth expected" in words, name
            assert "Ordered from Brook Supplies and not here: the upper anterior" in words, name
        assert "Teeth awaited" in words

    def test_on_the_desk_of_the_office_only_what_moves_the_set_up(self, cast, case):
        words = text_of(logged_in(cast.farah).get(reverse("desk")))

        assert "Teeth expected" in words
        assert "Brook Supplies" not in words
