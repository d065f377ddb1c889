"""History is append-only: in the model, in a query, and in the database itself."""

from __future__ import annotations

import pytest
from django.db import DatabaseError, connection, transaction

from labcases.models import AppendOnly, HistoryEntry

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def entry(cast, case) -> HistoryEntry:
    return HistoryEntry.objects.create(
        case=case, by=cast.dora, act="changed", part="teeth", changes={"shade": ["A2", "B2"]}
    )


def as_stored(entry: HistoryEntry) -> tuple[object, ...]:
    row = HistoryEntry.objects.get(pk=entry.pk)
    return (row.act, row.part, row.changes, row.reason, row.at, row.by_id)


def test_an_entry_is_written_once(cast, entry):
    before = as_stored(entry)
    entry.act = "forged"

    with pytest.raises(AppendOnly, match="Write a new entry instead"):
        entry.save()
    with pytest.raises(AppendOnly):
        entry.delete()
    with pytest.raises(AppendOnly):
        HistoryEntry(pk=entry.pk, case=entry.case, by=cast.mona, act="forged", part="x").save()

    assert as_stored(entry) == before


@pytest.mark.parametrize(
    "act",
    [
        lambda rows, entry: rows.update(act="forged"),
        lambda rows, entry: rows.delete(),
        lambda rows, entry: rows.bulk_update([entry], ["act"]),
        lambda rows, entry: rows.update_or_create(pk=entry.pk, defaults={"act": "forged"}),
    ],
    ids=["update", "delete", "bulk_update", "update_or_create"],
)
def test_no_query_changes_an_entry(entry, act):
    before = as_stored(entry)
    entry.act = "forged"

    with pytest.raises(AppendOnly), transaction.atomic():
        act(HistoryEntry.objects.filter(pk=entry.pk), entry)

    assert as_stored(entry) == before


def test_entries_come_in_the_order_in_which_they_were_written(cast, case, entry):
    later = HistoryEntry.objects.create(case=case, by=cast.dora, act="signed", part="teeth")

    assert list(case.history.all())[-2:] == [entry, later]
    assert str(later) == "teeth: signed"


def test_a_long_reason_and_several_positions_are_kept_whole(cast, case):
    reason = "The patient cannot come again before the surgery day. " * 20
    row = HistoryEntry.objects.create(
        case=case,
        by=cast.mona,
        act="passed a gate",
        part="stage",
        position="dentist, laboratory desk, laboratory manager, office desk, technician",
        reason=reason,
    )
    row.refresh_from_db()

    assert row.reason == reason
    assert row.position.endswith("technician")


FORGERIES = {
    "update": "UPDATE labcases_historyentry SET act = 'forged' WHERE id = %s",
    "update of nothing new": "UPDATE labcases_historyentry SET act = act WHERE id = %s",
    "update of all": "UPDATE labcases_historyentry SET reason = 'x' WHERE id = %s OR id > 0",
    "delete": "DELETE FROM labcases_historyentry WHERE id = %s",
    "delete of all": "DELETE FROM labcases_historyentry WHERE id = %s OR id > 0",
}
COPY = """
    INTO labcases_historyentry (id, case_id, at, by_id, position, act, part, changes, reason,
    laboratory_id, sequence, previous, digest)
    SELECT id, case_id, at, by_id, position, 'forged', part, changes, reason,
    laboratory_id, sequence, previous, digest
    FROM labcases_historyentry WHERE id = %s
"""
UNDER_A_NEW_KEY = COPY.replace("SELECT id", "SELECT id + 1000")
UPSERT = f"INSERT {COPY} ON CONFLICT (id) DO UPDATE SET act = 'forged'"
OF_ONE_ENGINE = {
    "sqlite": (
        f"REPLACE {COPY}",
        f"INSERT OR REPLACE {COPY}",
        f"INSERT OR REPLACE {UNDER_A_NEW_KEY}",
        "UPDATE OR REPLACE labcases_historyentry SET act = 'forged' WHERE id = %s",
        UPSERT,
    ),
    "postgresql": (
        UPSERT,
        "TRUNCATE labcases_historyentry /* %s */",
        "TRUNCATE labcases_historyentry RESTART IDENTITY CASCADE /* %s */",
    ),
}


def forge(statement: str, entry: HistoryEntry) -> None:
    with transaction.atomic(), connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")  # or TRUNCATE is refused for them
        cursor.execute(statement % entry.pk)


@pytest.mark.parametrize("name", FORGERIES)
def test_the_database_refuses_to_change_history(entry, name):
    before = as_stored(entry)

    with pytest.raises(DatabaseError, match="history is append-only"):
        forge(FORGERIES[name], entry)

    assert as_stored(entry) == before


def test_the_database_refuses_the_ways_of_its_own_language_too(entry):
    before, rows = as_stored(entry), HistoryEntry.objects.count()

    for statement in OF_ONE_ENGINE[connection.vendor]:
        with pytest.raises(DatabaseError, match="history is append-only"):
            forge(statement, entry)

    assert as_stored(entry) == before
    assert HistoryEntry.objects.count() == rows


def test_writing_goes_on_after_a_refusal(cast, case, entry):
    with pytest.raises(DatabaseError):
        forge(FORGERIES["delete"], entry)

    HistoryEntry.objects.create(case=case, by=cast.dora, act="signed", part="teeth")

    assert case.history.last().act == "signed"
