"""Taking, ordering, counting in, replacing and putting back the teeth of a case."""

from __future__ import annotations

from datetime import date

import pytest

from labcases.domain import calendars, stock, teeth_needed, tooth_orders
from labcases.domain import question as asking
from labcases.domain.stock import OutOfStock
from labcases.domain.tooth_orders import Meanwhile, NeedsReason, NotNow, Old
from labcases.domain.versions import EditConflict
from labcases.models import Case, TeethSupply, ToothSet
from tests.factories import World, world
from tests.labcases.tooth_stock import back, chosen_case, fresh, front, on_shelf

pytestmark = pytest.mark.django_db

AS_APPROVED = {"mould": "O-44", "shade": "B2", "material": "resin"}
ORDERED = {
    **AS_APPROVED,
    "supplier": "Brook Supplies",
    "ordered_on": date(2027, 3, 12),
    "lead_days": 3,
}


@pytest.fixture
def cast() -> World:
    return world()


@pytest.fixture
def case(cast) -> Case:
    return chosen_case(cast)


def take(cast, case, row, **more) -> TeethSupply:
    return tooth_orders.take(case=case, need=front(case), tooth_set=row, by=cast.tomas, **more)


def order(cast, case, **values) -> TeethSupply:
    return tooth_orders.order(
        case=case, need=front(case), by=cast.lena, values={**ORDERED, **values}
    )


def last(case: Case):
    return case.history.last()


class TestTaken:
    def test_the_count_goes_down_and_the_lot_stands_on_the_case(self, cast, case):
        row = on_shelf(cast)

        held = take(cast, case, row)

        row.refresh_from_db()
        assert (row.count, held.state, held.lot, held.counted) == (1, "in hand", "A-17", 6)
        assert teeth_needed.lots(fresh(case)) == "anterior teeth A-17"
        assert row.lines.last().case == case

    def test_the_history_says_what_was_taken(self, cast, case):
        take(cast, case, on_shelf(cast))

        entry = last(case)
        assert (entry.act, entry.part) == ("taken from stock", "teeth in hand")
        assert entry.changes == {
            "upper anterior teeth": [
                None,
                "From stock, Alder, mould O-44, shade B2, resin, lot A-17",
            ]
        }

    def test_the_last_set_is_taken_once(self, cast, case):
        row, other = on_shelf(cast, count=1), chosen_case(cast, "P-101")
        take(cast, case, row)

        with pytest.raises(OutOfStock, match="Tomas Abelard took the last one"):
            take(cast, other, row)

        assert not other.tooth_supplies.exists()
        assert not other.history.filter(part="teeth in hand").exists()

    def test_a_second_set_for_the_same_part_is_told_of_the_first(self, cast, case):
        row = on_shelf(cast)
        take(cast, case, row)

        with pytest.raises(Meanwhile) as told:
            take(cast, fresh(case), row)

        assert str(told.value) == (
            "Tomas Abelard entered the upper anterior teeth meanwhile: in hand. Look at them "
            "again; to use others, replace them."
        )
        row.refresh_from_db()
        assert row.count == 1

    def test_a_single_tooth_stands_beside_its_set(self, cast, case):
        take(cast, case, on_shelf(cast))
        spare = on_shelf(cast, lot="A-99")

        take(cast, fresh(case), spare, tooth="12", reason="perforated")

        spare.refresh_from_db()
        assert spare.count == 1
        assert teeth_needed.lots(fresh(case)) == "anterior teeth A-17, 12 A-99"
        assert teeth_needed.gaps(fresh(case))[0].need.part == "posterior"


class TestOther:
    """Teeth that are not as approved."""

    def test_another_shade_is_taken_with_a_reason_only(self, cast, case):
        row = on_shelf(cast, shade="B3")

        with pytest.raises(NeedsReason) as told:
            take(cast, case, row)

        assert str(told.value) == (
            "These are not the approved upper anterior teeth: shade B3, approved is B2. Give the "
            "reason; the dentist is asked."
        )
        row.refresh_from_db()
        assert row.count == 2

    def test_with_a_reason_the_dentist_is_asked_and_the_case_waits(self, cast, case):
        take(cast, case, on_shelf(cast, shade="B3"), reason="B2 is out of stock.")

        asked = case.questions.get()
        assert asked.text == (
            "The upper anterior teeth: B3 in place of B2. Reason: B2 is out of stock. May they "
            "be used?"
        )
        assert (asked.about, asked.waits_for, asked.clinical, asked.blocking) == (
            "the shade",
            "office",
            True,
            True,
        )
        assert asking.may_answer(cast.dora, asked)
        assert not asking.may_answer(cast.farah, asked)

    def test_each_thing_that_differs_is_a_question_of_its_own(self, cast, case):
        row = on_shelf(cast, mould="S-40", material="composite")

        take(cast, case, row, reason="nothing else fits")

        assert {one.about: one.text.split(". ")[0] for one in case.questions.all()} == {
            "the mould": "The upper anterior teeth: S-40 in place of O-44",
            "the tooth material": "The upper anterior teeth: composite resin in place of resin",
        }

    def test_capitals_and_spaces_make_no_other_shade(self, cast, case):
        take(cast, case, on_shelf(cast, shade="b2 ", mould="o-44"))

        assert not case.questions.exists()

    def test_an_order_of_another_mould_asks_as_well(self, cast, case):
        tooth_orders.order(
            case=case,
            need=front(case),
            by=cast.lena,
            values={**ORDERED, "mould": "S-40"},
            reason="O-44 is no longer made",
        )

        assert case.questions.get().about == "the mould"

    def test_the_same_question_is_not_asked_twice(self, cast, case):
        row = on_shelf(cast, shade="B3")
        held = take(cast, case, row, reason="none left")
        tooth_orders.put_back(row=held, version=1, by=cast.tomas)

        take(cast, fresh(case), row, reason="none left")

        assert case.questions.count() == 1


class TestOrdered:
    def test_an_order_is_expected_by_working_days(self, cast, case):
        held = order(cast, case)

        assert held.state == "ordered"
        assert teeth_needed.expected_on(held) == date(2027, 3, 17)
        assert teeth_needed.gaps(fresh(case))[0].text == (
            "The upper anterior teeth (6) are ordered and not here, expected 17-Mar-2027."
        )

    def test_a_day_on_which_the_laboratory_is_closed_makes_it_a_day_later(self, cast, case):
        calendars.close(
            organisation=cast.laboratory,
            first=date(2027, 3, 15),
            last=date(2027, 3, 15),
            reason="stock-taking",
            by=cast.mona,
        )

        assert teeth_needed.expected_on(order(cast, fresh(case))) == date(2027, 3, 18)

    def test_it_is_counted_in_with_its_lot_and_what_differs(self, cast, case):
        held = order(cast, case)

        here = tooth_orders.arrived(
            row=held,
            version=1,
            by=cast.lena,
            values={
                "arrived_on": date(2027, 3, 16),
                "counted": 6,
                "lot": "N-5",
                "differences": "one card is torn",
            },
        )

        assert (here.state, teeth_needed.expected_on(here)) == ("in hand", None)
        assert teeth_needed.in_words(here) == (
            "Ordered, mould O-44, shade B2, resin, lot N-5, from Brook Supplies, ordered "
            "12-Mar-2027, 3 working days, arrived 16-Mar-2027, differs: one card is torn"
        )
        assert last(case).act == "arrived"

    def test_what_came_short_is_still_missing_until_the_rest_has_come(self, cast, case):
        held = order(cast, case)
        short = tooth_orders.arrived(row=held, version=1, by=cast.lena, values={"counted": 5})
        assert teeth_needed.gaps(fresh(case))[0].text == (
            "Of the upper anterior teeth 5 of 6 are here."
        )

        tooth_orders.arrived(row=short, version=2, by=cast.lena, values={"counted": 6})

        assert [gap.need.part for gap in teeth_needed.gaps(fresh(case))] == ["posterior"]

    def test_what_was_never_ordered_does_not_arrive(self, cast, case):
        held = take(cast, case, on_shelf(cast))

        with pytest.raises(NotNow, match="no order that is still awaited"):
            tooth_orders.arrived(row=held, version=1, by=cast.lena, values={"counted": 6})

    def test_the_second_to_count_in_is_told(self, cast, case):
        held = order(cast, case)
        tooth_orders.arrived(row=held, version=1, by=cast.lena, values={"counted": 6})

        with pytest.raises(EditConflict, match="Lena Marsh saved this part"):
            tooth_orders.arrived(row=held, version=1, by=cast.mona, values={"counted": 5})

    def test_an_order_that_is_put_back_is_cancelled(self, cast, case):
        held = order(cast, case)

        ended = tooth_orders.put_back(row=held, version=1, by=cast.lena, why="no longer wanted")

        assert (ended.state, ToothSet.objects.count()) == ("cancelled", 0)


class TestReplaced:
    def test_the_old_set_goes_back_and_the_new_one_stands(self, cast, case):
        first, second = on_shelf(cast), on_shelf(cast, lot="A-18")
        held = take(cast, case, first)

        take(
            cast,
            fresh(case),
            second,
            reason="one is chipped",
            old=Old(held, held.version, goes_back=True),
        )

        first.refresh_from_db()
        held.refresh_from_db()
        assert (first.count, held.state, held.ended_why) == (2, "put back", "one is chipped")
        assert teeth_needed.lots(fresh(case)) == "anterior teeth A-18"

    def test_a_replacement_needs_a_reason(self, cast, case):
        held = take(cast, case, on_shelf(cast))

        with pytest.raises(NeedsReason) as told:
            take(cast, fresh(case), on_shelf(cast, lot="A-18"), old=Old(held, held.version))

        assert str(told.value) == "Give the reason why the upper anterior teeth are replaced."

    def test_what_somebody_else_changed_is_not_replaced_unseen(self, cast, case):
        held = take(cast, case, on_shelf(cast))
        tooth_orders.put_back(row=held, version=1, by=cast.mona)

        with pytest.raises(Meanwhile, match="Somebody changed the upper anterior teeth meanwhile"):
            take(cast, fresh(case), on_shelf(cast, lot="A-18"), reason="chipped", old=Old(held, 1))

    def test_one_that_is_out_of_stock_leaves_the_old_one_standing(self, cast, case):
        first, gone = on_shelf(cast), on_shelf(cast, lot="A-18", count=0)
        held = take(cast, case, first)

        with pytest.raises(OutOfStock):
            take(cast, fresh(case), gone, reason="chipped", old=Old(held, 1, goes_back=True))

        held.refresh_from_db()
        first.refresh_from_db()
        assert (held.state, first.count) == ("in hand", 1)


class TestPutBack:
    def test_a_set_from_stock_is_counted_up(self, cast, case):
        row = on_shelf(cast)
        held = take(cast, case, row)

        tooth_orders.put_back(row=held, version=1, by=cast.tomas, why="another was chosen")

        row.refresh_from_db()
        assert row.count == 2
        assert teeth_needed.standing(fresh(case)) == []

    def test_an_order_that_came_lies_down_on_the_shelf(self, cast, case):
        held = order(cast, case, line="Birch")
        here = tooth_orders.arrived(
            row=held,
            version=1,
            by=cast.lena,
            values={"arrived_on": date(2027, 3, 16), "counted": 6, "lot": "N-5"},
        )

        tooth_orders.put_back(row=here, version=2, by=cast.lena)

        row = ToothSet.objects.get()
        assert (row.line, row.mould, row.lot, row.count) == ("Birch", "O-44", "N-5", 1)

    def test_teeth_without_a_line_make_no_set(self, cast, case):
        held = tooth_orders.enter(case=case, need=front(case), by=cast.tomas, values=AS_APPROVED)

        with pytest.raises(NotNow, match="line, mould, shade or material is not entered"):
            tooth_orders.put_back(row=held, version=1, by=cast.tomas)

        held.refresh_from_db()
        assert held.state == "in hand"

    def test_a_single_tooth_makes_no_set(self, cast, case):
        held = take(cast, case, on_shelf(cast), tooth="12", reason="perforated")

        with pytest.raises(NotNow, match="A single tooth makes no set"):
            tooth_orders.put_back(row=held, version=1, by=cast.tomas)

    def test_what_is_not_used_needs_a_reason_and_leaves_the_count(self, cast, case):
        row = on_shelf(cast)
        held = take(cast, case, row)
        with pytest.raises(NeedsReason, match="Give the reason why these teeth are not used"):
            tooth_orders.discard(row=held, version=1, by=cast.tomas, why=" ")

        ended = tooth_orders.discard(row=held, version=1, by=cast.tomas, why="chipped")

        row.refresh_from_db()
        assert (ended.state, row.count) == ("not used", 1)

    def test_nothing_is_put_back_twice(self, cast, case):
        row = on_shelf(cast)
        held = take(cast, case, row)
        ended = tooth_orders.put_back(row=held, version=1, by=cast.tomas)

        with pytest.raises(NotNow, match="These teeth are put back already"):
            tooth_orders.put_back(row=ended, version=2, by=cast.tomas)

        row.refresh_from_db()
        assert row.count == 2


def test_a_tooth_stands_for_the_part_that_it_belongs_to(cast, case):
    take(cast, case, on_shelf(cast), tooth="11", reason="lost")

    assert [gap.need for gap in teeth_needed.gaps(fresh(case))] == [front(case), back(case)]
    assert stock.search(cast.laboratory, stock.Asked()).get().count == 1
