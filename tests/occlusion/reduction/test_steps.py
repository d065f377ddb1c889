"""Several marks in the order of selective grinding."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion.errors import BadRequest, OutOfRange
from occlusion.reduction.steps import steps_for
from occlusion.sources import cite
from tests import published
from tests.occlusion.reduction.marks import budgets, mark, marks

BOTH = {"upper_material": "denture", "lower_material": "denture"}


def test_steps_stand_in_order_whatever_the_order_of_the_marks():
    given_marks = [mark("protrusive"), mark("balancing"), mark("working"), mark("centric")]
    steps = steps_for(given_marks, budgets_mm={"16": 2.0})

    assert [(step.name, len(step.proposals)) for step in steps] == [
        ("vertical", 0),
        ("centric", 1),
        ("working", 1),
        ("balancing", 1),
        ("protrusive", 1),
    ]


def test_the_order_is_the_taught_one():
    rows = published.table("grinding_order")

    assert [step.name for step in steps_for([])] == [row["step"] for row in rows]
    assert {step.source for step in steps_for([])} == {cite(row["key"]) for row in rows}


def test_the_vertical_comes_first_and_centric_and_pin_are_checked_after_every_step():
    steps = steps_for([])

    assert steps[0].text == "Bring the pin back to the agreed reading before anything else."
    assert [step.afterwards for step in steps] == [""] + 4 * [
        "Mark centric again, and see that the pin still touches the table."
    ]


def test_what_a_step_takes_is_missing_in_the_next():
    two = [mark("balancing", depth=0.2), mark("working", cusps="lingual", depth=0.2)]
    _, _, working, balancing, _ = steps_for(two, budgets_mm={"16": 0.3})

    assert working.proposals[0].depth_mm == 0.2
    assert balancing.proposals[0].kind == "re-set"
    assert balancing.proposals[0].short_by_mm == pytest.approx(0.1)


def test_all_that_was_taken_counts_and_not_only_the_last_step():
    three = [
        mark("working", cusps="buccal", depth=0.2),
        mark("balancing", depth=0.1),
        mark("protrusive", cusps="buccal", depth=0.1),
    ]
    *_, protrusive = steps_for(three, budgets_mm={"16": 0.35})

    assert protrusive.proposals[0].short_by_mm == pytest.approx(0.05)


def test_what_was_taken_before_counts():
    (_, _, working, *_) = steps_for([mark(depth=0.3)], budgets_mm={"16": 2.0}, taken_mm={"16": 0.3})

    assert working.proposals[0].kind == "re-set"


def test_another_tooth_has_its_own_budget():
    two = [mark(depth=0.4), mark("working", "17", "47", depth=0.4)]
    (_, _, working, *_) = steps_for(two, budgets_mm={"16": 0.4, "17": 0.4})

    assert [one.depth_mm for one in working.proposals] == [0.4, 0.4]


def test_a_place_is_not_ground_twice_for_two_marks():
    two = [mark("working", depth=0.2), mark("working", "16", "47", depth=0.3)]
    (_, _, working, *_) = steps_for(two, budgets_mm={"16": 1.0})

    assert [one.depth_mm for one in working.proposals] == pytest.approx([0.2, 0.1])


def test_a_pair_that_gave_at_one_cusp_does_not_give_at_the_other():
    two = [
        mark("balancing", depth=0.1, **BOTH),
        mark("balancing", depth=0.3, prefer="upper", **BOTH),
    ]
    balancing = steps_for(two, budgets_mm={"16": 2.0, "46": 2.0})[3]

    assert [one.chosen.tooth for one in balancing.proposals] == ["46", "46"]


def test_natural_pairs_stay_in_their_step_as_places():
    natural = mark("working", "27", "37", upper_material="natural")
    (_, _, working, *_) = steps_for([natural])

    assert (working.proposals[0].kind, working.proposals[0].place) == ("dentist decides", "37")


def test_budgets_of_no_tooth_are_refused():
    with pytest.raises(BadRequest, match="not an ISO 3950 number"):
        steps_for([], budgets_mm={"99": 1.0})
    with pytest.raises(OutOfRange, match="is -1 mm"):
        steps_for([], taken_mm={"16": -1.0})


@settings(max_examples=60)
@given(
    st.lists(marks(), max_size=8),
    st.dictionaries(st.sampled_from(["16", "46", "14", "13", "37"]), budgets),
)
def test_depths_never_exceed_the_marks_or_the_budgets(given_marks, by_tooth):
    steps = steps_for(given_marks, budgets_mm=by_tooth)
    taken, cusps = {}, {}
    for proposal in (one for step in steps for one in step.proposals):
        assert proposal.depth_mm <= proposal.mark.depth_mm
        if proposal.chosen is None:
            continue
        tooth = proposal.chosen.tooth
        taken[tooth] = taken.get(tooth, 0.0) + proposal.depth_mm
        if proposal.mark.role == "balancing" and proposal.depth_mm > 0.0:
            pair = (proposal.mark.upper, proposal.mark.lower, proposal.mark.who)
            cusps.setdefault(pair, set()).add(tooth)
    assert all(total <= by_tooth.get(tooth, 10.0) + 1e-9 for tooth, total in taken.items())
    assert all(len(found) == 1 for found in cusps.values())
    assert sum(len(step.proposals) for step in steps) == len(given_marks)
