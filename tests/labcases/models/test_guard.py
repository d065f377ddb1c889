"""The guard of the history table: what it is made of, how it is lifted and put back."""

from __future__ import annotations

import pytest
from django.db import DatabaseError, connection, transaction

from labcases.models import HistoryEntry
from labcases.models.guard import (
    TABLE,
    guard_houses_statements,
    guard_statements,
    unguard_houses_statements,
    unguard_statements,
)

both = pytest.mark.both_databases


def run(statements) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def erase_all() -> None:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM labcases_historyentry")


def test_the_guarded_table_is_that_of_the_history():
    assert HistoryEntry._meta.db_table == TABLE == "labcases_historyentry"


@pytest.mark.parametrize("vendor", ["sqlite", "postgresql"])
def test_lifting_undoes_every_trigger(vendor):
    made = [
        s.split()[2]
        for s in (*guard_statements(vendor), *guard_houses_statements(vendor))
        if s.startswith("CREATE TRIGGER")
    ]
    lifted = [
        s.split()[4] for s in (*unguard_statements(vendor), *unguard_houses_statements(vendor))
    ]

    assert sorted(made) == sorted(lifted)
    assert len(made) >= 2


@both
@pytest.mark.django_db
def test_the_guard_stands_after_the_migrations(case):
    with pytest.raises(DatabaseError, match="history is append-only"):
        erase_all()


@both
@pytest.mark.django_db
def test_a_lifted_guard_is_put_back(case):
    run(unguard_statements(connection.vendor))
    run(unguard_statements(connection.vendor))  # lifting twice does no harm
    erase_all()
    assert not case.history.exists()

    run(guard_statements(connection.vendor))
    HistoryEntry.objects.create(case=case, by=case.changed_by, act="signed", part="teeth")
    with pytest.raises(DatabaseError, match="history is append-only"):
        erase_all()


@both
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("time", ["first", "second"])
def test_the_guard_stands_in_every_test_that_commits(time, request):
    """Between such tests the database is emptied, which lifts the guard for a moment."""
    case = request.getfixturevalue("case")
    assert HistoryEntry.objects.exclude(case=case).count() == 0

    with pytest.raises(DatabaseError, match="history is append-only"):
        erase_all()

    assert case.history.count() == 1
