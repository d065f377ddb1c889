"""What is usual next: the order of the bench, prefilled, and nothing that is logged already."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import next_lines, trimming
from labcases.enums import Movement, Route, Scheme, SetUpAct, SetUpOrder, SetUpPart, Stage
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal
A = SetUpAct
BACK = ["17", "16", "15", "14", "24", "25", "26", "27"]
FRONT = ["13", "12", "11", "21", "22", "23"]


@pytest.fixture
def walk():
    """A case whose sites are not measured, so that no budget speaks."""
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


def usual(walk):
    return next_lines.of(walk.reload())


def acts(walk):
    return [line.act for line in usual(walk)]


def ready(line):
    return {one.words: dict(one.values) for one in line.ready}


def test_the_base_comes_first_and_the_pin_beside_it(walk):
    base, pin = usual(walk)
    assert ready(base) == {
        "Comes off the cast": {"separable_base": True},
        "Stays on the cast": {"separable_base": False},
    }
    assert ready(pin) == {
        "From 0 mm to 0.5 mm": {"before_mm": D("0"), "after_mm": D("0.5")},
        "From 0 mm to 1 mm": {"before_mm": D("0"), "after_mm": D("1")},
    }
    assert "never counts as room" in pin.why


def test_the_pin_is_opened_from_where_it_stands(walk):
    walk.log(A.BASE_ADAPTED, separable_base=True)
    walk.log(A.PIN_READING, after_mm=D("2"))
    assert ready(usual(walk)[0])["From 2 mm to 2.5 mm"] == {
        "before_mm": D("2"),
        "after_mm": D("2.5"),
    }


def test_teeth_are_set_side_by_side_until_none_is_left(walk):
    walk.log(A.BASE_ADAPTED, separable_base=True)
    walk.log(A.PIN_OPENED, before_mm=D("0"), after_mm=D("0.5"))
    assert ready(usual(walk)[0]) == {
        "Right": {"teeth": BACK[:4]},
        "Left": {"teeth": BACK[4:]},
        "All": {"teeth": BACK},
    }
    walk.log(A.TOOTH_SET, teeth=BACK[:4])
    assert ready(usual(walk)[0]) == {"All": {"teeth": BACK[4:]}}
    walk.log(A.TOOTH_SET, teeth=BACK[4:7])
    assert ready(usual(walk)[0]) == {"Only": {"teeth": ["27"]}}


def test_after_the_teeth_come_cusps_passes_the_pin_and_the_end(walk):
    walk.log(A.BASE_ADAPTED, separable_base=True)
    walk.log(A.PIN_OPENED, before_mm=D("0"), after_mm=D("0.5"))
    walk.log(A.TOOTH_SET, teeth=BACK)
    cusps, centric = usual(walk)
    assert ready(cusps) == {"Log as held": {"teeth": BACK, "as_wanted": True}}
    assert (centric.act, centric.page) == (A.PASS, "passes")
    assert centric.why == "Centric is next: no pass is logged."
    walk.log(A.CUSP_HELD, teeth=BACK[1:], as_wanted=True)
    assert usual(walk)[0].initial["teeth"] == ["17"]
    walk.log(A.CUSP_HELD, teeth=["17"], as_wanted=False)
    assert acts(walk) == [A.PASS, A.PIN_READING]
    for movement in Movement:
        walk.foil(movement)
    reading, done = usual(walk)
    assert ready(reading) == {"Reads 0 mm": {"after_mm": D("0")}}
    assert reading.initial == {"after_mm": D("0.5")}
    assert ready(done) == {
        "Posterior teeth, base comes off the cast": {
            "part": "posterior",
            "separable_base": True,
        }
    }


def test_without_a_word_on_the_base_the_end_of_the_part_is_not_one_tap(walk):
    walk.log(A.BASE_ADAPTED)
    walk.log(A.TOOTH_SET, teeth=BACK)
    walk.log(A.CUSP_HELD, teeth=BACK, as_wanted=True)
    for movement in Movement:
        walk.foil(movement)
    walk.log(A.PIN_READING, after_mm=D("0"))
    (done,) = usual(walk)
    assert (done.act, done.ready, done.initial) == (A.PART_DONE, (), {"part": "posterior"})


def test_flat_teeth_have_no_cusp_to_look_at(walk):
    walk.prescribe(scheme=Scheme.FLAT)
    walk.log(A.BASE_ADAPTED, separable_base=True)
    walk.log(A.TOOTH_SET, teeth=BACK)
    assert A.CUSP_HELD not in acts(walk)


def test_front_teeth_are_cut_then_set_in_the_order_of_removal(walk):
    walk.prescribe(set_up_order=SetUpOrder.ANTERIOR_FIRST)
    (cut,) = usual(walk)
    assert (cut.act, cut.page, cut.teeth) == (A.TRIMMED, "front_teeth", tuple(FRONT))
    trimming.log(
        case=walk.case,
        by=walk.hands.technician,
        method="alternate",
        trims=[{"tooth": t, "labial_mm": D("1")} for t in ("22", "11")],
    )
    setting, cut = usual(walk)
    assert ready(setting)["All"] == {"teeth": ["22", "11"]}
    assert cut.teeth == ("13", "12", "21", "23")


def test_after_the_front_teeth_the_pin_is_read_again(walk):
    walk.prescribe(set_up_order=SetUpOrder.ANTERIOR_FIRST)
    walk.log(A.PIN_READING, after_mm=D("0"))
    trimming.log(
        case=walk.reload(),
        by=walk.hands.technician,
        method="staged",
        trims=[{"tooth": t, "labial_mm": D("1")} for t in FRONT],
    )
    walk.log(A.TOOTH_SET, teeth=FRONT)
    assert acts(walk) == [A.PIN_READING, A.PART_DONE]
    walk.log(A.PIN_READING, after_mm=D("0"))
    assert acts(walk) == [A.PART_DONE]


def test_back_teeth_that_stand_until_surgery_are_cut_before_they_are_set(walk):
    walk.prescribe(route=Route.INTERIM)
    walk.log(A.BASE_ADAPTED, separable_base=True)
    cut, _pin = usual(walk)
    assert (cut.act, cut.teeth) == (A.TRIMMED, ("15", "14", "24", "25"))
    walk.log(A.PIN_OPENED, before_mm=D("0"), after_mm=D("0.5"))
    walk.log(A.TOOTH_SET, teeth=["17", "16", "26", "27"])
    assert acts(walk) == [A.TRIMMED]


def test_a_stop_stays_until_the_other_back_teeth_are_ground_in(walk):
    chart = {**walk.reload().prescription.teeth, "14": "stop until surgery"}
    walk.prescribe(teeth=chart)
    others = [tooth for tooth in BACK if tooth != "14"]
    walk.log(A.BASE_ADAPTED, separable_base=True)
    walk.log(A.TOOTH_SET, teeth=others)
    walk.log(A.CUSP_HELD, teeth=others, as_wanted=True)
    for movement in Movement:
        walk.foil(movement, "16")
    first = usual(walk)[0]
    assert (first.act, first.teeth) == (A.TRIMMED, ("14",))


def test_the_part_that_was_begun_goes_before_the_order_of_the_prescription(walk):
    assert next_lines.current_part(walk.reload()) == SetUpPart.POSTERIOR
    walk.log(A.TOOTH_SET, teeth=["11"])
    assert next_lines.current_part(walk.reload()) == SetUpPart.ANTERIOR
    walk.log(A.PART_DONE, part=SetUpPart.ANTERIOR)
    assert next_lines.current_part(walk.reload()) == SetUpPart.POSTERIOR
    walk.log(A.PART_DONE, part=SetUpPart.POSTERIOR, separable_base=True)
    assert usual(walk) == []


def test_the_height_budget_asks_for_hollow_grinding_tooth_by_tooth():
    walk = world().walk()
    walk.to(Stage.SETTINGS)
    walk.choose_teeth()
    walk.measure()
    walk.log(A.BASE_ADAPTED, separable_base=True)
    walk.log(A.PIN_OPENED, before_mm=D("0"), after_mm=D("0.5"))
    walk.log(A.BASE_REDUCED, teeth=["16"], after_mm=D("1.7"))
    first, _setting = usual(walk)
    # 9 mm of space less 2 mm of base leave 7 of the 8 mm tooth.
    assert first.initial == {"teeth": ["17"], "after_mm": D("1.00")}
    walk.log(A.HOLLOW_GROUND, teeth=["17"], after_mm=D("1"))
    second, _setting = usual(walk)
    assert second.initial == {"teeth": ["16"], "after_mm": D("1.00"), "base_mm": D("1.7")}
