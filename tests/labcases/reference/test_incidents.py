"""What can go wrong, as data: a row that names what does not exist is refused in words."""

from __future__ import annotations

import copy
import re

import pytest

from labcases.enums import IncidentGroup, Position, Stage, Thing
from labcases.reference.incidents import IncidentTableError, kinds, load
from tests.labcases.domain.incident_table import WHO, rows

GOOD = {
    "sources": {"practice": "common practice, no source"},
    "incidents": [
        {
            "key": "spilt-plaster",
            "title": "Plaster was spilt",
            "group": "casts and records",
            "source": "practice",
            "who": ["technician"],
            "told": ["office"],
            "now": ["Wipe it up."],
            "ways": [{"from": "set-up", "to": "final wax", "returns": "set-up"}],
        }
    ],
}


def changed(way=None, **row):
    told = copy.deepcopy(GOOD)
    told["incidents"][0] |= row
    if way is not None:
        told["incidents"][0]["ways"][0] |= way
    return told


def test_a_row_that_is_whole_is_read():
    kind = load(GOOD)["spilt-plaster"]

    assert kind.ways[0].stages == (Stage.SET_UP, Stage.TRY_IN, Stage.FINAL_WAX)
    assert kind.ways[0].returns == Stage.SET_UP
    assert kind.source == "common practice, no source"


REFUSED = [
    (changed(way={"from": "lunch"}), "there is no stage 'lunch'"),
    (changed(way={"returns": "the moon"}), "there is no stage 'the moon'"),
    (changed(way={"to": "draft"}), "draft does not come after set-up"),
    (changed(way={"undoes": ["good mood"]}), "there is no thing 'good mood'"),
    (changed(way={"house": "courier"}), "there is no house 'courier'"),
    (changed(way={"route": "scenic"}), "there is no route 'scenic'"),
    (changed(way={"answer": "maybe"}), "maybe is none of its answers: nothing"),
    (changed(way={"revision": "weather"}), "nobody revises weather"),
    (changed(way={"cost": 3}), "does not know cost"),
    (changed(who=["patient"]), "there is no role 'patient'. Allowed: dentist, "),
    (changed(told=["press"]), "there is no house 'press'"),
    (changed(group="odds"), "there is no incidentgroup 'odds'"),
    (changed(effect="fireworks"), "there is no incidenteffect 'fireworks'"),
    (changed(asks=["weight"]), "asks for weight. Allowed: allergy, cast, day, teeth."),
    (changed(source="hearsay"), "there is no source hearsay"),
    (changed(question="Why"), "a question needs answers"),
    (changed(days_lost=3), "does not know days_lost"),
    (
        {**GOOD, "incidents": [row for row in GOOD["incidents"] for _twice in (1, 2)]},
        "Two rows are called spilt-plaster",
    ),
    ({**GOOD, "incidents": [{"key": "empty"}]}, "empty: lacks group, now, source"),
]


@pytest.mark.parametrize(("told", "sentence"), REFUSED, ids=[text for _told, text in REFUSED])
def test_a_row_that_names_what_does_not_exist_is_refused(told, sentence):
    with pytest.raises(IncidentTableError, match=re.escape(sentence)):
        load(told)


COLUMNS = (
    Position.DENTIST,
    Position.OFFICE_DESK,
    Position.TECHNICIAN,
    Position.LAB_DESK,
    Position.LAB_MANAGER,
)


def test_who_may_report_what_is_the_table_typed_by_hand():
    said = {
        key: ["y" if position in kind.who else "-" for position in COLUMNS]
        for key, kind in kinds().items()
    }

    assert said == rows(WHO)


def test_every_group_and_every_thing_is_used():
    ways = [way for kind in kinds().values() for way in kind.ways]

    assert {kind.group for kind in kinds().values()} == set(IncidentGroup)
    assert {thing for way in ways for thing in way.undoes} == set(Thing)


def test_no_row_claims_a_source_that_nobody_read():
    assert {kind.source for kind in kinds().values()} == {"common practice, no source"}


@pytest.mark.parametrize("kind", kinds().values(), ids=lambda kind: kind.key)
def test_every_row_says_what_to_do_now_in_whole_sentences(kind):
    texts = [*kind.now, *kind.cautions]

    assert kind.now
    assert [text for text in texts if not text.endswith((".", "?"))] == []
    assert [text for text in texts if len(text) > 160] == []
