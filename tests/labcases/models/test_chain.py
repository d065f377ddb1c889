"""The fixed spelling of an entry, and the digest that chains it."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime, timedelta, timezone

import pytest

from labcases.models.chain import START, digest

TOLD = {
    "previous": START,
    "sequence": 1,
    "case": "7Q2K00000001",
    "at": datetime(2027, 3, 12, 9, 30, tzinfo=UTC),
    "by": 4,
    "position": "dentist",
    "act": "changed",
    "part": "dates",
    "changes": {"surgery on": [None, "2027-03-12"]},
    "reason": "",
}
SPELLED = (
    '{"act":"changed","at":"2027-03-12T09:30:00.000000+00:00","by":4,"case":"7Q2K00000001",'
    '"changes":{"surgery on":[null,"2027-03-12"]},"part":"dates","position":"dentist",'
    '"reason":"","sequence":1}'
)


def test_a_digest_is_that_of_the_one_before_and_of_what_is_spelled():
    expected = hashlib.sha256(("0" * 64 + "\n" + SPELLED).encode()).hexdigest()

    assert digest(**TOLD) == expected


@pytest.mark.parametrize(
    "other",
    [
        {"previous": "1" * 64},
        {"sequence": 2},
        {"case": "7Q2K00000002"},
        {"at": datetime(2027, 3, 12, 9, 30, 0, 1, tzinfo=UTC)},
        {"by": 5},
        {"position": "technician"},
        {"act": "confirmed"},
        {"part": "case"},
        {"changes": {"surgery on": [None, "2027-03-13"]}},
        {"reason": "the patient asked"},
    ],
    ids=lambda other: next(iter(other)),
)
def test_everything_that_an_entry_says_counts(other):
    assert digest(**TOLD | other) != digest(**TOLD)


@pytest.mark.parametrize(
    ("written", "given_back"),
    [
        (1e22, 10**22),
        (2.0, 2),
        (-0.0, 0),
        ({"b": 1, "a": [2.0]}, {"a": [2], "b": 1}),
    ],
)
def test_a_number_counts_the_same_as_any_database_gives_it_back(written, given_back):
    assert digest(**TOLD | {"changes": {"x": [None, written]}}) == digest(
        **TOLD | {"changes": {"x": [None, given_back]}}
    )


def test_the_clock_of_another_place_says_the_same_moment():
    there = TOLD["at"].astimezone(timezone(timedelta(hours=13)))

    assert digest(**TOLD | {"at": there}) == digest(**TOLD)


def test_letters_beyond_ascii_are_spelled_the_same_everywhere():
    assert digest(**TOLD | {"reason": "größer"}) != digest(**TOLD | {"reason": "grosser"})
