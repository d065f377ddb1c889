"""Ways of trimming and what is flagged: whole, with their published figures and their sources."""

from decimal import Decimal

import pytest

from labcases.enums import TrimMethod
from labcases.reference import trimming

D = Decimal


def test_every_way_that_can_be_chosen_is_told_with_a_source():
    ways = trimming.ways()

    assert set(ways) == set(TrimMethod)
    assert all(way.text.endswith(".") and way.cited.endswith(")") for way in ways.values())


@pytest.mark.parametrize(
    ("method", "figure", "cited"),
    [
        ("socketed", "at most 5 mm deep labially and 2 mm palatally. Upper", "(quoted)"),
        ("pocket depth", "beyond the drawn bottom of the pocket", "1958;8:26-30 (from memory)"),
        ("staged", "about 1 mm", "1966;16:1047-53 (from memory)"),
        ("thirds", "The apical third is left alone", "no source (from memory)"),
        ("surgical", "A surgical template is then needed", "(quoted)"),
        ("other", "restraint", "1959;9:738-42 (from memory)"),
    ],
)
def test_a_way_is_told_with_its_figures_and_how_its_source_was_read(method, figure, cited):
    way = trimming.ways()[TrimMethod(method)]

    assert figure in way.text
    assert way.cited.endswith(cited)


def test_limits_are_those_of_the_text():
    assert {key: flag.limit_mm for key, flag in trimming.flags().items()} == {
        "beyond-pocket": D("1"),
        "socket-labial": D("5"),
        "socket-palatal": D("2"),
        "apical-third": None,
        "bone-without-template": None,
    }


def test_the_millimetre_beyond_the_pocket_is_nobodys_figure_and_says_so():
    assert trimming.flags()["beyond-pocket"].cited.endswith(
        "(from memory; the 1 mm is common practice, no source)"
    )
