"""The eight items of the European statement, and which of them a case has."""

from __future__ import annotations

import pytest

from labcases.domain import profiles, statement
from labcases.domain.profiles import Has
from labcases.enums import Stage
from labcases.models import Organisation
from labcases.reference import told_statement
from tests import published
from tests.factories import World, world


@pytest.fixture
def cast(db) -> World:
    return world()


def standing(case) -> dict[str, Has]:
    return {item.key: item.has for item in statement.items(case)}


@published.each("statement_items")
def test_an_item_asks_what_was_read_of_it(row):
    [told] = [one for one in told_statement()["items"] if one["number"] == int(row["number"])]

    assert (told["key"], told["parts"]) == (row["item"], row["parts"].split())
    for word in row["says"].split("; "):
        assert word in told["words"], word


def test_there_are_eight_items_in_order_and_no_signature_or_date_among_them():
    told = told_statement()["items"]

    assert [one["number"] for one in told] == [1, 2, 3, 4, 5, 6, 7, 8]
    parts = [part for one in told for part in one["parts"]]
    assert set(parts) & {"signature", "date", "date_sent", "licence", "material_quality"} == set()
    assert "asks for no signature, date, price or registration" in told_statement()["notes"][0]


def test_the_items_are_those_of_the_european_profile():
    parts = [part for one in told_statement()["items"] for part in one["parts"]]
    of_profile = [i.key for i in profiles.profiles()["eu"].items if i.of == "statement"]

    assert sorted(parts) == sorted(of_profile)


def test_a_draft_lacks_what_the_dentist_has_not_written_yet(cast):
    found = standing(cast.walk().case)

    assert found == {
        "maker": Has.PRESENT,
        "representative": Has.ELSEWHERE,
        "identification": Has.PRESENT,
        "patient": Has.PRESENT,
        "prescriber": Has.AT_SIGNING,
        "features": Has.MISSING,
        "conformity": Has.LATER,
        "substances": Has.LATER,
    }


def test_a_sent_case_has_all_but_what_the_laboratory_says_at_the_end(cast):
    found = statement.items(cast.case_at(Stage.SENT))

    assert {item.number for item in found if item.filled} == {1, 3, 4, 5, 6}
    assert {item.number: item.has for item in found if not item.filled} == {
        2: Has.ELSEWHERE,
        7: Has.LATER,
        8: Has.LATER,
    }


@pytest.mark.parametrize(
    ("house", "number", "part"), [("laboratory", 1, "questions"), ("office", 5, "office")]
)
def test_a_house_without_address_is_missing_from_its_item(cast, house, number, part):
    walk = cast.walk()
    Organisation.objects.filter(pk=getattr(cast, house).pk).update(address="")

    [item] = [one for one in statement.items(walk.reload()) if one.number == number]

    assert (item.has, item.part, item.filled) == (Has.MISSING, part, False)
    assert item.mend.endswith(".")


def test_the_source_names_the_edition():
    assert statement.source() == (
        "Regulation (EU) 2017/745, Annex XIII section 1, read whole; consolidated text CELEX "
        "32017R0745 as converted in February 2026"
    )
