"""From one mark to a proposal."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from occlusion.errors import BadRequest, BudgetExceeded, OutOfRange
from occlusion.reduction.advice import Proposal, propose
from occlusion.reduction.denture import DentureTooth
from tests.occlusion.reduction.marks import budgets, mark, marks

DECIDES = "Adjusting natural teeth is the dentist's decision; request it here."
BOTH = {"upper_material": "denture", "lower_material": "denture"}
LOWER_DENTURE = {"upper_material": "natural", "lower_material": "denture"}
NATURAL = {"upper_material": "natural", "lower_material": "natural"}


def test_a_working_mark_is_reduced_at_the_inner_incline_of_the_upper_buccal_cusp():
    found = propose(mark("working", cusps="buccal", depth=0.2), budget_mm=0.3)

    assert (found.kind, found.depth_mm, found.short_by_mm, found.place) == (
        "reduce",
        0.2,
        0.0,
        "46",
    )
    assert found.chosen == DentureTooth("16", "denture")
    assert found.text == (
        "16, lingual (inner) incline of the upper buccal cusp: reduce by at most 0.20 mm. "
        "Keep the contact in centric."
    )
    assert [one.code for one in found.cautions] == ["outer_layer"]
    assert not found.confirm


def test_a_balancing_mark_frees_the_path_and_keeps_the_supporting_tip():
    found = propose(mark("balancing", "26", "36", depth=0.126), budget_mm=1.0)

    assert found.text == (
        "26, distobuccal (inner) incline of the upper lingual cusp: reduce by at most 0.12 mm. "
        "Keep the tip of the upper lingual cusp: it carries the vertical. Free the path only."
    )
    assert found.at.incline.name == "lingual inner distal"


def test_a_derived_rule_asks_for_the_dentists_word():
    found = propose(mark("working", cusps="lingual"), budget_mm=1.0)

    assert found.at.incline.name == "lingual outer"
    assert found.text.endswith("Derived, to be confirmed by the dentist.")
    assert found.confirm
    assert "own derivation" in found.source


def test_a_lower_denture_is_the_mirror():
    found = propose(mark("balancing", **LOWER_DENTURE), budget_mm=1.0)

    assert (found.chosen.tooth, found.at.incline.name, found.place) == (
        "46",
        "buccal inner mesial",
        "16",
    )
    assert found.confirm


def test_between_dentures_one_of_two_is_chosen_and_may_be_preferred():
    first = propose(mark("balancing", **BOTH), budget_mm=1.0)
    other = propose(mark("balancing", prefer="upper", **BOTH), budget_mm=1.0)

    assert (first.chosen.tooth, first.at.incline.name) == ("46", "buccal inner mesial")
    assert (other.chosen.tooth, other.at.incline.name) == ("16", "lingual inner distal")
    assert "never both" in first.text
    assert first.place is None


def test_between_natural_teeth_there_is_a_place_and_no_object():
    found = propose(mark("balancing", "27", "37", **NATURAL))

    assert (found.kind, found.chosen, found.at, found.place) == (
        "dentist decides",
        None,
        None,
        "37",
    )
    assert found.text == f"37 meets 27, and both are natural: the dentist decides. {DECIDES}"


@pytest.mark.parametrize("who", [BOTH, LOWER_DENTURE, {}])
def test_a_crossbite_has_no_rule(who):
    found = propose(mark(crossbite=True, **who))

    assert (found.kind, found.chosen, found.depth_mm) == ("no rule", None, 0.0)
    assert "in a crossbite other cusps carry the vertical" in found.text


def test_an_upper_premolar_on_a_lower_canine_between_dentures_has_a_rule_only_if_it_yields():
    lingual = mark("protrusive", "14", "43", cusps="lingual", **BOTH)

    assert propose(mark("protrusive", "14", "43", cusps="buccal", **BOTH)).chosen.tooth == "14"
    assert propose(lingual).kind == "no rule"
    assert "a front tooth meets a posterior one" in propose(lingual).text


def test_a_budget_too_small_means_re_set_and_says_what_is_missing():
    found = propose(mark(depth=0.4), budget_mm=0.5, taken_mm=0.2)

    assert (found.kind, found.depth_mm) == ("re-set", 0.0)
    assert found.short_by_mm == pytest.approx(0.1)
    assert found.text == (
        "16, lingual (inner) incline of the upper buccal cusp: re-set, do not grind: short by "
        f"0.10 mm. {DECIDES}"
    )


def test_what_is_missing_is_never_rounded_down():
    assert "short by 0.13 mm" in propose(mark(depth=0.426), budget_mm=0.3).text


def test_a_budget_that_is_just_enough_is_enough():
    assert propose(mark(depth=0.3), budget_mm=0.5, taken_mm=0.2).kind == "reduce"
    assert propose(mark(depth=0.3), budget_mm=0.3).depth_mm == 0.3


def test_who_insists_on_more_than_the_budget_is_refused():
    with pytest.raises(BudgetExceeded) as refused:
        propose(mark(depth=0.4), budget_mm=0.3, insist=True)

    assert refused.value.text == (
        "16, lingual (inner) incline of the upper buccal cusp: 0.40 mm is asked for, and 0.30 mm "
        "is left of the budget. Re-set the tooth, or ask the dentist."
    )
    assert (refused.value.field, refused.value.value, refused.value.limit) == ("depth_mm", 0.4, 0.3)


@pytest.mark.parametrize(
    ("depth", "taken", "kind"),
    [(0.5, 0.0, "reduce"), (0.51, 0.0, "re-set"), (0.3, 0.2, "reduce"), (0.3, 0.21, "re-set")],
)
def test_beyond_half_a_millimetre_in_all_the_tooth_is_re_set(depth, taken, kind):
    found = propose(mark(depth=depth), budget_mm=3.0, taken_mm=taken)

    assert found.kind == kind
    assert ("beyond about 0.5 to 1 mm re-set" in found.text) is (kind == "re-set")
    assert found.short_by_mm == 0.0


def test_re_setting_between_dentures_asks_for_no_natural_tooth():
    assert DECIDES not in propose(mark(depth=0.8, **BOTH), budget_mm=3.0).text


def test_who_insists_within_the_budget_is_warned():
    found = propose(mark(depth=0.8), budget_mm=3.0, insist=True)

    assert (found.kind, found.depth_mm) == ("reduce", 0.8)
    assert [one.code for one in found.cautions] == ["beyond_usual", "outer_layer"]
    assert found.cautions[0].text.startswith("16 loses 0.80 mm in all.")


def test_an_unknown_budget_is_said():
    found = propose(mark(depth=0.2))

    assert (found.kind, found.depth_mm) == ("reduce", 0.2)
    assert [one.code for one in found.cautions] == ["no_budget", "outer_layer"]


@pytest.mark.parametrize(
    ("by", "depth", "kind"),
    [
        ("callipers", 0.29, "mark first"),
        ("callipers", 0.3, "reduce"),
        ("gauge", 0.1, "reduce"),
        ("scans", 0.1, "reduce"),
    ],
)
def test_a_small_depth_from_callipers_is_marked_before_it_is_ground(by, depth, kind):
    found = propose(mark(depth=depth, measured_by=by), budget_mm=1.0)

    assert found.kind == kind
    assert ("Mark with foil first." in found.text) is (kind == "mark first")


def test_what_came_off_at_this_place_is_not_taken_again():
    less = propose(mark(depth=0.3), budget_mm=1.0, taken_mm=0.2, gone_mm=0.2)
    none = propose(mark(depth=0.3), budget_mm=1.0, taken_mm=0.3, gone_mm=0.3)

    assert less.depth_mm == pytest.approx(0.1)
    assert (none.kind, none.depth_mm) == ("nothing left", 0.0)
    assert none.text.endswith("nothing left to take. Mark again.")
    assert propose(mark(depth=0.0)).kind == "nothing left"


def test_a_cusp_that_is_said_to_carry_the_vertical_keeps_its_tip():
    told = propose(mark("working", cusps="buccal", supporting=True), budget_mm=1.0)
    usual = propose(mark("balancing", supporting=False), budget_mm=1.0)

    assert told.text.endswith("Keep the tip of this cusp: it is said to carry the vertical.")
    assert "Keep the tip of the upper lingual cusp" in usual.text


def test_porcelain_against_enamel_is_cautioned():
    found = propose(mark(upper_made_of="porcelain"), budget_mm=1.0)

    assert [one.code for one in found.cautions] == ["porcelain_glaze", "porcelain_enamel"]
    against_denture = propose(mark(upper_made_of="porcelain", **BOTH), budget_mm=1.0)
    assert [one.code for one in against_denture.cautions] == ["porcelain_glaze"]


def test_assumptions_are_handed_on():
    assert propose(mark("working"), budget_mm=1.0).assumptions == (
        "Buccal cusps are taken to meet at 16: not told.",
    )


def test_budgets_out_of_range_are_refused():
    with pytest.raises(OutOfRange, match="Budget of the tooth is -1 mm"):
        propose(mark(), budget_mm=-1.0)
    with pytest.raises(OutOfRange, match="Taken so far is -1 mm"):
        propose(mark(), taken_mm=-1.0)


def test_a_proposal_cannot_be_made_deeper_than_its_mark_or_without_a_denture_tooth():
    tooth = DentureTooth("16", "denture")
    with pytest.raises(BudgetExceeded, match="by the interference at most"):
        Proposal(
            mark=mark(depth=0.2), kind="reduce", text="", source="", chosen=tooth, depth_mm=0.3
        )
    with pytest.raises(BudgetExceeded, match="Reduce a denture tooth"):
        Proposal(mark=mark(depth=0.2), kind="reduce", text="", source="", depth_mm=0.1)


@given(marks(), st.one_of(st.none(), budgets), budgets, budgets, st.booleans())
def test_no_proposal_touches_a_natural_tooth_goes_too_deep_or_takes_a_tip(
    one, budget, taken, gone, insist
):
    try:
        found = propose(one, budget_mm=budget, taken_mm=taken, gone_mm=gone, insist=insist)
    except BudgetExceeded:
        assert insist
        return
    materials = {one.upper: one.upper_material, one.lower: one.lower_material}
    if found.chosen is not None:
        assert materials[found.chosen.tooth] == "denture"
        assert found.chosen.tooth == one.tooth_of(found.at.member)
    if found.place is not None:
        assert materials[found.place] == "natural"
    assert 0.0 <= found.depth_mm <= one.depth_mm
    assert budget is None or found.depth_mm == 0.0 or taken + found.depth_mm <= budget + 1e-9
    assert (found.depth_mm > 0.0) is (found.kind == "reduce")
    if one.role != "centric" and found.at is not None:
        assert not found.at.removes_tip
    assert "clear" not in found.text
    assert "no interference" not in found.text
    if "denture" not in materials.values():
        assert (found.kind, found.chosen) == ("dentist decides", None)


@given(marks())
def test_a_natural_tooth_cannot_be_smuggled_in(one):
    for member in ("upper", "lower"):
        if getattr(one, f"{member}_material") == "natural":
            assert one.tooth_object(member) is None
            with pytest.raises(BadRequest):
                DentureTooth(one.tooth_of(member), getattr(one, f"{member}_material"))
