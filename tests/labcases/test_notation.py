"""Tooth numbers against the published pairs, and that no bare number is ever interpreted."""

import pytest

from labcases import notation
from labcases.enums import Notation
from tests import published

PAIRS = published.table("tooth_pairs")
EVERY_TOOTH = [row["iso_3950"] for row in PAIRS]


@pytest.fixture(params=PAIRS, ids=EVERY_TOOTH)
def pair(request):
    return request.param


def test_the_published_table_holds_every_tooth_once():
    assert len(PAIRS) == 52
    assert len({row["iso_3950"] for row in PAIRS}) == 52
    assert len({row["universal"] for row in PAIRS}) == 52


def test_a_tooth_has_its_published_universal_number(pair):
    assert notation.universal(pair["iso_3950"]) == pair["universal"]


def test_a_universal_number_is_its_published_tooth(pair):
    assert notation.from_universal(pair["universal"]) == pair["iso_3950"]


def test_a_tooth_is_named_in_words(pair):
    assert notation.name(pair["iso_3950"]) == pair["name"]


def test_arch_and_side_are_those_of_the_name(pair):
    arch, side = pair["name"].split()[:2]

    assert notation.arch_of(pair["iso_3950"]) == arch
    assert notation.side_of(pair["iso_3950"]) == side


def test_premolars_and_molars_are_posterior(pair):
    assert notation.is_posterior(pair["iso_3950"]) is ("molar" in pair["name"])


def test_the_mirror_tooth_has_the_same_name_on_the_other_side(pair):
    other = notation.mirror(pair["iso_3950"])
    swapped = {"right": "left", "left": "right"}[notation.side_of(pair["iso_3950"])]

    assert notation.name(other) == pair["name"].replace(pair["name"].split()[1], swapped)
    assert notation.mirror(other) == pair["iso_3950"]


def test_the_opposing_tooth_has_the_same_name_in_the_other_arch(pair):
    other = notation.opposing(pair["iso_3950"])
    swapped = {"upper": "lower", "lower": "upper"}[notation.arch_of(pair["iso_3950"])]

    assert notation.name(other) == pair["name"].replace(pair["name"].split()[0], swapped)
    assert notation.opposing(other) == pair["iso_3950"]


def test_mirror_and_opposing_of_a_known_tooth():
    assert (notation.mirror("16"), notation.opposing("16")) == ("26", "46")
    assert (notation.mirror("34"), notation.opposing("34")) == ("44", "24")
    assert (notation.mirror("55"), notation.opposing("55")) == ("65", "85")


def test_each_arch_runs_from_the_viewers_left_to_the_right():
    assert " ".join(notation.UPPER) == "18 17 16 15 14 13 12 11 21 22 23 24 25 26 27 28"
    assert " ".join(notation.LOWER) == "48 47 46 45 44 43 42 41 31 32 33 34 35 36 37 38"


def test_the_upper_immediate_set_is_universal_2_to_15_and_its_front_6_to_11():
    # Third molars are usually not replaced: common practice, no source.
    assert [notation.universal(tooth) for tooth in notation.UPPER[1:-1]] == [
        *("2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", "13", "14", "15")
    ]
    front = [tooth for tooth in notation.UPPER if not notation.is_posterior(tooth)]
    assert [notation.universal(tooth) for tooth in front] == ["6", "7", "8", "9", "10", "11"]


def test_no_permanent_tooth_has_the_same_number_in_both_systems():
    permanent = [*notation.UPPER, *notation.LOWER]

    assert [tooth for tooth in permanent if notation.universal(tooth) == tooth] == []


def test_eighteen_numbers_are_legal_in_both_systems_and_never_the_same_tooth():
    shared = [tooth for tooth in EVERY_TOOTH if tooth in {row["universal"] for row in PAIRS}]

    assert sorted(shared) == [
        *("11", "12", "13", "14", "15", "16", "17", "18"),
        *("21", "22", "23", "24", "25", "26", "27", "28", "31", "32"),
    ]
    assert [tooth for tooth in shared if notation.from_universal(tooth) == tooth] == []


def test_a_bare_eleven_is_what_the_caller_says_it_is():
    assert notation.name("11") == "upper right central incisor"
    assert notation.name(notation.from_universal("11")) == "upper left canine"


def test_a_tooth_is_shown_in_the_wanted_notation_with_the_other_one_beside_it():
    assert notation.show("11", Notation.ISO_3950) == "11 (Universal 8)"
    assert notation.show("11", Notation.UNIVERSAL) == "8 (ISO 11)"
    assert notation.show("85", Notation.UNIVERSAL) == "T (ISO 85)"


def test_both_numbers_stand_in_what_is_shown(pair):
    iso, number = pair["iso_3950"], pair["universal"]

    assert notation.show(iso, Notation.ISO_3950) == f"{iso} (Universal {number})"
    assert notation.show(iso, Notation.UNIVERSAL) == f"{number} (ISO {iso})"


def test_a_universal_number_may_be_typed_with_blanks_and_a_small_letter():
    assert notation.from_universal(" 8 ") == "11"
    assert notation.from_universal("t") == "85"


@pytest.mark.parametrize(
    "text",
    ["", "0", "08", "33", "51", "82", "U", "AA", "1.0", "-1", "１１", "11/8", "ISO 11"],
)
def test_what_is_no_universal_number_is_refused(text):
    # 51 to 82 are supernumerary teeth in Universal numbering and primary ones in ISO 3950.
    with pytest.raises(ValueError, match=r"not a tooth in Universal numbering. Give 1 to 32 or A"):
        notation.from_universal(text)


@pytest.mark.parametrize(
    "act",
    [
        notation.universal,
        notation.name,
        notation.arch_of,
        notation.side_of,
        notation.is_posterior,
        notation.mirror,
        notation.opposing,
        lambda tooth: notation.show(tooth, Notation.ISO_3950),
        lambda tooth: notation.show(tooth, Notation.UNIVERSAL),
    ],
)
@pytest.mark.parametrize("text", ["", "8", "10", "19", "56", "91", "1", "011", " 11", "A", "1１"])
def test_what_is_no_iso_tooth_is_refused_everywhere(act, text):
    with pytest.raises(ValueError, match=r"is not a tooth in ISO 3950. Give a quadrant digit"):
        act(text)
