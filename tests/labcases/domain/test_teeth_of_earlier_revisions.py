"""Teeth that were taken or ordered for an earlier revision: put back, or used again."""

from __future__ import annotations

import pytest

from labcases.domain import teeth_needed, tooth_orders
from labcases.domain.tooth_orders import NeedsReason, NotNow
from labcases.models import Case, TeethSupply, ToothSet
from tests.factories import World, world
from tests.labcases.domain.test_tooth_orders import last, order, take
from tests.labcases.tooth_stock import BACK, chosen_case, fresh, on_shelf

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    return chosen_case(cast)


class TestEarlierRevision:
    @pytest.fixture
    def aside(self, cast, case) -> TeethSupply:
        held = take(cast, case, on_shelf(cast))
        tooth_orders.set_aside(case=case, by=cast.dora, why="revision 2 of the prescription")
        held.refresh_from_db()
        return held

    def test_they_stay_listed_and_no_longer_count(self, case, aside):
        assert (aside.state, aside.ended_why) == ("set aside", "revision 2 of the prescription")
        assert teeth_needed.set_aside_rows(fresh(case)) == [aside]
        assert [gap.need.part for gap in teeth_needed.gaps(fresh(case))] == [
            "anterior",
            "posterior",
        ]
        assert last(case).act == "taken back"

    def test_they_are_used_again(self, cast, case, aside):
        again = tooth_orders.use_again(row=aside, version=2, by=cast.tomas)

        assert again.state == "in hand"
        assert teeth_needed.lots(fresh(case)) == "anterior teeth A-17"

    def test_an_order_goes_on_waiting_when_it_is_used_again(self, cast, case):
        held = order(cast, case)
        tooth_orders.set_aside(case=case, by=cast.dora, why="revision 2")
        held.refresh_from_db()

        assert tooth_orders.use_again(row=held, version=2, by=cast.lena).state == "ordered"

    def test_what_no_longer_is_as_approved_needs_a_reason(self, cast, case, aside):
        case.prescriptions.update(shade="A3")

        with pytest.raises(NeedsReason, match="shade B2, approved is A3"):
            tooth_orders.use_again(row=_read(aside), version=2, by=cast.tomas)
        tooth_orders.use_again(row=_read(aside), version=2, by=cast.tomas, reason="close enough")

        assert "B2 in place of A3" in case.questions.get().text

    def test_other_teeth_that_stand_come_first(self, cast, case, aside):
        take(cast, fresh(case), on_shelf(cast, lot="A-18"))

        with pytest.raises(NotNow, match="Other upper anterior teeth stand already"):
            tooth_orders.use_again(row=_read(aside), version=2, by=cast.tomas)

    def test_an_arch_that_is_no_longer_asked_for_takes_none(self, cast, case, aside):
        case.prescriptions.update(arch="lower")

        with pytest.raises(NotNow, match="asks for no upper anterior teeth"):
            tooth_orders.use_again(row=_read(aside), version=2, by=cast.tomas)

    def test_they_are_put_back_on_the_shelf(self, cast, aside):
        tooth_orders.put_back(row=aside, version=2, by=cast.tomas)

        assert ToothSet.objects.get().count == 2

    def test_what_stands_is_not_used_again(self, cast, case):
        held = take(cast, case, on_shelf(cast, BACK | {"part": "anterior", "mould": "O-44"}))

        with pytest.raises(NotNow, match="These teeth are in hand"):
            tooth_orders.use_again(row=held, version=1, by=cast.tomas)


def _read(row: TeethSupply) -> TeethSupply:
    return TeethSupply.objects.get(pk=row.pk)
