"""Reviews as data: intervals, lines, liners, the reline and what speaks for what."""

import pytest

from labcases.reference import read
from labcases.reference.checklists import LINE_LENGTH, PAUSE_LINES, line_texts
from labcases.reference.reviews import (
    liners,
    reline_sources,
    remake_reasons,
    reviews,
    signs,
    to_mind,
)

# Key, usual day, earliest and latest day for a warning, and how the source was read.
INTERVALS = [
    ("first", 1, 1, 1, "R"),
    ("second", 3, 2, 4, "R"),
    ("week", 7, 5, 9, "R"),
    ("fortnight", 14, 12, 18, "MM"),
    ("month", 30, 25, 37, "R"),
    ("reline", 90, 42, 180, "R"),
    ("half_year", 180, 150, 210, "CP"),
    ("year", 365, 335, 395, "CP"),
]


def test_the_reviews_stand_at_their_intervals():
    told = [(r.key, r.days, r.earliest, r.latest, r.mark) for r in reviews().values()]
    assert told == INTERVALS
    assert [r.key for r in reviews().values() if r.calendar_day] == ["first"]


@pytest.mark.parametrize("review", reviews().values(), ids=lambda review: review.key)
def test_what_to_look_at_can_be_read_aloud_and_has_a_source(review):
    assert len(review.pause.lines) in PAUSE_LINES
    for line in review.pause.lines:
        assert len(line.text) <= LINE_LENGTH
        assert line.source
        assert line_texts()[line.key] == line.text


def test_a_line_stands_in_one_review_only():
    keys = [line.key for review in reviews().values() for line in review.pause.lines]
    assert len(keys) == len(set(keys)) == 45


def test_liners_last_for_a_range_of_days():
    told = {one.key: (one.first, one.last, one.mark) for one in liners().values()}
    assert told == {"tissue conditioner": (4, 7, "R"), "soft liner": (28, 90, "R2, R")}


def test_the_sources_of_the_reline_disagree_and_all_stand_there():
    assert [(one.first, one.last) for one in reline_sources()] == [
        *((42, 56), (60, 60), (60, 90), (90, 90), (90, 150), (180, 180), (180, 365)),
    ]
    assert all(one.source and one.mark for one in reline_sources())


SPEAKS_FOR = {
    "fit_good": "wait",
    "still_healing": "wait",
    "fit_only": "reline",
    "base_poor": "rebase",
    "teeth_off": "remake",
    "vertical_off": "remake",
    "relation_off": "remake",
    "look": "remake",
    "planned": "remake",
}


def test_what_speaks_for_a_reline_a_rebase_or_a_remake():
    assert {key: one.speaks_for for key, one in signs().items()} == SPEAKS_FOR


def test_no_reason_for_a_remake_says_whose_doing_it_was():
    words = " ".join(remake_reasons().values()).lower()
    for blaming in ("fault", "error", "mistake", "wrong", "bad", "poor", "failed", "dentist"):
        assert blaming not in words
    assert len(remake_reasons()) == 12


def test_every_source_of_the_file_is_used_and_each_step_has_something_to_mind():
    told = read("reviews.toml")
    rows = [*told["reviews"], *told["signs"], *told["cautions"]]
    rows += [line for review in told["reviews"] for line in review["lines"]]
    assert {row["source"] for row in rows} == set(told["sources"])
    assert [len(to_mind(step)) for step in ("review", "remount")] == [2, 3]
