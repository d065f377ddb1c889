"""The try-in checklist as data: short lines, few of them, a source on each."""

import re

import pytest

from labcases import reference

WHOLE = reference.try_in_checklist()
LINES = [line for pause in WHOLE for line in pause.lines]


@pytest.mark.parametrize("arch", ["", "upper", "lower"])
def test_a_pause_holds_five_to_seven_lines_in_either_arch(arch):
    counts = [len(pause.lines) for pause in reference.try_in_checklist(arch)]
    assert all(5 <= count <= 7 for count in counts)
    assert len(counts) == 4


@pytest.mark.parametrize("line", LINES, ids=lambda line: line.key)
def test_a_line_fits_and_says_where_it_comes_from(line):
    assert len(line.text) <= 60
    assert line.source
    assert re.fullmatch(r"[a-z][a-z_]*", line.key)


def test_no_key_stands_twice():
    keys = [line.key for line in LINES]
    assert len(set(keys)) == len(keys)


def test_keys_stay_what_they_are_because_stored_answers_hang_on_them():
    assert [line.key for line in LINES] == [
        *("pin", "rings", "lock", "glide", "seat", "centric_bench", "cast"),
        *("stable", "borders", "retention", "post_dam", "centric_mouth", "vertical"),
        *("speaking", "plane", "drop", "width", "natural", "records"),
        *("display", "midline", "lip_sounds", "lip_support", "agreed"),
    ]


def test_a_lower_denture_is_not_asked_for_a_post_dam():
    lower = {line.key for pause in reference.try_in_checklist("lower") for line in pause.lines}
    assert "post_dam" not in lower
    assert len(lower) == len(LINES) - 1


def test_every_source_of_the_file_is_used():
    told = reference._read("tryin.toml")
    used = {line["source"] for pause in told["pauses"] for line in pause["lines"]}
    assert used == set(told["sources"])
