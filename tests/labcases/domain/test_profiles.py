"""What the law of each place asks, as one table, and what a case has of it."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from labcases.domain import gates, profiles, stages
from labcases.domain.profiles import Has, ProfileError
from labcases.enums import Stage
from labcases.models import Case, Prescription
from labcases.reference import told_profiles
from tests import published
from tests.factories import World, world

# One row a profile, one column an item. S: nothing is signed without it; D: nothing is sent
# without it; x: asked, but it stops nothing; ?: the text was not read; -: not asked.
TABLE = {row["id"]: row for row in published.table("profile_items")}
ABOUT = ("id", "key", "source", "mark", "tolerance", "tolerance_reason", "retention_years")
LETTERS = {"": "x", "sign": "S", "send": "D"}


def letter(profile: profiles.Profile, key: str) -> str:
    item = next((one for one in profile.items if one.key == key), None)
    if item is None:
        return "-"
    return LETTERS[item.blocks] if item.read else "?"


def test_the_table_has_every_profile_in_order_and_every_item():
    assert list(profiles.profiles()) == list(TABLE)
    assert set(TABLE["eu"]) - set(ABOUT) == set(profiles.LOOKS)


@published.each("profile_items")
def test_every_profile_asks_exactly_what_the_table_says(row):
    wanted = {item: cell for item, cell in row.items() if item not in ABOUT}

    assert {item: letter(profiles.profiles()[row["id"]], item) for item in wanted} == wanted


@published.each("profile_items")
def test_every_profile_keeps_papers_for_the_years_that_were_read(row):
    years = profiles.profiles()[row["id"]].retention_years

    assert ("" if years is None else str(years)) == row["retention_years"]


@pytest.mark.parametrize(
    ("key", "note"),
    [
        ("us-fl", "At delivery the laboratory discloses materials, certificates, point of origin"),
        ("us-fl", "Work that is passed on to another laboratory needs a form of its own."),
        ("us-md", "needs a second form, of another colour."),
        ("us-ms", "needs a written order."),
        ("us-mt", "then the name stands on the dentist's copy."),
        ("us-ok", "stands on every cast and on the denture as well."),
        ("us-tx", "Never write a social security number here"),
        ("us-ct", "The authorisation is written before any work begins."),
        ("eu", "No CE mark stands on a custom-made device (Article 21(1))."),
        ("gb-eng", "a repair needs no new one (read)."),
    ],
)
def test_what_no_field_can_hold_is_said_beside_the_items(key, note):
    assert any(note in one for one in profiles.profiles()[key].notes)


def test_every_profile_says_where_it_was_read():
    for one in profiles.profiles().values():
        assert one.source, one.key
        assert one.edition, one.key
        assert one.retention, one.key


def test_the_eight_items_of_the_european_statement_are_all_there():
    on_statement = [i.key for i in profiles.profiles()["eu"].items if i.of == "statement"]

    # Maker, representative, identification, one patient, prescriber and institution, features,
    # conformity, substances (Annex XIII section 1); the patient and the institution stand apart.
    assert len(on_statement) == 8 + 2


def test_the_federal_rules_stand_beside_every_state_and_nowhere_else():
    beside = {key for key, one in profiles.profiles().items() if one.beside}

    assert beside == {key for key in TABLE if key.startswith("us-")}
    said = " ".join(profiles.profiles()["us-mt"].beside)
    assert "not automatically exempt from the rules on quality systems" in said
    assert "complaint" not in said


# A file that says something else


def told(**changes: Any) -> dict[str, Any]:
    file = deepcopy(told_profiles())
    file["profiles"][0] |= changes
    return file


@pytest.mark.parametrize(
    ("file", "sentence"),
    [
        (told(source=""), "The profile eu lacks source. A row without its source and edition"),
        (told(edition=""), "The profile eu lacks edition."),
        (told(items=[]), "The profile eu lacks items."),
        (told(retention_years=0), "The profile eu keeps for 0 years. Enter 1 to 50"),
        (told(retention_years="ten"), "keeps for ten years"),
        (told(colour="green"), "Unknown key of a profile: colour."),
        (told(items=[{"item": "colour"}]), "Unknown item: colour."),
        (told(items=[{"blocks": "sign"}]), "Unknown item: an item without a name."),
        (told(items=[{"item": "date", "block": "sign"}]), "Unknown key of an item: block."),
        (told(items=[{"item": "date", "blocks": "cut"}]), "date of eu blocks 'cut'"),
        (told(items=[{"item": "date", "of": "wall"}]), "of the wall. It may block"),
        (
            told(items=[{"item": "date", "blocks": "sign", "read": False}]),
            "date of eu was not read, so it may block nothing.",
        ),
        (told(key="us-mt"), "The profile us-mt stands twice."),
        (told(key="strict"), "The profile strict stands twice."),
        ({**told(), "items": {"date": "Date"}}, "Unknown item: conformity, "),
    ],
)
def test_a_file_that_says_something_else_is_refused(file, sentence):
    with pytest.raises(ProfileError) as refused:
        profiles.load(file)

    assert sentence in str(refused.value)


# A case


@pytest.fixture
def cast(db) -> World:
    return world()


def answers(case: Case, key: str) -> dict[str, Has]:
    found = profiles.asked(profiles.profiles()[key], case, case.prescription)
    return {answer.item.key: answer.has for answer in found}


def test_a_draft_that_says_nothing_lacks_what_can_be_said(cast):
    assert answers(cast.walk().case, "strict") == {
        "laboratory": Has.PRESENT,
        "laboratory_licence": Has.ELSEWHERE,
        "representative": Has.ELSEWHERE,
        "patient": Has.PRESENT,
        "patient_name": Has.ELSEWHERE,
        "prescriber": Has.AT_SIGNING,
        "licence": Has.AT_SIGNING,
        "signature": Has.AT_SIGNING,
        "office": Has.PRESENT,
        "date": Has.AT_SIGNING,
        "date_sent": Has.AT_SENDING,
        "description": Has.MISSING,
        "diagram": Has.MISSING,
        "materials": Has.MISSING,
        "material_quality": Has.ELSEWHERE,
        "design": Has.MISSING,
        "one_patient": Has.PRESENT,
        "fixed_form": Has.ELSEWHERE,
        "device_id": Has.PRESENT,
        "patient_mark": Has.MISSING,
        "conformity": Has.LATER,
        "substances": Has.LATER,
        "features": Has.MISSING,
        "encryption": Has.ELSEWHERE,
    }


def test_a_signed_and_sent_case_has_everything_that_this_program_holds(cast):
    walk = cast.walk(patient_name="Agnes Dunmore")
    walk.to(Stage.SENT, identification="patient code")

    found = answers(walk.reload(), "strict")

    assert set(found.values()) == {Has.PRESENT, Has.ELSEWHERE, Has.LATER}
    assert {key for key, has in found.items() if has == Has.ELSEWHERE} == {
        *("laboratory_licence", "representative", "material_quality", "fixed_form"),
        "encryption",
    }
    assert found["patient_name"] == Has.PRESENT


def test_what_was_not_read_is_said_to_be_so_and_asks_nothing(cast):
    case = cast.walk().case
    choose(cast.office, "us-ms")

    assert set(answers(case, "us-ms").values()) == {Has.NOT_READ}
    assert list(profiles.lacking(Case.objects.get(), case.prescription, "sign")) == []


def choose(organisation, key: str) -> None:
    organisation.profile = key
    organisation.save()


def written(cast: World, **values: Any) -> Prescription:
    walk = cast.walk()
    walk.prescribe(**values)
    return walk.reload().prescription


def wanted(row: Prescription) -> list[tuple[str, str, str]]:
    return [(item.text, item.part, item.field) for item in gates.to_sign(row)]


def test_with_no_profile_chosen_a_complete_clinical_part_is_signed(cast):
    assert wanted(written(cast)) == []


@pytest.mark.parametrize("side", ["office", "laboratory"])
def test_the_profile_of_either_house_holds_back_the_signature(cast, side):
    choose(getattr(cast, side), "us-tx")

    assert wanted(written(cast)) == [
        (
            "Texas, USA asks for this: Whether the laboratory marks the denture permanently, and "
            "with what. Say what mark the denture gets, or that it gets none.",
            "prescription",
            "identification",
        )
    ]


@pytest.mark.parametrize("said", ["none", "patient code"])
def test_an_answer_to_what_the_profile_asks_lets_it_be_signed(cast, said):
    choose(cast.office, "us-tx")

    assert wanted(written(cast, identification=said)) == []


def test_a_house_without_address_is_named_and_where_it_is_mended(cast):
    for one in (cast.office, cast.laboratory):
        choose(one, "us-fl")
        type(one).objects.filter(pk=one.pk).update(address=" ")

    assert [(part, field) for _text, part, field in wanted(written(cast))] == [
        ("questions", ""),
        ("office", "address"),
    ]


def test_the_same_thing_asked_by_two_profiles_is_said_once(cast):
    choose(cast.office, "us-wv")
    choose(cast.laboratory, "us-fl")
    type(cast.office).objects.filter(pk=cast.office.pk).update(address="")

    assert [part for _text, part, _field in wanted(written(cast))] == ["office"]


def test_a_case_is_sent_when_everything_of_the_strict_profile_is_there(cast):
    choose(cast.office, "strict")
    walk = cast.walk()
    walk.to(Stage.SENT, identification="none")

    assert walk.reload().stage == Stage.SENT
    assert list(stages.missing(walk.case, Stage.ACCEPTED))
