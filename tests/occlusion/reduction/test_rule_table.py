"""Whose tooth yields, and where: every finding, for either arch, against every kind of opponent.

Typed by hand from the pages that ``fixtures/published/grinding_rules.csv`` names, and from the
mirror of them where one member alone is a denture; worked out nowhere else.
"""

from itertools import product
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion.reduction.advice import propose
from occlusion.reduction.marks import FoilMark, finding_of
from occlusion.reduction.rules import Finding
from tests.occlusion.reduction.marks import PAIRS, ROLES

#: What is told of a mark so that it is that finding: role, cusps, free in excursions or not, pair.
TOLD = {
    "centric and excursions, upper lingual cusps": ("centric", "lingual", True, "16", "46"),
    "centric and excursions, lower buccal cusps": ("centric", "buccal", True, "16", "46"),
    "centric only, upper lingual cusps": ("centric", "lingual", False, "16", "46"),
    "centric only, lower buccal cusps": ("centric", "buccal", False, "16", "46"),
    "working, buccal cusps": ("working", "buccal", None, "16", "46"),
    "working, lingual cusps": ("working", "lingual", None, "16", "46"),
    "balancing": ("balancing", None, None, "16", "46"),
    "protrusive, buccal cusps": ("protrusive", "buccal", None, "16", "46"),
    "protrusive, lingual cusps": ("protrusive", "lingual", None, "16", "46"),
    "centric, front teeth": ("centric", None, None, "11", "41"),
    "lateral, front teeth": ("working", None, None, "11", "41"),
    "protrusive, front teeth": ("protrusive", None, None, "11", "41"),
}

#: Finding: site and words where the upper tooth alone is of a denture, where the lower one alone
#: is, and, with the member first, where both are.
YIELDS = {
    "centric and excursions, upper lingual cusps": (
        ("cusp", "upper lingual cusp"),
        ("fossa", "lower fossa"),
        ("upper", "cusp", "upper lingual cusp"),
    ),
    "centric and excursions, lower buccal cusps": (
        ("fossa", "upper fossa"),
        ("cusp", "lower buccal cusp"),
        ("lower", "cusp", "lower buccal cusp"),
    ),
    "centric only, upper lingual cusps": (
        ("cusp", "upper lingual cusp"),
        ("fossa", "lower fossa"),
        ("lower", "fossa", "lower fossa"),
    ),
    "centric only, lower buccal cusps": (
        ("fossa", "upper fossa"),
        ("cusp", "lower buccal cusp"),
        ("upper", "fossa", "upper fossa"),
    ),
    "working, buccal cusps": (
        ("incline", "lingual (inner) incline of the upper buccal cusp"),
        ("incline", "buccal (outer) incline of the lower buccal cusp"),
        ("upper", "incline", "lingual (inner) incline of the upper buccal cusp"),
    ),
    "working, lingual cusps": (
        ("incline", "lingual (outer) incline of the upper lingual cusp"),
        ("incline", "buccal (inner) incline of the lower lingual cusp"),
        ("lower", "incline", "buccal (inner) incline of the lower lingual cusp"),
    ),
    "balancing": (
        ("incline", "distobuccal (inner) incline of the upper lingual cusp"),
        ("incline", "mesiolingual (inner) incline of the lower buccal cusp"),
        ("lower", "incline", "mesiolingual (inner) incline of the lower buccal cusp"),
    ),
    "protrusive, buccal cusps": (
        ("incline", "distolingual (inner) incline of the upper buccal cusp"),
        ("incline", "mesiobuccal (outer) incline of the lower buccal cusp"),
        ("upper", "incline", "distolingual (inner) incline of the upper buccal cusp"),
    ),
    "protrusive, lingual cusps": (
        ("incline", "distolingual (outer) incline of the upper lingual cusp"),
        ("incline", "mesiobuccal (inner) incline of the lower lingual cusp"),
        ("lower", "incline", "mesiobuccal (inner) incline of the lower lingual cusp"),
    ),
    "centric, front teeth": (
        ("front surface", "palatal surface"),
        ("front surface", "labial slope of the edge"),
        ("upper", "front surface", "palatal surface"),
    ),
    "lateral, front teeth": (
        ("front surface", "palatal surface"),
        ("front surface", "labial slope of the edge"),
        ("upper", "front surface", "palatal surface"),
    ),
    "protrusive, front teeth": (
        ("front surface", "palatal surface"),
        ("front surface", "labial slope of the edge"),
        ("upper", "front surface", "palatal surface"),
    ),
}

#: What stands opposite, and of what the tooth at the place of the finding is; None: nothing.
OPPONENTS = {
    "natural teeth": "natural",
    "natural front teeth only, at a front tooth": "natural",
    "partial denture, at one of its teeth": "denture",
    "partial denture, at a natural tooth beside it": "natural",
    "complete denture that is worn": "denture",
    "complete denture that is being made": "denture",
}

#: Arch of the case, of what its own tooth is, of what the opposing one is: the column of YIELDS.
COLUMN = {
    ("upper", "denture", "natural"): "upper alone",
    ("upper", "denture", "denture"): "both",
    ("upper", "natural", "denture"): "lower alone",
    ("upper", "natural", "natural"): "dentist decides",
    ("lower", "denture", "natural"): "lower alone",
    ("lower", "denture", "denture"): "both",
    ("lower", "natural", "denture"): "upper alone",
    ("lower", "natural", "natural"): "dentist decides",
}


def foil(finding, arch, own, opposite, **more):
    """A mark of 0.2 mm between a tooth of the case and the one opposite."""
    role, cusps, also, upper, lower = TOLD[finding]
    return FoilMark(
        role=role,
        upper=upper,
        lower=lower,
        upper_material=own if arch == "upper" else opposite,
        lower_material=own if arch == "lower" else opposite,
        depth_mm=0.2,
        cusps=cusps,
        also_in_excursions=also,
        **more,
    )


def expected(finding, column):
    """Kind, tooth that yields, site and words."""
    upper, lower = TOLD[finding][3:]
    alone_upper, alone_lower, both = YIELDS[finding]
    if column == "dentist decides":
        return ("dentist decides", None, None, None)
    if column == "upper alone":
        return ("reduce", upper, *alone_upper)
    if column == "lower alone":
        return ("reduce", lower, *alone_lower)
    member, site, words = both
    return ("reduce", upper if member == "upper" else lower, site, words)


def told(found):
    tooth, at = found.chosen and found.chosen.tooth, found.at
    return (found.kind, tooth, at and at.site, at and at.place)


def test_the_table_names_every_finding_there_is():
    assert set(TOLD) == set(YIELDS) == set(get_args(Finding))


@pytest.mark.parametrize("finding", list(TOLD))
def test_a_mark_of_the_table_is_the_finding_that_it_stands_under(finding):
    assert finding_of(foil(finding, "upper", "denture", "denture")) == (finding, ())


@pytest.mark.parametrize("own", ["denture", "natural"])
@pytest.mark.parametrize("arch", ["upper", "lower"])
@pytest.mark.parametrize("opponent", list(OPPONENTS))
@pytest.mark.parametrize("finding", list(TOLD))
def test_rule_by_opponent_by_arch_by_finding(finding, opponent, arch, own):
    opposite = OPPONENTS[opponent]

    found = propose(foil(finding, arch, own, opposite), budget_mm=0.4)

    column = COLUMN[arch, own, opposite]
    assert told(found) == expected(finding, column)
    if column == "dentist decides":
        assert "the dentist decides" in found.text
        assert (found.depth_mm, found.place) == (0.0, TOLD[finding][4])


@pytest.mark.parametrize("arch", ["upper", "lower"])
@pytest.mark.parametrize("finding", list(TOLD))
def test_an_opponent_of_natural_teeth_alone_is_never_advised_on(finding, arch):
    upper, lower = TOLD[finding][3:]

    found = propose(foil(finding, arch, "denture", "natural"), budget_mm=0.4)

    own, opposite = (upper, lower) if arch == "upper" else (lower, upper)
    assert found.chosen.tooth == own
    assert found.place == opposite
    assert found.at.member == arch
    assert not found.text.startswith(opposite)


@pytest.mark.parametrize("materials", [("denture", "natural"), ("denture", "denture")])
@pytest.mark.parametrize("arch", ["upper", "lower"])
@pytest.mark.parametrize("finding", list(TOLD))
def test_in_a_crossbite_no_finding_has_a_rule(finding, arch, materials):
    found = propose(foil(finding, arch, *materials, crossbite=True), budget_mm=0.4)

    assert told(found) == ("no rule", None, None, None)
    assert "Ask the dentist before anything is ground." in found.text


@pytest.mark.parametrize("arch", ["upper", "lower"])
@pytest.mark.parametrize("finding", list(TOLD))
def test_two_natural_teeth_are_the_dentists_in_a_crossbite_too(finding, arch):
    found = propose(foil(finding, arch, "natural", "natural", crossbite=True))

    assert told(found) == ("dentist decides", None, None, None)


#: What of a mark is no number, every way: one number drawn says them all, which is cheap.
WAYS = list(
    product(
        ROLES,
        PAIRS,
        [("denture", "natural"), ("natural", "denture"), ("denture",) * 2, ("natural",) * 2],
        ["gauge", "callipers"],
        [None, "buccal", "lingual"],
        [None, True, False],
        [None, True],
        [None, "upper", "lower"],
        [False, True],
    )
)


def way_of(number, depth):
    role, (upper, lower), materials, by, cusps, also, supporting, prefer, crossbite = WAYS[number]
    return FoilMark(
        role=role,
        upper=upper,
        lower=lower,
        upper_material=materials[0],
        lower_material=materials[1],
        depth_mm=depth,
        measured_by=by,
        cusps=cusps,
        also_in_excursions=also,
        supporting=supporting,
        prefer=prefer,
        crossbite=crossbite,
    )


@settings(max_examples=10_000)
@given(
    st.integers(0, len(WAYS) - 1),
    st.floats(0.0, 1.0),
    st.one_of(st.none(), st.floats(0.0, 1.0)),
    st.floats(0.0, 0.5),
    st.floats(0.0, 0.5),
)
def test_ten_thousand_marks_never_ask_for_too_much_for_a_natural_tooth_or_for_a_tip(
    number, depth, budget, taken, gone
):
    one = way_of(number, depth)

    found = propose(one, budget_mm=budget, taken_mm=taken, gone_mm=gone)

    left = float("inf") if budget is None else max(0.0, budget - taken)
    assert 0.0 <= found.depth_mm <= min(max(0.0, depth - gone), left) + 1e-9
    if found.chosen is None:
        assert found.depth_mm == 0.0
        return
    assert one.tooth_object(found.at.member) == found.chosen  # None for a natural tooth
    assert (one.upper_material, one.lower_material)[found.at.member == "lower"] == "denture"
    if one.role != "centric":
        assert found.at.site in ("incline", "front surface")
        if found.at.supporting and found.kind == "reduce":
            assert "Keep the tip" in found.text
