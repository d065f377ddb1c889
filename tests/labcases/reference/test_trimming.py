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


# Every published way of trimming as the trade lists it: what is told of it, the end of its source
# with how that was read, and its mark (R2 quoted, MM and ML from memory, CP common practice).
PUBLISHED = [
    ("one by one", "then the next", "cast preparation (quoted)", "R2"),
    ("one by one", "mark the gingival outline on both sides and the long axis", "(quoted)", "R2"),
    ("alternate", "every second tooth", "cast preparation (quoted)", "R2"),
    ("alternate", "Mark the gingival outline on both sides and the long axis", "(quoted)", "R2"),
    ("side first", "better side stays as the guide", "cast preparation (quoted)", "R2"),
    ("side first", "Mark the gingival outline on both sides and the long axis", "(quoted)", "R2"),
    ("socketed", "at most 5 mm deep labially and 2 mm palatally. Upper", "(quoted)", "R2"),
    ("socketed", "along the axis of the tooth, sloping up and labially", "(quoted)", "R2"),
    ("pocket depth", "beyond the drawn bottom of the pocket", "1958;8:26-30 (from memory)", "MM"),
    ("pocket depth", "gingiva collapses as far as there, and bone stays", "(from memory)", "MM"),
    (
        "staged",
        "Cut level with the gingival margin; hollow the crest slightly, about 1 mm; bevel "
        "labially from the line of the pockets; touch the palatal edge little; round last.",
        "1966;16:1047-53 (from memory, its figure less surely)",
        "MM",
    ),
    (
        "thirds",
        "from the middle of the crest to the border of the coronal and middle thirds, the second "
        "rounds into the middle third. The apical third is left alone.",
        "no source (from memory)",
        "ML",
    ),
    ("surgical", "A surgical template is then needed; the denture fits badly", "(quoted)", "R2"),
    ("surgical", "two relines within three months are usual", "(quoted)", "R2"),
    ("other", "speaks for restraint", "1959;9:738-42 (from memory)", "ML"),
    ("all at once", "Nothing natural stays on the cast", "no source (from memory)", "CP"),
]


@pytest.mark.parametrize(("method", "said", "cited", "mark"), PUBLISHED)
def test_a_way_is_told_with_its_figures_and_how_its_source_was_read(method, said, cited, mark):
    way = trimming.ways()[TrimMethod(method)]

    assert said in way.text
    assert way.cited.endswith(cited)
    assert way.mark == mark


def test_every_way_stands_among_the_published_ones():
    assert {row[0] for row in PUBLISHED} == set(TrimMethod)


def test_every_flag_has_the_mark_of_what_it_rests_on():
    assert {key: flag.mark for key, flag in trimming.flags().items()} == {
        "beyond-pocket": "MM",
        "socket-labial": "R2",
        "socket-palatal": "R2",
        "apical-third": "ML",
        "bone-without-template": "R2",
    }


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
