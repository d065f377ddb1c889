"""The vertical ledger as the page shows it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.enums import SetUpAct, Stage
from labcases.outputs import ledger_view
from tests.factories import world
from tests.labcases import kept

pytestmark = pytest.mark.django_db

D = Decimal
A = SetUpAct


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


def test_teeth_of_a_sentence_are_the_readers_and_millimetres_stay(walk):
    walk.enter_settings()
    walk.log(A.PIN_READING, after_mm=D("0.5"))
    walk.log(A.TOOTH_SET, teeth=["16"])
    walk.log(A.PIN_READING, after_mm=D("0.5"))
    walk.log(A.REDUCTION, teeth=["16"], after_mm=D("0.16"))
    walk.log(A.PIN_READING, after_mm=D("0.5"))
    rows = ledger_view.build_context(walk.reload(), "Universal")["pin_rows"]
    assert [row.what for row in rows] == ["Pin read"] * 3
    assert rows[-1].text.startswith("It stayed. Ground since: 3 by 0.16 mm (")
    assert not rows[-1].open


def test_without_a_check_no_lift_is_known(walk):
    told = ledger_view.build_context(walk.reload(), "ISO 3950")
    assert (told["pin_lifts"], told["pin_lifts_from"]) == ([], None)
    assert told["pin_source"].startswith("Kaiser and Schelb")


def test_the_lift_is_that_of_the_kept_check(walk):
    case = walk.reload()
    right = kept.excursion("right", kept.tooth("16")) | {
        "pin_lift_mm": 0.43,
        "pin_lift_at_mm": 3.14,
    }
    kept.keep(
        case,
        walk.hands.technician,
        kept.findings(right, kept.excursion("left", kept.tooth("26"))),
    )
    rows = ledger_view.build_context(walk.reload(), "ISO 3950")["pin_lifts"]
    told = {row.movement: (row.lift_mm, row.at_mm) for row in rows}
    assert told["Right lateral"] == (D("0.45"), D("3.1"))
    assert told["Left lateral"] == (None, None)
