"""The remount in words: what is proposed, in the reader's numbers, and what is only looked at."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.enums import Stage
from labcases.enums.remount import RemountAct
from labcases.management import walk_remount
from labcases.outputs import remount_view
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal
A = RemountAct
NB = "\N{NO-BREAK SPACE}"


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.REMOUNT)
    return walk


def log(walk, act, **values):
    return walk_remount.log(walk.reload(), walk.hands.technician, act, **values)


def shown(walk, notation="ISO 3950"):
    return remount_view.build_context(walk.reload(), notation)


def test_before_anything_is_read_nothing_is_proposed(walk):
    told = shown(walk)

    assert (told["advice"], told["proposed"], told["stands"].word) == (None, [], "Not read")
    assert told["growth"].startswith(
        f"At a vertical of 68{NB}mm, four ways of curing let it grow by 1.3{NB}mm to 2{NB}mm on "
        "average"
    )


@pytest.mark.parametrize(("notation", "tooth"), [("ISO 3950", "16"), ("Universal", "3")])
def test_a_mark_names_the_tooth_and_the_pin_the_most_that_can_be(walk, notation, tooth):
    log(walk, A.PIN_READ, rise_mm=D("0.8"))
    log(walk, A.PASS, movement="centric", teeth=["16"], marks={"16": {"cusps": "buccal"}})

    (row,) = shown(walk, notation)["proposed"]
    assert (row.movement, row.tooth, row.yields, row.word) == ("Centric", tooth, "", "Say first")
    assert row.if_alone == f"at most 0.53{NB}mm, if it alone lifts the pin"

    for movement in ("right lateral", "left lateral", "protrusive"):
        log(walk, A.PASS, movement=movement, as_wanted=True)

    (row,) = shown(walk, notation)["proposed"]
    assert (row.movement, row.tooth, row.yields) == ("Centric", tooth, tooth)
    assert row.if_alone == f"at most 0.53{NB}mm, if it alone lifts the pin"
    assert "mark again" in row.text


def test_a_high_rise_lists_what_to_look_at_until_a_cause_is_recorded(walk):
    log(walk, A.PIN_READ, rise_mm=D("1.3"))
    log(walk, A.PASS, movement="centric", teeth=["16"])
    log(walk, A.PIN_READ, rise_mm=D("0.4"))
    told = shown(walk)
    assert (told["proposed"], len(told["causes_to_look_at"])) == ([], 9)

    log(walk, A.CAUSE, cause="cast_not_seated")

    told = shown(walk)
    assert (len(told["proposed"]), told["causes_to_look_at"]) == (1, [])


def test_a_balanced_ledger_asks_for_nothing(walk):
    log(walk, A.PIN_READ, rise_mm=D("0.3"))
    log(walk, A.ACCEPTED)

    told = shown(walk)

    assert told["advice"] is None
    assert (told["stands"].word, told["stands"].left) == ("Balanced", f"0{NB}mm")


def test_lines_are_told_newest_first_and_a_foil_is_no_tooth(walk):
    log(walk, A.PIN_READ, rise_mm=D("0"))
    log(walk, A.PASS, movement="centric", teeth=["12"], foil_um=12, as_wanted=True)

    assert [line.text for line in remount_view.lines(walk.reload(), "Universal")] == [
        "centric with 12 µm foil, as wanted: 7",
        "pin at the agreed value",
    ]
