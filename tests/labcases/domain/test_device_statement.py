"""The statement with the denture: place by place, as it is drawn up, and until when it is kept."""

from __future__ import annotations

import pytest

from labcases.domain import device_statement, profiles, retention
from labcases.domain.device_statement import NotDrawnUp
from labcases.enums import Stage
from labcases.models import Organisation
from labcases.views._sentences import sentence
from tests.factories import world

pytestmark = pytest.mark.django_db

# Typed from the pages on who requires what (workflow page 2.1, evidence page 1 and 3), by hand:
# x asked by the text that was read, - not asked by it, ? not read. Items in their order: maker,
# representative, identification, patient, prescriber, features, conformity, substances (Regulation
# (EU) 2017/745, Annex XIII section 1, read); then materials, certificates, origin, contact.
TABLE = """
eu       x x x x x x x x  - - - -   Annex XIII section 1, READ
gb-eng   x x x x x x x ?  - - - -   trade page of 2017, READ-2nd; substances from memory
us-ct    - - - - - - - -  - - - -   20-122a, READ
us-fl    - - - - - - - -  x x x x   466.021 and 64B5-17.006, READ
us-md    - - - - - - - -  - - - -   4-403, READ
us-ms    ? ? ? ? ? ? ? ?  ? ? ? ?   73-9-55, READ for keeping only
us-mt    - - - - - - - -  - - - -   37-4-501, READ
us-ok    ? ? ? ? ? ? ? ?  ? ? ? ?   59-328.36a A to C, READ; D was not
us-tx    ? ? ? ? ? ? ? ?  ? ? x ?   22-116.10, READ for mark and origin
us-wv    - - - - - - - -  - - - -   30-4B-2, READ
strict   x x x x x x x x  x x x x   own computation: whatever any of them asks
"""
SIGN = {"x": "asked", "-": "not asked", "?": "not read"}
LINES = {line.split()[0]: line.split()[1:13] for line in TABLE.strip().splitlines()}


@pytest.mark.parametrize("profile", LINES)
def test_each_place_asks_what_was_read_of_it(profile):
    asked = device_statement.table()[profile]

    assert list(asked.values()) == [SIGN[sign] for sign in LINES[profile]]


def test_the_table_has_every_profile_and_every_item_once():
    assert set(device_statement.table()) == set(profiles.profiles()) == set(LINES)
    assert [item.number for item in device_statement.items()] == list(range(1, 13))


@pytest.mark.parametrize("profile", [key for key in LINES if key != "strict"])
def test_each_place_names_where_it_was_read(profile):
    assert device_statement.source_of(profile).count("read") == 1


# --- on a case -----------------------------------------------------------------------------------


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.RELEASED)
    return walk


def choose(walk, office="", laboratory=""):
    for house, key in ((walk.case.office_id, office), (walk.case.laboratory_id, laboratory)):
        Organisation.objects.filter(pk=house).update(profile=key)
    return walk.reload()


def draw_up(walk, **values):
    return device_statement.draw_up(case=walk.reload(), by=walk.hands.technician, values=values)


@pytest.mark.parametrize(
    ("office", "laboratory", "asks", "numbers"),
    [
        ("", "", [], []),
        ("eu", "", ["European Union"], [1, 2, 3, 4, 5, 6, 7, 8]),
        ("", "gb-eng", ["England, Scotland and Wales"], [1, 2, 3, 4, 5, 6, 7]),
        ("us-fl", "us-wv", ["Florida, USA"], [9, 10, 11, 12]),
        ("us-tx", "", ["Texas, USA"], [11]),
        ("us-ok", "us-mt", [], []),
    ],
)
def test_what_office_and_laboratory_chose_decides_on_what_is_asked(
    walk, office, laboratory, asks, numbers
):
    case = choose(walk, office, laboratory)

    assert [one.title for one in device_statement.asking(case)] == asks
    assert [item.number for item, _places in device_statement.asked_items(case)] == numbers


def test_the_statement_of_the_european_union_says_its_eight_items(walk):
    choose(walk, "eu", "eu")

    row = draw_up(walk, unmet="", substances="")

    told = {item["number"]: item["text"] for item in row.items}
    laboratory, office = walk.case.laboratory, walk.case.office
    assert told[1] == f"{laboratory.name}, {laboratory.address}"
    assert (told[2], told[8]) == ("none", "none")
    assert told[4] == "for the exclusive use of one patient, patient code P-100"
    assert told[5] == f"{walk.hands.dentist.full_name}, {office.name}, {office.address}"
    assert told[6].startswith("upper immediate denture; teeth 17 16 15 14")
    assert told[7] == "It meets the general safety and performance requirements of Annex I."
    assert row.kept == (
        "at least 10 years from delivery, by the longest rule that counts: European Union"
    )
    assert sentence(walk.case.history.last()).endswith(
        'entered a device statement, "statement 1, for revision 1".'
    )


def test_what_is_not_met_stands_in_it_with_the_reason(walk):
    choose(walk, "eu")

    row = draw_up(walk, unmet="23.1: no label, it is too small", representative="Rep, 2 Street")

    told = {item["number"]: item["text"] for item in row.items}
    assert told[7].endswith("Annex I, except: 23.1: no label, it is too small")
    assert told[2] == "Rep, 2 Street"


@pytest.mark.parametrize(
    ("office", "values", "sentence_"),
    [
        ("", {}, "No place that office or laboratory chose asks for a statement."),
        ("us-tx", {}, "Say where the denture was made."),
        ("us-fl", {"origin": "here"}, "Name the certificates of the materials."),
    ],
)
def test_what_lacks_is_refused_in_words_and_nothing_is_kept(walk, office, values, sentence_):
    choose(walk, office)

    with pytest.raises(NotDrawnUp) as refused:
        draw_up(walk, **values)

    assert str(refused.value) == sentence_
    assert not walk.case.statements.exists()


def test_a_laboratory_without_an_address_draws_up_nothing(walk):
    choose(walk, "eu")
    Organisation.objects.filter(pk=walk.case.laboratory_id).update(address="")

    with pytest.raises(NotDrawnUp, match="Enter the address of the laboratory"):
        draw_up(walk)


def test_another_statement_strikes_the_one_before_and_a_new_place_makes_it_outdated(walk):
    choose(walk, "eu")
    first = draw_up(walk)
    second = draw_up(walk)

    first.refresh_from_db()
    assert (first.struck_reason, second.number) == ("another one is drawn up", 2)
    assert device_statement.standing(walk.reload()) == second
    assert device_statement.outdated(walk.case, second) == ""
    case = choose(walk, "eu", "gb-eng")
    assert device_statement.outdated(case, second) == (
        "Office or laboratory have chosen another place since."
    )


# Who chose which place, and by which rule the statement is kept: the longest that counts.
KEPT = [
    ("eu", "eu", "at least 10 years", "European Union"),
    ("us-ct", "us-fl", "at least 4 years", "Florida, USA"),
    ("us-ct", "us-ct", "at least 1 year", "Connecticut, USA"),
    ("us-ct", "", "at least 10 years", "Strict"),
    ("us-tx", "us-ct", "at least 10 years", "Strict"),
]


@pytest.mark.parametrize(("office", "laboratory", "years", "rule"), KEPT)
def test_it_is_kept_by_the_longest_rule(walk, office, laboratory, years, rule):
    said = retention.in_words(choose(walk, office, laboratory))

    assert said.startswith(f"{years} from delivery")
    assert f"counts: {rule}" in said
