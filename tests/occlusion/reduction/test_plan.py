"""The least reduction: by hand, against every corner, and on surfaces that answer back."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion.reduction.denture import DentureTooth
from occlusion.reduction.places import Wanted
from occlusion.reduction.plan import Remaining, least_plan
from tests import published
from tests.occlusion.reduction.second_opinion import cheapest_corner, programme
from tests.occlusion.reduction.test_places import INCLINE, place
from tests.published import number


def by_tooth(reductions):
    return {one.chosen.tooth: one.depth_mm for one in reductions}


# The second opinion itself


def test_the_second_opinion_finds_a_corner_that_is_known():
    # x + y >= 1 with x <= 0.4: x = 0.4, y = 0.6 costs 0.4 + 1.2.
    rows, sides = np.array([[-1.0, -1.0]]), np.array([-1.0])

    assert cheapest_corner([1.0, 2.0], rows, sides, np.array([0.4, 5.0])) == pytest.approx(1.6)
    assert cheapest_corner([1.0, 2.0], rows, sides, np.array([0.4, 0.5])) is None


def test_the_second_opinion_agrees_with_the_plan_by_hand():
    given_rows = programme(
        *([0.3, 0.45], [0.2, 0.4], [0.0, 0.0], [0.0, 0.0], [0.625, 0.4375], [1.0, 1.0]),
        raised=(0.5, 2.0),
        reset=(0.0, 1.0),
    )

    assert cheapest_corner(*given_rows) == pytest.approx(0.9)


# By hand


@published.each("least_plans")
def test_two_places_by_hand(row):
    ratios = {"16": number(row, "ratio_16"), "17": number(row, "ratio_17")}
    places = [
        place(
            tooth,
            gap_mm=-number(row, f"need_{tooth}_mm"),
            budget_mm=number(row, f"budget_{tooth}_mm"),
            pin_ratio=ratios[tooth],
        )
        for tooth in ratios
    ]
    wanted = Wanted(
        approved_raise_mm=number(row, "approved_raise_mm"),
        raise_weight=number(row, "raise_weight"),
    )
    found = least_plan(places, wanted=wanted)
    near = number(row, "tolerance")

    assert found.raise_mm == pytest.approx(number(row, "raise_mm"), abs=near)
    short = {one.place: one.short_mm for one in found.unmet}
    for tooth in ratios:
        depth = number(row, f"depth_{tooth}_mm") or 0.0
        assert by_tooth(found.reductions).get(tooth, 0.0) == pytest.approx(depth, abs=near)
        assert short.get(tooth, 0.0) == pytest.approx(number(row, f"short_{tooth}_mm"), abs=near)
    if row["cost"]:
        assert found.cost == pytest.approx(number(row, "cost"), abs=near)


def test_what_cannot_be_done_is_named_and_not_half_ground():
    found = least_plan(
        [
            place("16", gap_mm=-0.3, budget_mm=0.2),
            place("16", "lingual outer mesial", gap_mm=-0.1, budget_mm=0.2),
            place("17", gap_mm=-0.1, budget_mm=0.2),
        ]
    )

    assert [one.text for one in found.unmet] == [
        "Cannot be done: short by 0.10 mm at 16, buccal inner distal. "
        "Re-set the tooth, do not grind it."
    ]
    assert by_tooth(found.reductions) == {"17": pytest.approx(0.1)}
    assert found.cost == pytest.approx(0.1)


def test_no_weight_buys_shortage():
    dear = place(gap_mm=-0.3, budget_mm=0.4, weight=1e4)

    assert least_plan([dear]).unmet == ()
    short = least_plan([dear, place("17", gap_mm=-0.5, budget_mm=0.4)])
    assert [(one.place, round(one.short_mm, 6)) for one in short.unmet] == [("17", 0.1)]


def test_without_re_setting_or_raise_each_depth_is_the_interference_and_that_is_said():
    found = least_plan(
        [place("16", gap_mm=-0.3, budget_mm=1.0), place("17", gap_mm=0.1, budget_mm=1.0)],
        wanted=Wanted(clearance_mm=0.05),
    )

    assert by_tooth(found.reductions) == {"16": pytest.approx(0.35)}
    assert found.separable
    assert found.notes[0].startswith("Nothing is traded here")
    traded = least_plan([place(budget_mm=1.0, room_mm=1.0)], wanted=Wanted(reset_max_mm={"16": 1}))
    assert not traded.separable


def test_the_pin_stays_unless_a_new_vertical_is_approved():
    one = place(gap_mm=-0.3, budget_mm=0.4, pin_ratio=0.5)

    assert least_plan([one], wanted=Wanted(raise_weight=1e-6)).raise_mm == 0.0
    raised = least_plan([one], wanted=Wanted(approved_raise_mm=0.2, raise_weight=1e-6))
    assert raised.raise_mm == pytest.approx(0.2)
    assert not raised.separable
    assert by_tooth(raised.reductions) == {"16": pytest.approx(0.2)}


def test_re_setting_serves_all_inclines_of_its_tooth():
    two = [
        place("16", incline, gap_mm=-0.2, budget_mm=0.5, room_mm=1.0)
        for incline in (INCLINE, "lingual inner distal")
    ]
    found = least_plan(two, wanted=Wanted(reset_max_mm={"16": 1.0}, reset_weight=1.5))

    assert [(one.chosen.tooth, one.reset_mm) for one in found.resets] == [
        ("16", pytest.approx(0.2))
    ]
    assert found.reductions == ()
    assert found.cost == pytest.approx(0.3)


def test_re_setting_uses_up_the_shell_once_the_room_is_gone():
    # 0.1 mm of room and 0.2 mm of budget: 0.3 mm in all, however they are shared.
    one = place(gap_mm=-0.4, budget_mm=0.2, room_mm=0.1)
    found = least_plan([one], wanted=Wanted(reset_max_mm={"16": 1.0}))

    assert [one.short_mm for one in found.unmet] == [pytest.approx(0.1, abs=1e-6)]


def test_an_approved_raise_gives_back_what_hollow_grinding_took():
    # The raise lifts 0.5 mm here, frees 0.5 mm, and the hollow of 0.3 mm is not needed any more.
    one = place(gap_mm=-1.2, budget_mm=0.4, hollow_mm=0.3, pin_ratio=0.5)
    found = least_plan([one], wanted=Wanted(approved_raise_mm=1.0))

    assert found.raise_mm == pytest.approx(1.0)
    assert by_tooth(found.reductions) == {"16": pytest.approx(0.7)}
    assert found.unmet == ()


def test_a_held_contact_may_not_open():
    # Needs 0.2 mm for an excursion at the place of a centric contact that may open 0.05 mm.
    found = least_plan([place(gap_mm=-0.2, held_mm=0.0, budget_mm=1.0)])
    assert sum(one.short_mm for one in found.unmet) == pytest.approx(0.15, abs=1e-6)
    assert found.reductions == ()
    kept = least_plan([place(gap_mm=-0.04, held_mm=0.0, budget_mm=1.0)])
    assert by_tooth(kept.reductions) == {"16": pytest.approx(0.04)}


def test_a_held_contact_that_is_open_already_is_named():
    found = least_plan([place(gap_mm=0.3, held_mm=0.25, budget_mm=1.0)])

    assert [(one.opens, one.text) for one in found.unmet] == [
        (
            True,
            "Cannot be done: the contact at 16, buccal inner distal would open 0.20 mm more than "
            "it may. Re-set the tooth, do not grind it.",
        )
    ]


def test_between_natural_teeth_nothing_is_planned_and_the_place_is_named():
    natural = place("37", gap_mm=-0.3, budget_mm=5.0, room_mm=5.0, chosen=None)
    found = least_plan([natural], wanted=Wanted(reset_max_mm={"37": 5.0}))

    assert (found.reductions, found.resets) == ((), ())
    assert found.unmet[0].text == (
        "Cannot be done: short by 0.30 mm at 37, buccal inner distal. Adjusting natural teeth is "
        "the dentist's decision; request it here."
    )


def test_a_deep_reduction_advises_re_setting():
    found = least_plan([place(gap_mm=-0.8, budget_mm=1.0)])

    assert found.notes[1].startswith("16 would lose 0.80 mm at one incline. Beyond about 0.5")
    assert len(least_plan([place(gap_mm=-0.5, budget_mm=1.0)]).notes) == 2


def test_nothing_to_do_is_an_answer():
    for places in ([], [place(gap_mm=0.3, budget_mm=1.0)]):
        found = least_plan(places)
        assert (found.reductions, found.unmet, found.cost) == ((), (), 0.0)


# Against every corner


@st.composite
def problems(draw):
    """An incline on each of two teeth; some cannot be freed."""
    tenths = st.integers(0, 10).map(lambda value: value / 10.0)
    n = 2
    hollow = [draw(st.sampled_from([0.0, 0.2])) for _ in range(n)]
    room = [0.0 if one else draw(tenths) for one in hollow]
    return {
        "needs": [draw(tenths) for _ in range(n)],
        "budgets": [draw(tenths) for _ in range(n)],
        "hollows": hollow,
        "rooms": room,
        "ratios": [draw(st.sampled_from([0.3, 0.5, 0.8])) for _ in range(n)],
        "weights": [draw(st.sampled_from([0.5, 1.0, 2.0])) for _ in range(n)],
        "raised": (draw(tenths), draw(st.sampled_from([0.3, 1.0, 3.0]))),
        "reset": (draw(tenths), draw(st.sampled_from([0.2, 0.7, 2.0]))),
    }


@settings(max_examples=50)
@given(problems())
def test_no_corner_is_cheaper_and_where_there_is_none_the_plan_says_so(problem):
    teeth = ["16", "17"]
    places = [
        place(
            tooth,
            gap_mm=-problem["needs"][j],
            budget_mm=problem["budgets"][j],
            hollow_mm=problem["hollows"][j],
            room_mm=problem["rooms"][j],
            pin_ratio=problem["ratios"][j],
            weight=problem["weights"][j],
        )
        for j, tooth in enumerate(teeth)
    ]
    raised, reset = problem["raised"], problem["reset"]
    found = least_plan(
        places,
        wanted=Wanted(
            approved_raise_mm=raised[0],
            raise_weight=raised[1],
            reset_max_mm=dict.fromkeys(teeth, reset[0]),
            reset_weight=reset[1],
        ),
    )
    best = cheapest_corner(*programme(**problem))

    assert (best is None) is bool(found.unmet)
    if best is not None:
        assert found.cost == pytest.approx(best, abs=1e-6)
    for one in found.reductions:
        (origin,) = [each for each in places if each.tooth == one.place]
        assert one.depth_mm <= origin.budget_mm + origin.hollow_mm + 1e-9
        assert one.depth_mm <= -origin.gap_mm + 1e-9


# On surfaces that answer back


def surfaces(true_gap, places):
    """A check that finds what a true gap leaves after the depths of a plan."""
    calls = []

    def verify(plan):
        calls.append(plan)
        done = {(one.place, one.incline): one.depth_mm for one in plan.reductions}
        return [
            Remaining(one.tooth, one.incline, -(true_gap[one.tooth] + done.get(one.key, 0.0)))
            for one in places
        ]

    return verify, calls


def test_a_plan_that_holds_on_the_surfaces_is_not_made_again():
    places = [place(gap_mm=-0.3, budget_mm=1.0)]
    verify, calls = surfaces({"16": -0.3}, places)
    found = least_plan(places, verify=verify)

    assert found.remaining == ()
    assert len(calls) == 1
    assert "Not checked on the surfaces" not in " ".join(found.notes)


def test_what_the_surfaces_still_find_deepens_the_plan():
    places = [place(gap_mm=-0.3, budget_mm=1.0), place("17", gap_mm=-0.1, budget_mm=1.0)]
    verify, calls = surfaces({"16": -0.34, "17": -0.1}, places)
    found = least_plan(places, verify=verify)

    assert by_tooth(found.reductions) == {"16": pytest.approx(0.34), "17": pytest.approx(0.1)}
    assert found.remaining == ()
    assert len(calls) == 2


def test_what_remains_beyond_the_budget_becomes_a_shortage():
    places = [place(gap_mm=-0.3, budget_mm=0.32)]
    verify, _ = surfaces({"16": -0.4}, places)
    found = least_plan(places, verify=verify)

    assert [one.short_mm for one in found.unmet] == [pytest.approx(0.08, abs=1e-6)]
    assert found.remaining == ()


def test_a_finding_at_an_unknown_place_is_handed_on_and_not_chased():
    elsewhere = Remaining("17", INCLINE, 0.2)
    calls = []

    def verify(plan):
        calls.append(plan)
        return [elsewhere]

    found = least_plan([place(gap_mm=-0.3, budget_mm=1.0)], verify=verify)

    assert found.remaining == (elsewhere,)
    assert len(calls) == 1


def test_surfaces_that_never_agree_end_the_plan_with_what_remains():
    found = least_plan(
        [place(gap_mm=-0.1, budget_mm=5.0)], verify=lambda plan: [Remaining("16", INCLINE, 0.05)]
    )

    assert found.remaining == (Remaining("16", INCLINE, 0.05),)
    assert by_tooth(found.reductions) == {"16": pytest.approx(0.3)}


def test_without_a_check_the_plan_says_that_it_has_none():
    found = least_plan([place(gap_mm=-0.3, budget_mm=1.0)])

    assert found.remaining is None
    assert found.notes[-1] == (
        "Not checked on the surfaces: the plan takes every movement as straight."
    )


def test_the_object_of_a_plan_cannot_be_made_natural():
    (one,) = least_plan([place(gap_mm=-0.3, budget_mm=1.0)]).reductions

    assert one.chosen == DentureTooth("16", "denture")
    with pytest.raises(ValueError, match="No reduction is proposed"):
        dataclasses.replace(one.chosen, material="natural")
