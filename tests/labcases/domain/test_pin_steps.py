"""The vertical ledger line by line: what explains each change, and what nothing explains."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import bench, pin_steps
from labcases.domain.pin_steps import Loss
from labcases.enums import SetUpAct, Stage
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal
A = SetUpAct


@pytest.fixture
def walk():
    """The pin 80 mm in front of the axis, 16 at 50 mm: one millimetre there is 1.6 at the pin."""
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


def on_the_articulator(walk):
    walk.settings |= {"incisal_x_mm": D("80"), "incisal_z_mm": D("-32")}
    walk.reload()
    walk.enter_settings()
    bench.save_site(
        case=walk.case,
        tooth="16",
        version=0,
        by=walk.hands.technician,
        values={"behind_incisal_mm": D("30")},
    )


def steps(walk):
    return pin_steps.of(walk.reload())


def opened_and_set(walk, after="0.5"):
    walk.log(A.PIN_READING, after_mm=D("0"))
    walk.log(A.PIN_OPENED, before_mm=D("0"), after_mm=D(after))
    walk.log(A.TOOTH_SET, teeth=["17", "16"])


def test_an_opening_explains_itself(walk):
    walk.log(A.PIN_READING, after_mm=D("0"))
    walk.log(A.PIN_OPENED, before_mm=D("0"), after_mm=D("0.5"))
    first, opened = steps(walk)
    assert (first.change_mm, first.text) == (None, "No value was logged before it.")
    assert (opened.change_mm, opened.opened_mm, opened.unexplained_mm) == (D("0.5"), D("0.5"), 0)
    assert opened.text == "Opened by 0.5 mm, a temporary aid."


def test_before_any_tooth_is_set_nothing_held_the_pin(walk):
    walk.log(A.PIN_READING, after_mm=D("0.5"))
    walk.log(A.PIN_READING, after_mm=D("0"))
    assert steps(walk)[1].text == (
        "Went down by 0.5 mm. No tooth was set yet, so none held the pin."
    )
    assert steps(walk)[1].unexplained_mm == 0


def test_reductions_explain_a_closing_pin_by_the_tooth_that_lost_most(walk):
    on_the_articulator(walk)
    opened_and_set(walk)
    walk.log(A.PIN_READING, after_mm=D("0.5"))
    walk.log(A.REDUCTION, teeth=["16"], after_mm=D("0.1"))
    walk.log(A.REDUCTION, teeth=["16", "14"], after_mm=D("0.2"))
    walk.log(A.PIN_READING, after_mm=D("0.05"))
    last = steps(walk)[-1]
    # 0.3 mm off 16 in two lines, at 50 of 80 mm from the axis: 0.48 mm at the pin.
    assert last.losses[0] == Loss("16", D("0.3"), D("0.48"))
    assert last.at_most_mm == D("0.48")
    assert (last.change_mm, last.unexplained_mm) == (D("-0.45"), 0)
    assert last.text.startswith(
        "Went down by 0.45 mm. Reductions since explain at most 0.48 mm: 16 by 0.3 mm (0.48 mm at "
        "the pin), 14 by 0.2 mm"
    )


def test_what_reductions_do_not_explain_is_told(walk):
    on_the_articulator(walk)
    opened_and_set(walk)
    walk.log(A.PIN_READING, after_mm=D("0.5"))
    walk.log(A.REDUCTION, teeth=["16"], after_mm=D("0.1"))
    walk.log(A.PIN_READING, after_mm=D("0"))
    last = steps(walk)[-1]
    assert last.unexplained_mm == D("-0.34")
    assert last.text == (
        "Went down by 0.5 mm. Reductions since explain at most 0.16 mm: 16 by 0.1 mm (0.16 mm at "
        "the pin). 0.34 mm is not explained: wax that gave way, a tooth set again or the reading "
        "itself may be why. Look at it before you go on."
    )


@pytest.mark.parametrize(("ground", "open_mm"), [("0.28", 0), ("0.27", "-0.07")])
def test_the_tolerance_of_a_reading_is_forgiven_and_no_more(walk, ground, open_mm):
    on_the_articulator(walk)
    opened_and_set(walk)
    walk.log(A.PIN_READING, after_mm=D("0.5"))
    walk.log(A.REDUCTION, teeth=["16"], after_mm=D(ground))
    walk.log(A.PIN_READING, after_mm=D("0"))
    # 0.28 mm are 0.45 at the pin and 0.05 short of it; 0.27 are 0.43.
    assert steps(walk)[-1].unexplained_mm == D(open_mm)


def test_a_loss_opposite_counts_at_the_same_site(walk):
    walk.prescribe(
        opponent="partial worn",
        opposing={**walk.reload().prescription.opposing, "46": "denture"},
    )
    on_the_articulator(walk)
    opened_and_set(walk)
    entry = walk.case.setup_entries.create(
        by=walk.hands.technician, act=A.REDUCTION, teeth=["46"], after_mm=D("0.2")
    )
    walk.log(A.REDUCTION, teeth=["16"], after_mm=D("0.1"))
    walk.log(A.PIN_READING, after_mm=D("0.1"))
    assert entry.act == "reduction"
    assert steps(walk)[-1].losses == (Loss("16", D("0.3"), D("0.48")),)


def test_without_an_articulator_record_a_loss_is_not_carried_to_the_pin(walk):
    opened_and_set(walk)
    walk.log(A.PIN_READING, after_mm=D("0.5"))
    walk.log(A.REDUCTION, teeth=["16"], after_mm=D("0.3"))
    walk.log(A.PIN_READING, after_mm=D("0"))
    last = steps(walk)[-1]
    assert (last.at_most_mm, last.unexplained_mm) == (None, 0)
    assert last.text == (
        "Went down by 0.5 mm. Ground since: 16 by 0.3 mm. How far that lets the pin down is not "
        "known without the articulator record."
    )


def test_nothing_ground_explains_nothing_unless_teeth_were_set_again(walk):
    opened_and_set(walk)
    walk.log(A.PIN_READING, after_mm=D("0.5"))
    walk.log(A.PIN_READING, after_mm=D("0.2"))
    walk.log(A.TOOTH_SET, teeth=["16"])
    walk.log(A.PIN_READING, after_mm=D("0"))
    *_rest, unexplained, after_setting = steps(walk)
    assert unexplained.unexplained_mm == D("-0.3")
    assert unexplained.text.startswith("Went down by 0.3 mm. No reduction is logged since. 0.3 mm")
    assert after_setting.unexplained_mm == 0
    assert after_setting.text.endswith("Teeth were set since, which may be why.")


def test_a_rise_that_nobody_opened_is_told(walk):
    opened_and_set(walk)
    walk.log(A.PIN_READING, after_mm=D("0.7"))
    walk.log(A.PIN_READING, after_mm=D("1"))
    *_rest, held, high = steps(walk)
    assert (held.unexplained_mm, held.text) == (
        0,
        "Rose by 0.2 mm, not opened. Teeth were set since, and may hold it up.",
    )
    assert (high.unexplained_mm, high.text) == (
        D("0.3"),
        "Rose by 0.3 mm, not opened. Nothing that is logged raises a pin: look for a tooth that "
        "stands high.",
    )


def test_a_gap_before_an_opening_is_not_booked_as_opened(walk):
    walk.log(A.PIN_READING, after_mm=D("0"))
    walk.log(A.PIN_OPENED, before_mm=D("0.3"), after_mm=D("1"))
    opened = steps(walk)[-1]
    assert (opened.change_mm, opened.opened_mm, opened.unexplained_mm) == (
        D("1"),
        D("0.7"),
        D("0.3"),
    )


def test_the_first_value_is_held_against_pin_zero_and_struck_lines_count_for_nothing(walk):
    walk.reload()
    bench.save_mounting(
        case=walk.case, version=0, by=walk.hands.technician, values={"pin_zero_mm": D("2")}
    )
    wrong = bench.log(
        case=walk.reload(),
        by=walk.hands.technician,
        values={"act": A.PIN_READING, "after_mm": D("9")},
    )
    bench.strike(entry=wrong, reason="upside down", by=walk.hands.technician)
    walk.log(A.PIN_READING, after_mm=D("2"))
    (only,) = steps(walk)
    assert (only.before_mm, only.from_zero_mm, only.text) == (D("2"), 0, "It stayed.")
