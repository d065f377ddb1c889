"""The table of selective grinding against its published rows and against the movement."""

from typing import get_args

import pytest

from occlusion.reduction.rules import ORDER, RULES, Finding, Who, rule_for, who_meets
from occlusion.sources import SOURCES
from tests import published
from tests.occlusion.bench import M1, at, moved, symmetric, tooth
from tests.occlusion.second_opinion import Move

ECCENTRIC = [
    *("working, buccal cusps", "working, lingual cusps", "balancing"),
    *("protrusive, buccal cusps", "protrusive, lingual cusps"),
]


def as_row(one):
    slope, half = (one.incline.slope, one.incline.half) if one.incline else (None, None)
    return (one.member, one.site, one.cusp or "", slope or "", half or "")


@published.each("grinding_rules")
def test_published_and_derived_rows(row):
    rule = rule_for(row["finding"], row["who"])

    wanted = tuple(row[name] for name in ("member", "site", "cusp", "slope", "half"))
    assert wanted in [as_row(one) for one in rule.yields]


def test_a_row_says_how_its_source_was_seen_and_derived_rows_ask_for_the_dentist():
    for row in published.table("grinding_rules"):
        rule = RULES[row["finding"], row["who"]]
        assert rule.source == row["key"], row["id"]
        assert SOURCES[rule.source].how_read == published.HOW_READ[row["mark"]], row["id"]
        assert rule.confirm is (row["mark"] == "COMPUTED"), row["id"]


def test_every_mirrored_row_of_a_lower_denture_asks_for_the_dentist():
    assert all(rule.confirm for (_, who), rule in RULES.items() if who == "lower denture")


def test_every_finding_has_a_row_for_every_pair_but_natural_teeth():
    asked = {(finding, who) for finding in get_args(Finding) for who in get_args(Who)}

    assert {key for key in asked if rule_for(*key) is None} == {
        (finding, "two natural") for finding in get_args(Finding)
    }
    assert set(RULES) < asked


def test_only_a_member_that_is_a_denture_yields():
    allowed = {
        "upper denture": {"upper"},
        "lower denture": {"lower"},
        "two dentures": {"upper", "lower"},
    }
    for (finding, who), rule in RULES.items():
        assert rule.yields, finding
        assert {one.member for one in rule.yields} <= allowed[who], (finding, who)


def test_no_row_takes_the_tip_of_a_cusp_for_an_eccentric_finding():
    for (finding, who), rule in RULES.items():
        for one in rule.yields:
            if not finding.startswith("centric"):
                assert not one.removes_tip, (finding, who)
                assert one.site in ("incline", "front surface")
            if one.supporting and one.site == "incline":
                assert one.keep == (
                    f"Keep the tip of the {one.member} {one.cusp} cusp: it carries the vertical."
                )


def test_only_centric_rows_shorten_a_cusp_and_then_a_supporting_one():
    found = {
        (finding.split(",")[0], one.supporting)
        for (finding, _), rule in RULES.items()
        for one in rule.yields
        if one.removes_tip
    }

    assert found == {("centric and excursions", True), ("centric only", True)}


def test_supporting_cusps_are_the_upper_lingual_and_the_lower_buccal_ones():
    found = {
        (one.member, one.cusp) for rule in RULES.values() for one in rule.yields if one.supporting
    }

    assert found == {("upper", "lingual"), ("lower", "buccal")}


@pytest.mark.parametrize("finding", ECCENTRIC)
def test_the_two_surfaces_of_a_finding_face_each_other(finding):
    (upper,) = RULES[finding, "upper denture"].yields
    (lower,) = RULES[finding, "lower denture"].yields

    assert upper.incline.faces != lower.incline.faces
    assert {upper.incline.half, lower.incline.half} in ({"mesial", "distal"}, {None})


def lower_molar_goes(finding):
    """How far a lower first molar goes mesially and buccally, in millimetres."""
    bench = symmetric(30, 20, bennett=10, wing=20)
    role = finding.split(",")[0]
    move = Move("protrusive" if role == "protrusive" else "right", 3.0)
    side = "left" if role == "balancing" else "right"
    dx, dy, _ = moved(at(bench, move), tooth(M1, side))
    return dx, dy if side == "left" else -dy


def test_the_lower_molar_goes_where_the_book_says():
    protrusive = lower_molar_goes("protrusive, buccal cusps")
    working, balancing = lower_molar_goes("working, buccal cusps"), lower_molar_goes("balancing")

    assert protrusive[0] > 2.0
    assert protrusive[1] == pytest.approx(0.0, abs=1e-9)
    assert working[1] > 2.0  # towards the cheek
    assert balancing[1] < -2.0  # towards the tongue
    assert balancing[0] > 1.0  # and forward


@pytest.mark.parametrize("who", ["upper denture", "lower denture", "two dentures"])
@pytest.mark.parametrize("finding", ECCENTRIC)
def test_every_incline_that_yields_stands_in_the_way_of_the_movement(finding, who):
    mesially, buccally = lower_molar_goes(finding)
    for one in RULES[finding, who].yields:
        towards = -1.0 if one.member == "upper" else 1.0  # the upper stands, the lower comes
        ahead = {"mesial": 1.0, "distal": -1.0}
        outward = 1.0 if one.incline.faces == "buccal" else -1.0
        if one.incline.half:
            assert ahead[one.incline.half] * mesially * towards > 0.0
        if abs(buccally) > 1e-6:
            assert outward * buccally * towards > 0.0


def test_a_balancing_choice_between_two_dentures_is_one_of_the_two_supporting_cusps():
    rule = RULES["balancing", "two dentures"]

    assert [one.member for one in rule.yields] == ["lower", "upper"]
    assert "never both" in rule.note
    assert all(one.supporting for one in rule.yields)


def test_inclines_meet_in_the_words_of_the_trade():
    (upper,) = RULES["balancing", "upper denture"].yields
    (fossa,) = RULES["centric only, lower buccal cusps", "upper denture"].yields
    (front,) = RULES["protrusive, front teeth", "upper denture"].yields
    (edge,) = RULES["protrusive, front teeth", "lower denture"].yields
    (cusp,) = RULES["centric only, lower buccal cusps", "lower denture"].yields

    assert upper.place == "distobuccal (inner) incline of the upper lingual cusp"
    assert fossa.place == "upper fossa"
    assert front.place == "palatal surface"
    assert edge.place == "labial slope of the edge"
    assert cusp.place == "lower buccal cusp"


@pytest.mark.parametrize(
    ("upper", "lower", "who"),
    [
        (True, False, "upper denture"),
        (False, True, "lower denture"),
        (True, True, "two dentures"),
        (False, False, "two natural"),
    ],
)
def test_who_meets_is_told_from_both_teeth(upper, lower, who):
    assert who_meets(upper_denture=upper, lower_denture=lower) == who


def test_the_vertical_comes_first():
    assert ORDER == ("vertical", "centric", "working", "balancing", "protrusive")
