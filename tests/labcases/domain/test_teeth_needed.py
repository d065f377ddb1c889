"""Which sets a case needs, what is missing of them, and what is not as approved."""

from __future__ import annotations

import pytest

from labcases import notation
from labcases.domain import bench, teeth_needed, tooth_orders
from labcases.models import Case
from tests.factories import World, world
from tests.labcases.tooth_stock import CHOSEN, back, chosen_case, fresh, front, on_shelf

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> World:
    return world()


def test_a_full_upper_case_needs_six_in_front_and_eight_behind(cast):
    needs = teeth_needed.needed(chosen_case(cast))

    assert [(need.key, need.words, need.teeth) for need in needs] == [
        (
            *("upper-anterior", "upper anterior teeth"),
            ("13", "12", "11", "21", "22", "23"),
        ),
        (
            *("upper-posterior", "upper posterior teeth"),
            ("17", "16", "15", "14", "24", "25", "26", "27"),
        ),
    ]


def test_teeth_that_stay_are_not_needed_and_a_part_without_any_is_none(cast):
    case = chosen_case(cast)
    row = case.prescription
    row.teeth |= dict.fromkeys(
        ("17", *(f"1{n}" for n in "123"), *(f"2{n}" for n in "123")), "stays"
    )
    row.save()

    needs = teeth_needed.needed(fresh(case))

    assert [(need.key, need.teeth[0], len(need.teeth)) for need in needs] == [
        ("upper-posterior", "16", 7)
    ]


def test_where_every_tooth_stays_nothing_is_needed_and_nothing_in_hand(cast):
    case = chosen_case(cast)
    case.prescriptions.update(teeth=dict.fromkeys(notation.UPPER, "stays"))

    assert teeth_needed.needed(fresh(case)) == []
    assert not teeth_needed.in_hand(fresh(case))


def test_both_sets_have_to_be_here(cast):
    case = chosen_case(cast)
    told = {
        need.key: {**teeth_needed.wanted(case, need.part), "lot": f"L-{need.part}"}
        for need in teeth_needed.needed(case)
    }

    tooth_orders.enter(case=case, need=front(case), by=cast.tomas, values=told["upper-anterior"])
    assert [gap.text for gap in teeth_needed.gaps(fresh(case))] == [
        "The upper posterior teeth (8) are not in hand. Take them from stock, order them, or say "
        "that they are here."
    ]
    assert not teeth_needed.in_hand(fresh(case))

    tooth_orders.enter(case=case, need=back(case), by=cast.tomas, values=told["upper-posterior"])
    assert teeth_needed.in_hand(fresh(case))
    assert teeth_needed.lots(fresh(case)) == (
        "anterior teeth L-anterior, posterior teeth L-posterior"
    )


def test_a_single_tooth_on_order_is_missing_too(cast):
    case = chosen_case(cast)
    told = teeth_needed.wanted(case, "anterior")
    tooth_orders.enter(case=case, need=front(case), by=cast.tomas, values=told)
    tooth_orders.order(
        case=case, need=front(case), by=cast.tomas, values=told, tooth="12", reason="chipped"
    )

    assert teeth_needed.gaps(fresh(case))[0].text == "Tooth 12 is ordered and not here."


class TestApproved:
    def test_shade_and_material_are_the_prescribed_ones_and_the_mould_the_chosen_one(self, cast):
        case = chosen_case(cast, shade="A1", material="composite")

        assert teeth_needed.wanted(case, "posterior") == {
            "shade": "B2",
            "mould": "20 S",
            "material": "resin",
        }

    def test_what_is_prescribed_to_nobody_comes_from_the_selection(self, cast):
        case = chosen_case(cast, shade="A1")
        case.prescriptions.update(shade="")

        assert teeth_needed.wanted(fresh(case), "anterior")["shade"] == "A1"

    def test_without_a_selection_no_mould_is_held_against_anything(self, cast):
        walk = cast.walk()
        walk.prescribe()

        assert teeth_needed.differing(walk.reload(), "anterior", {"shade": "B2", "mould": "Q"}) == {
            "material": ("resin", "not said")
        }

    @pytest.mark.parametrize(
        ("values", "found"),
        [
            ({}, {}),
            ({"shade": " b2"}, {}),
            ({"shade": "B3"}, {"shade": ("B2", "B3")}),
            ({"mould": ""}, {"mould": ("O-44", "not said")}),
            ({"material": "porcelain"}, {"material": ("resin", "porcelain")}),
        ],
    )
    def test_what_differs_is_named_with_both_values(self, cast, values, found):
        case: Case = chosen_case(cast)
        as_approved = {"shade": "B2", "mould": "O-44", "material": "resin"}

        assert teeth_needed.differing(case, "anterior", as_approved | values) == found


def test_a_case_page_says_in_one_line_what_is_here(cast):
    case = chosen_case(cast)
    held = tooth_orders.take(case=case, need=front(case), tooth_set=on_shelf(cast), by=cast.tomas)

    assert teeth_needed.in_words(held) == "From stock, Alder, mould O-44, shade B2, resin, lot A-17"
    assert (
        bench.save_selection(case=case, version=1, by=cast.tomas, values=CHOSEN).posterior_mould
        == "20 S"
    )
