"""What is on the shelf for a case: as approved, and what else would fit where there is none."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import tooth_shelf
from labcases.models import Case
from tests.factories import World, world
from tests.labcases.tooth_stock import BACK, FRONT, back, chosen_case, front, on_shelf

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def cast() -> World:
    return world()


def lots(offers) -> list[str]:
    return [offer.tooth_set.lot for offer in offers]


def notes(offers) -> dict[str, str]:
    return {offer.tooth_set.lot: offer.note for offer in offers}


def shelf_behind(case: Case) -> tooth_shelf.Shelf:
    return tooth_shelf.for_need(case, back(case))


def test_what_was_approved_is_offered_and_nothing_else(cast):
    case = chosen_case(cast)
    on_shelf(cast)
    on_shelf(cast, mould="S-40", lot="other mould")
    on_shelf(cast, shade="B3", lot="other shade")
    on_shelf(cast, arch="lower", lot="other arch")
    on_shelf(cast, lot="gone", count=0)

    shelf = tooth_shelf.for_need(case, front(case))

    assert (lots(shelf.exact), shelf.near, shelf.sentence) == (["A-17"], [], "")


def test_an_empty_shelf_is_said_and_no_stock_at_all_is_not(cast):
    case = chosen_case(cast)
    assert tooth_shelf.for_need(case, front(case)) == tooth_shelf.Shelf([], [], "", kept=False)
    on_shelf(cast, count=0)

    shelf = tooth_shelf.for_need(case, front(case))

    assert shelf.sentence == "Out of stock: upper anterior teeth, mould O-44, shade B2, resin."


def test_behind_the_same_cusps_fit_within_the_smaller_room(cast):
    case = chosen_case(cast, room_right_mm=D("33"), room_left_mm=D("30.5"))
    on_shelf(cast, BACK, count=0)
    for lot, more in {
        "fits": {"together_mm": D("30.5")},
        "too wide": {"together_mm": D("30.6")},
        "steeper": {"together_mm": D("29"), "cusp_angle_deg": D("30")},
        "cusps not said": {"together_mm": D("29"), "cusp_angle_deg": None},
        "width not said": {"together_mm": None},
    }.items():
        on_shelf(cast, BACK, mould="20 M", lot=lot, **more)
    on_shelf(cast, BACK, mould="20 M", lot="other shade", shade="A3")

    assert notes(shelf_behind(case).near) == {
        "fits": "mould 20 M in place of 20 S; cusps of 20\u00a0deg as chosen; 30.5\u00a0mm "
        "wide, within the room of 30.5 mm",
        "cusps not said": "mould 20 M in place of 20 S; its cusp angle is not entered; "
        "29\u00a0mm wide, within the room of 30.5 mm",
        "width not said": "mould 20 M in place of 20 S; cusps of 20\u00a0deg as chosen; its "
        "width is not entered: measure it",
    }


def test_in_front_the_measured_range_decides(cast):
    case = chosen_case(cast, natural_six_mm=D("46.2"))
    on_shelf(cast, count=0)
    for lot, width in (("fits", "46.7"), ("too wide", "47.5"), ("too narrow", "45")):
        on_shelf(cast, mould="S-40", lot=lot, together_mm=D(width))

    near = tooth_shelf.for_need(case, front(case)).near

    assert notes(near) == {
        "fits": "mould S-40 in place of O-44; look at its outline; 46.7\u00a0mm wide, within 45.7 "
        "to 46.7 mm"
    }


def test_where_nothing_is_measured_it_says_so(cast):
    case = chosen_case(cast)
    on_shelf(cast, count=0)
    on_shelf(cast, mould="S-40", lot="S-1")

    near = tooth_shelf.for_need(case, front(case)).near

    assert notes(near) == {
        "S-1": "mould S-40 in place of O-44; look at its outline; 46\u00a0mm wide, and nothing is "
        "measured to judge it by"
    }


def test_another_shade_or_mould_is_found_when_it_is_looked_for(cast):
    case = chosen_case(cast)
    on_shelf(cast, shade="B3", lot="B3 one")
    on_shelf(cast, mould="S-40", lot="square")
    on_shelf(cast, mould="S-40", lot="none left", count=0)

    def found(**asked: str) -> list[str]:
        return lots(tooth_shelf.looked_for(case, front(case), **{"shade": "", "mould": ""} | asked))

    assert found() == []
    assert found(shade="b3") == ["B3 one"]
    assert found(mould="s-4") == ["square"]
    assert found(shade="B3", mould="S-40") == []


def test_sets_of_another_laboratory_are_never_offered(cast):
    case = chosen_case(cast)
    case.laboratory = cast.other_laboratory
    on_shelf(cast, FRONT)

    assert not tooth_shelf.for_need(case, front(case)).kept
