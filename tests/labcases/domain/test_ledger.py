"""The log read back: which line counts, and whether the vertical balances."""

from decimal import Decimal

import pytest

from labcases.domain import bench, ledger
from labcases.domain.ledger import Balance
from labcases.enums import Movement, SetUpAct, SetUpPart, Stage
from tests.factories import world

D = Decimal


def balance(reading, agreed="0", zero="0"):
    return Balance(
        reading_mm=None if reading is None else D(reading),
        agreed_mm=D(agreed),
        zero_mm=None if zero is None else D(zero),
    )


@pytest.mark.parametrize(
    ("told", "balanced"),
    [
        (balance("0"), True),
        (balance("0.05"), True),
        (balance("-0.05"), True),
        (balance("0.06"), False),
        (balance("-0.06"), False),
        (balance(None), False),
        (balance("1", agreed="1"), True),
        (balance("0", agreed="1"), False),
        (balance("3.5", zero="3.5"), True),
        (balance("4.5", agreed="1", zero="3.5"), True),
        (balance("0.5", zero=None), False),
    ],
)
def test_the_reading_from_pin_zero_must_equal_the_agreed_value(told, balanced):
    assert told.balanced is balanced


def test_without_a_reading_there_is_no_difference():
    assert balance(None).difference_mm is None
    assert balance("4", agreed="0.5", zero="3").difference_mm == D("0.5")


@pytest.mark.django_db
class TestLog:
    @pytest.fixture
    def walk(self):
        walk = world().walk()
        walk.to(Stage.SETTINGS)
        return walk

    def test_the_last_reading_counts_whether_it_opened_the_pin_or_not(self, walk):
        walk.log(SetUpAct.PIN_READING, after_mm=D("0"))
        walk.log(SetUpAct.PIN_OPENED, before_mm=D("0"), after_mm=D("0.5"))
        assert ledger.balance(walk.reload()).reading_mm == D("0.5")
        walk.log(SetUpAct.PIN_READING, after_mm=D("0.1"))
        assert ledger.balance(walk.reload()).reading_mm == D("0.1")

    def test_grinding_moves_no_pin(self, walk):
        walk.log(SetUpAct.PIN_READING, after_mm=D("0.5"))
        walk.log(SetUpAct.REDUCTION, teeth=["16"], after_mm=D("0.5"))
        walk.log(SetUpAct.BASE_REDUCED, teeth=["16"], after_mm=D("2"))
        assert ledger.balance(walk.reload()).reading_mm == D("0.5")

    def test_a_struck_reading_gives_way_to_the_one_before(self, walk):
        walk.log(SetUpAct.PIN_READING, after_mm=D("0"))
        wrong = bench.log(
            case=walk.case,
            by=walk.hands.technician,
            values={"act": SetUpAct.PIN_READING, "after_mm": D("5")},
        )
        bench.strike(entry=wrong, reason="read upside down", by=walk.hands.technician)
        assert ledger.balance(walk.reload()).reading_mm == D("0")

    def test_zero_comes_from_the_mounting_and_the_agreed_value_from_the_settings(self, walk):
        case = walk.reload()
        case.mounting.pin_zero_mm = D("2")
        case.mounting.save()
        walk.settings["pin_agreed_mm"] = D("1")
        walk.enter_settings()
        walk.log(SetUpAct.PIN_READING, after_mm=D("3"))
        found = ledger.balance(walk.reload())
        assert (found.zero_mm, found.agreed_mm, found.balanced) == (D("2"), D("1"), True)

    def test_the_last_pass_in_each_movement_counts(self, walk):
        walk.foil(Movement.CENTRIC, as_wanted=True)
        walk.foil(Movement.CENTRIC, as_wanted=False)
        walk.foil(Movement.LEFT, as_wanted=True)
        last = ledger.last_passes(walk.reload())
        assert {movement: entry.as_wanted for movement, entry in last.items()} == {
            Movement.CENTRIC: False,
            Movement.LEFT: True,
        }

    def test_the_base_and_the_cusps_are_as_they_were_said_last(self, walk):
        assert ledger.separable_base(walk.reload()) is None
        walk.log(SetUpAct.BASE_ADAPTED, separable_base=True)
        walk.log(SetUpAct.CUSP_HELD, teeth=["16", "17"], as_wanted=True)
        walk.log(SetUpAct.CUSP_HELD, teeth=["17"], as_wanted=False)
        case = walk.reload()
        assert ledger.separable_base(case) is True
        assert ledger.cusps_held(case) == {"16": True, "17": False}
        walk.log(SetUpAct.PART_DONE, part=SetUpPart.POSTERIOR, separable_base=False)
        assert ledger.separable_base(walk.reload()) is False

    def test_a_part_is_done_when_a_standing_line_says_so(self, walk):
        walk.log(SetUpAct.PART_DONE, part=SetUpPart.POSTERIOR, separable_base=True)
        case = walk.reload()
        assert set(ledger.parts_done(case)) == {SetUpPart.POSTERIOR}
        bench.strike(entry=case.setup_entries.get(), reason="too early", by=walk.hands.manager)
        assert ledger.parts_done(case) == {}
