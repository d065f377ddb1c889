"""Pours and mixes held against what was read: a warning in words, never a refusal."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from labcases.domain import pouring
from labcases.models import Impression

D = Decimal
TAKEN = datetime(2027, 3, 12, 9, 0, tzinfo=UTC)
NOW = TAKEN + timedelta(days=30)


def impression(material, waited, earliest=None, latest=None):
    return Impression(
        arch="upper",
        material=material,
        taken_at=TAKEN,
        poured_at=None if waited is None else TAKEN + timedelta(minutes=waited),
        label_earliest_minutes=earliest,
        label_latest_minutes=latest,
    )


# Material, minutes waited, the label's earliest and latest minutes -> word, codes.
POURS = [
    ("alginate", 0, None, None, "in time", []),
    ("alginate", 12, None, None, "in time", []),
    ("alginate", 13, None, None, "later than is taught", ["poured-later-than-taught"]),
    ("alginate", 30, None, None, "later than is taught", ["poured-later-than-taught"]),
    ("alginate", 31, None, None, "too late", ["poured-late"]),
    ("alginate", 5760, None, None, "too late", ["poured-late"]),
    ("alginate", 31, None, 60, "in time", []),
    ("extended-pour alginate", 31, None, None, "not checked", []),
    ("extended-pour alginate", 9000, None, None, "not checked", []),
    ("extended-pour alginate", 6000, None, 6000, "in time", []),
    ("extended-pour alginate", 6001, None, 6000, "too late", ["poured-late"]),
    ("polysulfide", 61, None, None, "not checked", []),
    ("polysulfide", 61, None, 60, "too late", ["poured-late"]),
    ("condensation silicone", 61, None, None, "not checked", []),
    ("condensation silicone", 61, None, 60, "too late", ["poured-late"]),
    ("addition silicone", 0, None, None, "not checked", []),
    ("addition silicone", 40000, None, None, "not checked", []),
    ("addition silicone", 59, 60, None, "too early", ["poured-early"]),
    ("addition silicone", 60, 60, None, "not checked", []),
    ("addition silicone", 60, 60, 10080, "in time", []),
    ("polyether", 20000, None, None, "not checked", []),
    ("zinc oxide-eugenol", 20000, None, None, "not checked", []),
    ("other", 20000, None, None, "not checked", []),
]


@pytest.mark.parametrize(("material", "waited", "earliest", "latest", "word", "codes"), POURS)
def test_a_pour_is_held_against_the_label_else_against_what_was_read(
    material, waited, earliest, latest, word, codes
):
    found = pouring.of_pour(impression(material, waited, earliest, latest), now=NOW)

    assert found.word == word
    assert [one.code for one in found.cautions] == codes
    assert bool(found.why) is (word == "not checked")


def test_a_late_alginate_is_told_to_be_distorted_perhaps_and_what_to_do():
    (caution,) = pouring.of_pour(impression("alginate", 55), now=NOW).cautions

    assert caution.text == (
        "The upper impression was poured 55 min after it was taken; alginate is poured within "
        "30 min. It may be distorted: compare the cast with another record of the mouth, or ask "
        "for a new impression."
    )
    assert caution.source.endswith("(abstract read, 27-Nov-2026)")


def test_gas_is_spoken_of_only_when_the_label_asks_to_wait():
    (caution,) = pouring.of_pour(impression("addition silicone", 20, 60), now=NOW).cautions

    assert caution.text.startswith(
        "The upper impression was poured after 20 min; its label asks to wait 60 min. Gas that"
    )
    assert "pores" in caution.text
    assert caution.source.startswith("the label of the material, as it was entered; Craig")


def test_what_is_not_poured_yet_is_held_against_the_clock():
    row = impression("alginate", None)

    in_time = pouring.of_pour(row, now=TAKEN + timedelta(minutes=20))
    over = pouring.of_pour(row, now=TAKEN + timedelta(minutes=31))

    assert (in_time.word, in_time.cautions) == ("not poured yet", ())
    assert pouring.pour_by(row) == TAKEN + timedelta(minutes=30)
    assert over.cautions[0].code == "not-poured"
    assert "was taken 31 min ago and is not poured" in over.cautions[0].text
    assert pouring.pour_by(impression("polyether", None)) is None


def test_an_unread_time_says_what_would_let_it_be_checked():
    by_label = pouring.of_pour(impression("extended-pour alginate", 90), now=NOW).why
    unread = pouring.of_pour(impression("polyether", 90), now=NOW).why

    assert by_label == (
        "Only the label of extended-pour alginate says how long. Enter its minutes."
    )
    assert unread == "How long polyether may wait was not read. Enter what its label says."


# Type, water in ml to 100 g of powder -> code. The bands end a tenth beyond what was read.
MIXES = [
    ("type 1", "10", None),
    ("type 1", "200", None),
    ("type 2", "35.9", "too-little-water"),
    ("type 2", "36", None),
    ("type 2", "55", None),
    ("type 2", "55.1", "too-much-water"),
    ("type 3", "22.4", "too-little-water"),
    ("type 3", "22.5", None),
    ("type 3", "30", None),
    ("type 3", "33", None),
    ("type 3", "33.1", "too-much-water"),
    ("type 4", "17", "too-little-water"),
    ("type 4", "17.1", None),
    ("type 4", "26.4", None),
    ("type 4", "26.5", "too-much-water"),
    ("type 5", "10", None),
    ("type 5", "200", None),
    ("", "200", None),
]


@pytest.mark.parametrize(("gypsum", "water", "code"), MIXES)
def test_a_mix_is_held_against_the_band_of_its_type(gypsum, water, code):
    found = pouring.of_mix(gypsum, water_ml=D(water), powder_g=D(100))

    assert [one.code for one in found] == ([code] if code else [])


def test_too_much_water_warns_of_strength_with_its_sources():
    (caution,) = pouring.of_mix("type 3", water_ml=D(60), powder_g=D(150))

    assert caution.text.startswith(
        "40.0 ml of water to 100 g of powder; type 3 stone takes 25 to 30 ml. Too much water "
        "costs strength"
    )
    assert "fell by 26 to 52 %" in caution.text
    assert "table 8.2 (read, 27-Nov-2026)" in caution.source
    assert "Prosthesis 2020;2(4):266-276 (abstract read, 27-Nov-2026)" in caution.source


@pytest.mark.parametrize(("water", "powder"), [(None, D(100)), (D(60), None), (None, None)])
def test_half_a_mix_says_nothing(water, powder):
    assert pouring.of_mix("type 3", water_ml=water, powder_g=powder) == []


# Type, minutes until it set -> whether that is odd.
SETTINGS = [
    ("type 1", "2.4", True),
    ("type 1", "2.5", False),
    ("type 1", "5", False),
    ("type 1", "5.1", True),
    *((kind, "2.9", True) for kind in ("type 2", "type 3", "type 4", "type 5")),
    *((kind, "3", False) for kind in ("type 2", "type 3", "type 4", "type 5")),
    *((kind, "30", False) for kind in ("type 2", "type 3", "type 4", "type 5")),
    *((kind, "30.5", True) for kind in ("type 2", "type 3", "type 4", "type 5")),
    ("", "90", False),
]


@pytest.mark.parametrize(("gypsum", "minutes", "odd"), SETTINGS)
def test_a_setting_time_is_held_against_its_type(gypsum, minutes, odd):
    found = pouring.of_setting(gypsum, set_minutes=D(minutes), separated_minutes=None)

    assert [one.code for one in found] == (["set-at-odd-time"] if odd else [])


@pytest.mark.parametrize(("minutes", "early"), [(39, True), (40, False), (None, False)])
def test_a_cast_that_came_off_early_is_to_be_looked_at(minutes, early):
    found = pouring.of_setting("type 2", set_minutes=None, separated_minutes=minutes)

    assert [one.code for one in found] == (["separated-early"] if early else [])


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (55, "55 min"),
        (119, "119 min"),
        (120, "2 h"),
        (130, "2 h 10 min"),
        (6000, "100 h"),
        (D("2.5"), "2.5 min"),
    ],
)
def test_times_read_as_people_say_them(minutes, said):
    assert pouring.span(minutes) == said
