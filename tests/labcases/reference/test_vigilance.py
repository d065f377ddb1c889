"""Duties to tell somebody: each of a place, with its source; a file that lacks one is refused."""

from __future__ import annotations

from datetime import date

import pytest

from labcases.domain import profiles
from labcases.reference import vigilance

DAY = date(2026, 3, 6)


def test_every_duty_is_of_a_profile_that_is_known_and_says_what_was_read():
    known = set(profiles.profiles())
    for duty in vigilance.duties():
        assert any(duty.holds_for(key) for key in known)
        assert set(duty.profiles) <= known
        assert "read" in duty.source
    assert {key for key in known if not any(d.holds_for(key) for d in vigilance.duties())} == {
        "strict"
    }


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ({"who": "a", "tell": "b", "read_on": DAY, "days": {}}, "lacks source"),
        ({"who": "a", "tell": "b", "source": "c", "read_on": DAY, "days": {}}, "of no place"),
        (
            {
                **{"who": "a", "tell": "b", "source": "c", "read_on": DAY, "how": ""},
                **{"profiles": ["eu"], "days": {"grave": 3}},
            },
            "Days for grave",
        ),
    ],
)
def test_a_duty_without_source_place_or_known_gravity_is_refused(row, said):
    with pytest.raises(vigilance.VigilanceError, match=said):
        vigilance.load({"duties": [row]})
