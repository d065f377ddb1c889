"""Whether a cusp that is high in centric marks in the excursions too, and what yields by that."""

from typing import Any

import pytest

from labcases.domain.calculations import MarkAdvice, SeenMark, mark_advice
from labcases.domain.calculations.excursions import SeenExcursion, also_marks
from labcases.enums import Movement, OpposingTooth
from tests.labcases.domain.calculations.test_reduction import (
    FREE,
    LOWER_DENTURE,
    RESIN,
    UPPER_DENTURE,
    advice,
    the_one,
)

CENTRIC, RIGHT, LEFT, PROTRUSIVE = Movement
NOTHING = SeenExcursion({})


def told(cusps="lingual", said="", **passes):
    """Of 16 on 46; a pass that is not named had no mark, and one that is None was not made."""
    excursions = {RIGHT: NOTHING, LEFT: NOTHING, PROTRUSIVE: NOTHING}
    for name, one in passes.items():
        movement = Movement[name.upper()]
        if one is None:
            del excursions[movement]
        else:
            excursions[movement] = one if isinstance(one, SeenExcursion) else SeenExcursion(one)
    found = also_marks(upper="16", lower="46", cusps=cusps, excursions=excursions, said=said)
    return found.marks, found.why


@pytest.mark.parametrize(
    ("cusps", "passes", "marks"),
    [
        # 16 works in right lateral: buccal cusps meet buccal ones, lingual cusps lingual ones.
        ("lingual", {"right": {"16": "lingual"}}, True),
        ("lingual", {"right": {"16": "buccal"}}, False),
        ("buccal", {"right": {"46": "buccal"}}, True),
        ("buccal", {"right": {"46": "lingual"}}, False),
        # It balances in left lateral, where the two cusps that carry slide on each other.
        ("lingual", {"left": {"16": ""}}, True),
        ("buccal", {"left": {"46": "lingual"}}, True),
        ("", {"left": {"46": ""}}, True),
        # In protrusion as on the working side.
        ("buccal", {"protrusive": {"16": "buccal"}}, True),
        ("buccal", {"protrusive": {"16": "lingual"}}, False),
        # Other teeth, and none.
        ("lingual", {"right": {"15": "lingual", "47": "lingual"}}, False),
        ("", {}, False),
    ],
)
def test_the_last_passes_tell_of_which_cusp_they_speak(cusps, passes, marks):
    assert told(cusps, **passes)[0] is marks


def test_one_excursion_in_which_it_marks_is_enough():
    assert told(right=None, left={"16": ""}, protrusive=None) == (
        True,
        "The same cusp marks in left lateral too (last pass).",
    )


@pytest.mark.parametrize(
    ("cusps", "passes", "why"),
    [
        ("lingual", {"left": None}, "no pass in left lateral is logged."),
        (
            "lingual",
            {"right": {"16": ""}},
            "it marks in right lateral, and with which cusp is not said.",
        ),
        (
            "",
            {"right": {"16": "buccal"}},
            "it marks in right lateral, and with which cusp is not said.",
        ),
        (
            "lingual",
            {"protrusive": SeenExcursion({"16": "lingual"}, frozenset({"46", "27"}))},
            "46 ground or set after the last pass in protrusive.",
        ),
    ],
)
def test_what_the_passes_do_not_tell_is_not_known_and_why(cusps, passes, why):
    assert told(cusps, **passes) == (None, f"Not known from the passes: {why}")
    assert told(cusps, "not known", **passes)[0] is None
    assert told(cusps, "yes", **passes)[0] is True
    assert told(cusps, "no", **passes)[0] is False


def test_passes_that_tell_go_before_what_was_said():
    assert told(said="yes")[0] is False
    assert told(said="no", left={"16": ""})[0] is True


# --- what yields --------------------------------------------------------------------------------

TWO_DENTURES = dict.fromkeys(UPPER_DENTURE, OpposingTooth.DENTURE)
BOTH, ONLY = "marks there too", "only in centric"

#: Selective grinding in centric, typed from occlusion's table (C. H. Schuyler 1935, from memory;
#: of one denture alone derived): who stands where, the high cusp, and whether it marks in the
#: excursions too -> the tooth of 16 on 46 that yields, and where.
CENTRIC_RULES = [
    (TWO_DENTURES, "lingual", BOTH, "16", "upper lingual cusp"),
    (TWO_DENTURES, "buccal", BOTH, "46", "lower buccal cusp"),
    (TWO_DENTURES, "lingual", ONLY, "46", "lower fossa"),
    (TWO_DENTURES, "buccal", ONLY, "16", "upper fossa"),
    (UPPER_DENTURE, "lingual", BOTH, "16", "upper lingual cusp"),
    (UPPER_DENTURE, "buccal", BOTH, "16", "upper fossa"),
    (UPPER_DENTURE, "lingual", ONLY, "16", "upper lingual cusp"),
    (UPPER_DENTURE, "buccal", ONLY, "16", "upper fossa"),
    (LOWER_DENTURE, "lingual", BOTH, "46", "lower fossa"),
    (LOWER_DENTURE, "buccal", BOTH, "46", "lower buccal cusp"),
    (LOWER_DENTURE, "lingual", ONLY, "46", "lower fossa"),
    (LOWER_DENTURE, "buccal", ONLY, "46", "lower buccal cusp"),
]


def in_centric(cusps: str = "lingual", said: str = "", **more: Any) -> MarkAdvice:
    """What is proposed for 16 on 46, marked in centric with this cusp."""
    (found,) = mark_advice(
        [SeenMark(CENTRIC, "16", cusps, said)],
        **{
            "kinds": TWO_DENTURES,
            "made_of": RESIN,
            "clearance": None,
            "height": None,
            "taken_mm": {},
            **more,
        },
    )
    return found


@pytest.mark.parametrize(("kinds", "cusps", "where", "yields", "place"), CENTRIC_RULES)
def test_cusp_or_fossa_yields_by_whether_the_cusp_marks_in_the_excursions_too(
    kinds, cusps, where, yields, place
):
    balancing = {**FREE, LEFT: SeenExcursion({"46": ""})}
    by_passes = in_centric(cusps, kinds=kinds, excursions=balancing if where == BOTH else FREE)
    as_said = in_centric(cusps, "yes" if where == BOTH else "no", kinds=kinds, excursions={})

    for found in (by_passes, as_said):
        assert (found.kind, found.yields, found.place) == ("no depth", yields, place)
    assert by_passes.assumptions == (
        ("The same cusp marks in left lateral too (last pass).",)
        if where == BOTH
        else ("The same cusp marks in none of the excursions (last passes).",)
    )
    assert as_said.assumptions == (
        ("The same cusp marks in the excursions too, as was said here.",)
        if where == BOTH
        else ("The same cusp marks in none of the excursions, as was said here.",)
    )


@pytest.mark.parametrize("said", ["", "not known"])
@pytest.mark.parametrize("kinds", [TWO_DENTURES, UPPER_DENTURE, LOWER_DENTURE])
def test_nothing_is_proposed_for_a_mark_in_centric_before_it_is_known(kinds, said):
    found = in_centric("lingual", said, kinds=kinds, excursions={})

    assert (found.kind, found.yields, found.place) == ("ask first", None, "")
    assert (found.depth_mm, found.left_mm) == (None, None)
    assert found.text == (
        "Does the same cusp mark in the excursions too? Whether the cusp or the fossa yields "
        "hangs on that, and a natural tooth never does. Nothing is proposed before it is known. "
        "Not known from the passes: no pass in right lateral, left lateral, protrusive is logged."
    )
    assert found.source.startswith("C. H. Schuyler")


def test_a_mark_that_waits_does_not_hold_up_the_others():
    found = advice((RIGHT, "16"), (CENTRIC, "26"), (CENTRIC, "16"), excursions={})

    assert [(one.mark.movement, one.mark.tooth, one.kind) for one in found] == [
        (CENTRIC, "26", "ask first"),
        (CENTRIC, "16", "ask first"),
        (RIGHT, "16", "no depth"),
    ]


def test_front_teeth_and_two_natural_ones_are_not_asked_about():
    front = the_one((CENTRIC, "13"), excursions={})
    natural = the_one(
        (CENTRIC, "16"), excursions={}, kinds=UPPER_DENTURE | {"16": OpposingTooth.NATURAL}
    )

    assert (front.kind, front.place) == ("no depth", "palatal surface")
    assert natural.kind == "dentist decides"


@pytest.mark.parametrize(
    ("cusps", "said", "note"),
    [
        (
            "lingual",
            "no",
            "The fossa is natural: shorten the cusp that meets it, or re-set the tooth. Derived, "
            "to be confirmed by the dentist.",
        ),
        (
            "buccal",
            "yes",
            "The cusp is natural: recess what it strikes. Derived, to be confirmed by the dentist.",
        ),
        ("lingual", "yes", "and mark again."),
        ("buccal", "no", "and mark again."),
    ],
)
def test_against_natural_teeth_the_rule_says_what_else_may_be_done(cusps, said, note):
    found = in_centric(cusps, said, kinds=UPPER_DENTURE, excursions={})

    assert found.text.endswith(f" {note}")
