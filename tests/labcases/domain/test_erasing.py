"""A request for erasure: what goes at once, what stays, and that nobody finds the old code."""

from __future__ import annotations

import json
from datetime import date

import pytest
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from labcases.domain import access, chain, erasing, history, queries, retention
from labcases.domain import case as cases
from labcases.domain.erasing import NotErased
from labcases.domain.queries import Search
from labcases.enums import AskedBy, Stage
from labcases.models import Case, HistoryEntry, MarkText, Patient, PatientName, Prescription
from labcases.models.guard import redaction_statements
from tests.factories import World, world

both = pytest.mark.both_databases
pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 20)


@pytest.fixture
def here() -> World:
    return world()


@pytest.fixture
def ended(here) -> Case:
    """A cancelled case whose texts and history name the patient in many places."""
    case = here.walk(patient_code="MQ-4417", patient_name="Odile Marchbank").case
    Prescription.objects.filter(case=case).update(instructions="Odile Marchbank smiles wide")
    MarkText.objects.create(case=case, mark_text="O. Marchbank")
    cases.hold(case=case, reason="MQ-4417 is away until May", by=here.dora)
    with history.turn(case):
        history.write(
            case=case,
            by=here.dora,
            act="noted",
            part="test",
            changes={"note": [None, "patient code mq-4417, Mrs Marchbank"]},
            reason="seen with MQ-4417B",
            row={"before": {"note": "MQ-4417"}},
        )
    Case.objects.filter(pk=case.pk).update(stage=Stage.CANCELLED, on_hold=False)
    return Case.objects.get(pk=case.pk)


def ask(case: Case, by, read_code: str = "mq-4417"):
    return erasing.ask(
        case=case,
        by=by,
        asked_by=AskedBy.PATIENT,
        asked_on=timezone.localdate(),
        read_code=read_code,
    )


def everything() -> str:
    """Every text of the database in one, as somebody with its file would read it."""
    found = []
    for table in connection.introspection.table_names():
        with connection.cursor() as cursor:
            cursor.execute(f'SELECT * FROM "{table}"')  # noqa: S608  (names of our own tables)
            found.append(repr(cursor.fetchall()))
    return "".join(found).lower()


@both
def test_code_and_name_stand_nowhere_any_more_and_the_chain_verifies(here, ended):
    assert "marchbank" in everything()

    pseudonym, (row,) = ask(ended, here.dora)

    assert pseudonym.startswith("PSEUDONYM-")
    assert Patient.objects.get(pk=ended.patient_id).code == pseudonym
    left = everything()
    assert "marchbank" not in left
    assert "mq-4417'" not in left
    assert "mq-4417 " not in left
    assert "mq-4417b" in left, "another code that only begins alike stays"
    noted = HistoryEntry.objects.get(act="noted")
    assert noted.changes["note"][1] == f"patient code {pseudonym}, Mrs [name withdrawn]"
    assert noted.row == {"before": {"note": pseudonym}}
    assert not PatientName.objects.exists()
    assert not MarkText.objects.exists()
    assert chain.walk(here.laboratory).broken is None
    assert row.kept_until == retention.of_case(ended).until
    assert erasing.why(row) == (
        "Kept 10 years from the day on which it was cancelled, by the longest rule that counts: "
        f"{row.rule}."
    )


def test_a_search_for_the_old_code_finds_nothing_and_for_the_case_code_the_case(here, ended):
    def found(text: str) -> list[str]:
        asked = Search(text=text, include_ended=True)
        return [case.code for case in queries.search(here.dora, asked)]

    assert found("MQ-4417") == [ended.code]
    ask(ended, here.dora)
    assert found("MQ-4417") == []
    assert found(ended.code) == [ended.code]


@both
def test_the_guard_lets_only_words_go_and_only_of_what_the_last_entry_names(here, ended):
    other = here.walk(patient_code="P-2").case
    ask(ended, here.dora)
    noted = HistoryEntry.objects.get(act="noted")

    def change(**what: object) -> None:
        with transaction.atomic():
            HistoryEntry._base_manager.filter(pk=noted.pk).update(**what)

    for what in ({"by": here.mona}, {"act": "forged"}, {"sequence": 99}, {"digest": "0" * 64}):
        with pytest.raises(DatabaseError, match="history is append-only"):
            change(**what)
    opened = HistoryEntry.objects.get(case=other, act="opened")
    with pytest.raises(DatabaseError, match="history is append-only"), transaction.atomic():
        HistoryEntry._base_manager.filter(pk=opened.pk).update(reason="")

    with history.turn(other):
        history.write(case=other, by=here.dora, act="noted", part="after")
    with pytest.raises(DatabaseError, match="history is append-only"):
        change(reason="")


@both
def test_a_word_that_is_changed_under_cover_of_an_erasure_is_named(here, ended):
    ask(ended, here.dora)
    noted = HistoryEntry.objects.get(act="noted")

    HistoryEntry._base_manager.filter(pk=noted.pk).update(reason="never happened")

    broken = chain.walk(here.laboratory).broken
    assert (broken.sequence, broken.what) == (noted.sequence, "altered")


@pytest.mark.parametrize("vendor", ["sqlite", "postgresql"])
def test_the_exception_names_every_column_that_stays(vendor):
    text = " ".join(redaction_statements(vendor))
    columns = {field.column for field in HistoryEntry._meta.concrete_fields}

    assert {column for column in columns if f'OLD."{column}"' not in text} == {
        *("changes", "reason", "row")
    }


def test_an_open_case_keeps_its_two_identifiers(here):
    case = here.walk(patient_code="MQ-4417").case
    with pytest.raises(NotErased, match="is still open, and a denture on the bench"):
        ask(case, here.dora)
    assert Patient.objects.get().code == "MQ-4417"


def test_another_code_or_a_second_request_changes_nothing(here, ended):
    with pytest.raises(NotErased, match="You typed MQ-4418"):
        ask(ended, here.dora, "MQ-4418")
    pseudonym, _rows = ask(ended, here.dora)
    with pytest.raises(NotErased, match="was asked for before"):
        ask(Case.objects.get(pk=ended.pk), here.dora, pseudonym)


def test_a_short_code_that_may_be_a_tooth_goes_where_it_is_told_as_the_patients(here):
    who = erasing.Identity("14", "", "PSEUDONYM-A")
    assert who.without({"14": ["tooth 14", "patient 14, tooth 14"]}) == {
        "14": ["tooth 14", "patient PSEUDONYM-A, tooth 14"]
    }


def test_every_case_of_the_patient_is_closed_and_a_new_one_starts_afresh(here, ended):
    second = here.walk(patient_code="MQ-4417").case
    Case.objects.filter(pk=second.pk).update(stage=Stage.CANCELLED)
    _pseudonym, rows = ask(ended, here.dora)

    assert {row.case_id for row in rows} == {ended.pk, second.pk}
    assert set(Case.objects.values_list("restricted", flat=True)) == {True}
    fresh = here.walk(patient_code="MQ-4417").case
    assert fresh.patient_id != ended.patient_id
    assert access.may(here.dora, "ask for erasure", fresh)


def test_only_the_dentist_takes_it_in_and_the_manager_for_an_office_on_paper(here, ended):
    assert erasing.may_ask(here.dora, ended)
    assert not erasing.may_ask(here.farah, ended)
    assert not erasing.may_ask(here.mona, ended)
    here.office.memberships.all().delete()
    assert erasing.may_ask(here.mona, ended)
    assert not erasing.may_ask(here.tomas, ended)


def test_the_entry_says_who_asked_and_until_when(here, ended):
    ask(ended, here.dora)
    entry = HistoryEntry.objects.get(part="erasure", act="asked for")
    assert json.dumps(entry.changes["by"]) == '[null, "the patient"]'
