"""Marks of a pass: which denture tooth yields, where, how deep, and when nothing does."""

from __future__ import annotations

from typing import Any

import pytest

from labcases import notation
from labcases.domain.calculations import MarkAdvice, SeenExcursion, SeenMark, mark_advice
from labcases.enums import Movement, OpposingTooth
from tests.labcases import kept

CENTRIC, RIGHT, LEFT, PROTRUSIVE = (
    Movement.CENTRIC,
    Movement.RIGHT,
    Movement.LEFT,
    Movement.PROTRUSIVE,
)
UPPER_DENTURE = {
    **dict.fromkeys(notation.UPPER, OpposingTooth.DENTURE),
    **dict.fromkeys(notation.LOWER, OpposingTooth.NATURAL),
}
LOWER_DENTURE = {
    **dict.fromkeys(notation.UPPER, OpposingTooth.NATURAL),
    **dict.fromkeys(notation.LOWER, OpposingTooth.DENTURE),
}
RESIN = dict.fromkeys((*notation.UPPER, *notation.LOWER), "resin")


def deep(tooth: str, mm: float, place: str | None = None) -> dict[str, Any]:
    """A tooth that goes so far into what it passes, half way along."""
    return kept.tooth(tooth, place=place, series=[[0.0, 0.0], [1.5, -mm], [3.0, 0.1]])


def check(*teeth: dict[str, Any], excursion: str = "right", **more: Any) -> dict[str, Any]:
    return kept.findings(kept.excursion(excursion, *teeth), **more)


def budget(**left: float | None) -> dict[str, Any]:
    return {
        "rows": [{"tooth": tooth[1:], "occlusal_budget_mm": mm} for tooth, mm in left.items()],
    }


#: Passes in every excursion, in which nothing marked.
FREE = {movement: SeenExcursion({}) for movement in (RIGHT, LEFT, PROTRUSIVE)}


def advice(*marks: tuple[Movement, str], **more: Any) -> list[MarkAdvice]:
    return mark_advice(
        [SeenMark(movement, tooth) for movement, tooth in marks],
        **{
            "kinds": UPPER_DENTURE,
            "made_of": RESIN,
            "clearance": None,
            "height": None,
            "taken_mm": {},
            "excursions": FREE,
            **more,
        },
    )


def the_one(*marks: tuple[Movement, str], **more: Any) -> MarkAdvice:
    (found,) = advice(*marks, **more)
    return found


# --- who yields ----------------------------------------------------------------------------------


def test_a_working_mark_is_taken_off_the_denture_tooth_as_deep_as_predicted():
    found = the_one((RIGHT, "16"), clearance=check(deep("16", 0.42, "46")), height=budget(_16=0.8))

    assert (found.kind, found.yields, found.opposing) == ("reduce", "16", "46")
    assert found.place == "lingual (inner) incline of the upper buccal cusp"
    assert (found.depth_mm, found.predicted_mm, found.left_mm) == (0.42, 0.42, 0.8)
    assert found.text.startswith(
        "16, lingual (inner) incline of the upper buccal cusp: reduce by at most 0.42 mm."
    )
    assert found.source


@pytest.mark.parametrize("movement", list(Movement))
@pytest.mark.parametrize(
    ("kinds", "arch"), [(UPPER_DENTURE, "12"), (LOWER_DENTURE, "34")], ids=["upper", "lower"]
)
def test_only_a_tooth_of_the_denture_ever_yields(movement, kinds, arch):
    every = [
        (movement, tooth) for tooth in (*notation.UPPER, *notation.LOWER) if tooth[1] not in "8"
    ]

    found = advice(*every, kinds=kinds)

    assert len(found) == 14
    assert {one.yields[0] for one in found} == set(arch)


def test_a_mark_of_the_natural_tooth_alone_asks_the_denture_tooth_over_it():
    found = the_one((RIGHT, "46"), clearance=check(deep("16", 0.42, "46")), height=budget(_16=1))

    assert (found.mark.tooth, found.opposing, found.yields) == ("46", "16", "16")
    assert found.depth_mm == 0.42


def test_two_natural_teeth_are_the_dentists():
    kinds = UPPER_DENTURE | {"16": OpposingTooth.NATURAL}

    found = the_one((RIGHT, "16"), kinds=kinds)

    assert (found.kind, found.yields, found.depth_mm) == ("dentist decides", None, None)
    assert "both are natural: the dentist decides" in found.text
    assert found.left_mm is None


def test_a_mark_over_a_gap_has_no_proposal():
    assert advice((RIGHT, "16"), kinds=UPPER_DENTURE | {"46": OpposingTooth.MISSING}) == []


def test_two_teeth_that_met_are_one_mark():
    assert len(advice((RIGHT, "16"), (RIGHT, "46"))) == 1
    assert len(advice((RIGHT, "16"), (LEFT, "46"))) == 2


def test_the_side_says_whether_a_mark_works_or_balances():
    working, balancing = advice((RIGHT, "26"), (RIGHT, "16"))

    # Working marks come first, whichever was seen first.
    assert (working.yields, working.place) == (
        "16",
        "lingual (inner) incline of the upper buccal cusp",
    )
    assert (balancing.yields, balancing.place) == (
        "26",
        "distobuccal (inner) incline of the upper lingual cusp",
    )


def test_marks_stand_in_the_order_of_grinding():
    found = advice((PROTRUSIVE, "16"), (LEFT, "16"), (RIGHT, "16"), (CENTRIC, "16"))

    assert [one.mark.movement for one in found] == [CENTRIC, RIGHT, LEFT, PROTRUSIVE]


# --- whom a tooth meets --------------------------------------------------------------------------


def test_a_tooth_meets_what_the_check_says_that_it_passes():
    found = the_one((RIGHT, "16"), clearance=check(deep("16", 0.4, "47")))

    assert found.opposing == "47"


def test_a_tooth_that_marked_as_well_goes_before_what_the_check_says():
    found = the_one((RIGHT, "16"), (RIGHT, "46"), clearance=check(deep("16", 0.4, "47")))

    assert (found.mark.tooth, found.opposing) == ("16", "46")


@pytest.mark.parametrize(
    ("others", "met"), [((), "17"), (("16",), "16")], ids=["alone", "with the one before it"]
)
def test_a_natural_tooth_under_two_denture_teeth_meets_the_one_that_marked(others, met):
    found = advice(
        (RIGHT, "47"),
        *((RIGHT, tooth) for tooth in others),
        clearance=check(deep("16", 0.4, "47"), deep("17", 0.4, "47")),
    )

    assert [(one.mark.tooth, one.opposing) for one in found] == [("47", met)]


def test_an_incline_that_the_check_found_decides_which_cusps_meet():
    row = {"tooth": "16", "excursion": "right", "incline": "lingual outer mesial"}

    found = the_one((RIGHT, "16"), clearance=check(deep("16", 0.4, "46"), reduction=[row]))

    assert found.place == "lingual (outer) incline of the upper lingual cusp"
    assert found.assumptions == ()


def test_cusps_that_nobody_named_are_said_to_be_assumed():
    found = the_one((RIGHT, "16"), clearance=check(deep("16", 0.4, "46")))

    assert found.assumptions == ("Buccal cusps are taken to meet at 16: not told.",)


# --- how deep ------------------------------------------------------------------------------------


def test_less_than_callipers_can_tell_is_taken_off_where_the_foil_that_was_used_marks():
    found = the_one((RIGHT, "16"), clearance=check(deep("16", 0.2, "46")), height=budget(_16=0.8))

    assert (found.kind, found.depth_mm, found.predicted_mm) == ("mark first", None, 0.2)
    assert found.text == (
        "16, lingual (inner) incline of the upper buccal cusp: a depth of 0.20 mm is predicted, "
        "less than callipers can tell (0.3 mm). Take off a little where the foil marks, within "
        "the budget, and mark again."
    )
    assert found.keep


def test_nor_is_a_shallow_depth_taken_off_a_tooth_that_has_nothing_left():
    found = the_one((RIGHT, "16"), clearance=check(deep("16", 0.2, "46")), height=budget(_16=0.0))

    assert found.kind == "re-set"


def test_deeper_than_half_a_millimetre_is_set_again():
    found = the_one((RIGHT, "16"), clearance=check(deep("16", 0.6, "46")), height=budget(_16=2))

    assert (found.kind, found.depth_mm) == ("re-set", None)


def test_more_than_the_budget_is_set_again_and_says_how_much_is_lacking():
    found = the_one((RIGHT, "16"), clearance=check(deep("16", 0.4, "46")), height=budget(_16=0.3))

    assert (found.kind, found.left_mm) == ("re-set", 0.3)
    assert "short by 0.10 mm" in found.text


def test_what_was_taken_off_already_is_missing_from_the_budget():
    found = the_one(
        (RIGHT, "16"),
        clearance=check(deep("16", 0.35, "46")),
        height=budget(_16=0.4),
        taken_mm={"16": 0.1},
    )

    assert (found.kind, found.left_mm) == ("re-set", pytest.approx(0.3))
    assert "short by 0.05 mm" in found.text


def test_what_was_taken_off_another_tooth_is_not():
    found = the_one(
        (RIGHT, "16"),
        clearance=check(deep("16", 0.35, "46")),
        height=budget(_16=0.4),
        taken_mm={"17": 0.3},
    )

    assert (found.kind, found.depth_mm, found.left_mm) == ("reduce", 0.35, 0.4)


@pytest.mark.parametrize(
    ("taken", "left", "said"),
    [
        (0.5, -0.1, "0.10 mm more than its height budget was taken off"),
        (14.0, -13.6, "13.60 mm more than its height budget was taken off"),
        (0.4, 0.0, "nothing is left of its height budget"),
    ],
)
def test_a_budget_that_was_used_up_says_by_how_much_it_was_overdrawn(taken, left, said):
    found = the_one((RIGHT, "16"), height=budget(_16=0.4), taken_mm={"16": taken})

    assert (found.kind, found.left_mm) == ("re-set", pytest.approx(left))
    assert f"{said}. Re-set the tooth, do not grind it." in found.text


def test_without_a_budget_the_depth_bears_a_caution():
    found = the_one((RIGHT, "16"), clearance=check(deep("16", 0.4, "46")), height=budget(_16=None))

    assert (found.kind, found.left_mm) == ("reduce", None)
    assert any("What 16 has to give is not known" in text for text in found.cautions)


# --- by foil -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("movement", "clearance", "why", "predicted"),
    [
        (RIGHT, None, "no depth is known.", None),
        (LEFT, check(deep("16", 0.4)), "the check does not ask about these teeth.", None),
        (RIGHT, check(kept.tooth("16")), "the check predicts no depth here.", 0.0),
        (CENTRIC, check(kept.tooth("16")), "the check predicts no depth in centric.", None),
    ],
)
def test_without_a_depth_the_foil_decides_and_the_reason_is_said(
    movement, clearance, why, predicted
):
    found = the_one((movement, "16"), clearance=clearance, height=budget(_16=0.8))

    assert (found.kind, found.yields, found.depth_mm) == ("no depth", "16", None)
    assert found.predicted_mm == predicted
    assert f"{found.place}: {why} Take off a little where the foil marks, within" in found.text
    assert found.keep


def test_a_budget_that_is_not_known_is_not_spoken_of():
    assert "budget" not in the_one((RIGHT, "16")).text


def test_a_rule_that_was_carried_over_asks_for_the_dentists_word():
    found = the_one((RIGHT, "46"), kinds=LOWER_DENTURE)

    assert found.yields == "46"
    assert found.text.endswith("Derived, to be confirmed by the dentist.")


# --- what to mind --------------------------------------------------------------------------------

PORCELAIN = dict.fromkeys(notation.UPPER, "porcelain")


@pytest.mark.parametrize("clearance", [None, check(deep("16", 0.4, "46"))], ids=["foil", "depth"])
def test_porcelain_against_enamel_bears_both_cautions(clearance):
    found = the_one((RIGHT, "16"), clearance=clearance, made_of=PORCELAIN, height=budget(_16=0.8))

    assert found.cautions == (
        "16 is porcelain: grinding takes its glaze, and in the base it cannot be fired again. "
        "Polish it to a gloss.",
        "16 meets natural enamel, which rough porcelain wears. Do not leave it unpolished.",
    )


def test_resin_bears_the_caution_of_its_outer_layer():
    found = the_one((RIGHT, "16"))

    assert found.cautions == (
        "Grinding removes the wear-resistant outer layer of 16. Keep as much of it as you can.",
    )


def test_what_a_denture_opposite_is_made_of_is_not_taken_from_this_case():
    kinds = dict.fromkeys(UPPER_DENTURE, OpposingTooth.DENTURE)
    row = {"tooth": "16", "excursion": "right", "incline": "lingual inner"}

    found = the_one(
        (RIGHT, "16"),
        kinds=kinds,
        made_of=PORCELAIN,
        clearance=check(deep("16", 0.4, "46"), reduction=[row]),
    )

    assert found.yields == "46"
    assert all("porcelain" not in text for text in found.cautions)
