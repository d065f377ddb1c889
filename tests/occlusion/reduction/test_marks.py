"""Which row of the table a mark belongs to."""

import pytest

from occlusion.errors import BadRequest, NotANumber, OutOfRange
from occlusion.reduction.marks import finding_of
from tests.occlusion.reduction.marks import mark

LOWER_DENTURE = {"upper_material": "natural", "lower_material": "denture"}


@pytest.mark.parametrize(
    ("given", "finding"),
    [
        ({"role": "working", "cusps": "buccal"}, "working, buccal cusps"),
        ({"role": "working", "cusps": "lingual"}, "working, lingual cusps"),
        ({"role": "balancing", "cusps": "lingual"}, "balancing"),
        ({"role": "protrusive", "cusps": "buccal"}, "protrusive, buccal cusps"),
        ({"role": "protrusive", "cusps": "lingual"}, "protrusive, lingual cusps"),
        ({"role": "centric", "upper": "11", "lower": "41"}, "centric, front teeth"),
        ({"role": "working", "upper": "13", "lower": "43"}, "lateral, front teeth"),
        ({"role": "balancing", "upper": "13", "lower": "43"}, "lateral, front teeth"),
        ({"role": "protrusive", "upper": "11", "lower": "31"}, "protrusive, front teeth"),
        (
            {"role": "centric", "cusps": "buccal", "also_in_excursions": True},
            "centric and excursions, lower buccal cusps",
        ),
        (
            {"role": "centric", "cusps": "buccal", "also_in_excursions": False},
            "centric only, lower buccal cusps",
        ),
        (
            {"role": "centric", "cusps": "lingual", "also_in_excursions": True},
            "centric and excursions, upper lingual cusps",
        ),
        (
            {"role": "centric", "cusps": "lingual", "also_in_excursions": False},
            "centric only, upper lingual cusps",
        ),
    ],
)
def test_a_mark_that_is_told_in_full_has_its_row_and_assumes_nothing(given, finding):
    assert finding_of(mark(**given)) == (finding, ())


@pytest.mark.parametrize(
    ("given", "finding", "assumed"),
    [
        ({"role": "working"}, "working, buccal cusps", 1),
        ({"role": "protrusive"}, "protrusive, buccal cusps", 1),
        ({"role": "centric"}, "centric only, lower buccal cusps", 2),
        ({"role": "centric", **LOWER_DENTURE}, "centric only, upper lingual cusps", 2),
        ({"role": "centric", "cusps": "lingual"}, "centric only, upper lingual cusps", 1),
    ],
)
def test_what_is_not_told_is_assumed_aloud_and_so_that_the_fossa_yields(given, finding, assumed):
    found, sentences = finding_of(mark(**given))

    assert found == finding
    assert len(sentences) == assumed
    assert all(one.endswith("not told.") for one in sentences)


def test_the_tooth_that_would_yield_decides_between_front_and_back():
    across = {"role": "protrusive", "cusps": "buccal"}

    assert finding_of(mark(upper="14", lower="43", **across))[0] == "protrusive, buccal cusps"
    assert (
        finding_of(mark(upper="14", lower="43", **across, **LOWER_DENTURE))[0]
        == "protrusive, front teeth"
    )
    assert finding_of(mark(upper="13", lower="44", **across))[0] == "protrusive, front teeth"


@pytest.mark.parametrize(
    ("given", "error", "text"),
    [
        ({"role": "retrusive"}, BadRequest, "Role is the text 'retrusive'"),
        ({"cusps": "mesial"}, BadRequest, "Cusps that meet"),
        ({"prefer": "left"}, BadRequest, "Member that yields"),
        ({"measured_by": "eye"}, BadRequest, "How measured"),
        ({"upper_material": "wax"}, BadRequest, "Material"),
        ({"upper": "46"}, BadRequest, "46 is no upper tooth"),
        ({"lower": "16"}, BadRequest, "16 is no lower tooth"),
        ({"lower": "36"}, BadRequest, "16 and 36 stand on different sides"),
        ({"upper": "12", "lower": "31"}, BadRequest, "different sides"),
        ({"depth": -0.1}, OutOfRange, r"Depth is -0\.1 mm\. Enter 0 to 5 mm"),
        ({"depth": 5.1}, OutOfRange, "Enter 0 to 5 mm"),
        ({"depth": float("nan")}, NotANumber, "not a finite number"),
    ],
)
def test_a_mark_that_cannot_be_is_refused(given, error, text):
    with pytest.raises(error, match=text):
        mark(**given)


def test_central_incisors_may_meet_across_the_midline():
    assert mark("protrusive", "11", "31").natural_tooth == "31"


@pytest.mark.parametrize(
    ("upper", "lower", "place", "who"),
    [
        ("denture", "natural", "46", "upper denture"),
        ("natural", "denture", "16", "lower denture"),
        ("natural", "natural", "46", "two natural"),
        ("denture", "denture", None, "two dentures"),
    ],
)
def test_the_natural_tooth_of_a_pair_is_the_place(upper, lower, place, who):
    found = mark(upper_material=upper, lower_material=lower)

    assert (found.natural_tooth, found.who) == (place, who)
    assert (found.tooth_object("upper") is None) is (upper == "natural")
    assert (found.tooth_object("lower") is None) is (lower == "natural")
