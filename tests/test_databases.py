"""The kept test database: made anew when what decides on it changes."""

import shutil
import sqlite3
from contextlib import closing

import pytest
from django.conf import settings
from django.db import connection

from tests import databases


@pytest.fixture
def root(tmp_path):
    """The files that decide, as they stand, in a folder of the test."""
    for folder in ("migrations", "models", "enums"):
        shutil.copytree(settings.BASE_DIR / "labcases" / folder, tmp_path / "labcases" / folder)
    return tmp_path


def test_the_same_files_find_the_same_database(root):
    assert databases.digest(root) == databases.digest(root)
    assert databases.digest(root) != databases.digest(settings.BASE_DIR)


@pytest.mark.parametrize(
    "changed", ["migrations/0001_initial.py", "models/guard.py", "enums/case.py"]
)
def test_a_changed_file_asks_for_a_new_one(root, changed):
    before = databases.digest(root)
    with (root / "labcases" / changed).open("a") as file:
        file.write("# more\n")

    assert databases.digest(root) != before


def test_a_new_migration_asks_for_a_new_one(root):
    before = databases.digest(root)
    (root / "labcases" / "migrations" / "9999_more.py").touch()

    assert databases.digest(root) != before


@pytest.mark.django_db
def test_what_is_kept_has_the_tables_and_the_guard_and_no_row():
    if connection.vendor != "sqlite":
        return  # only files are kept
    with closing(sqlite3.connect(databases.kept())) as found:
        told = {row[0] for row in found.execute("SELECT name FROM sqlite_master")}
        cases = found.execute("SELECT COUNT(*) FROM labcases_case").fetchone()

    assert {"labcases_case", "labcases_historyentry_no_update"} <= told
    assert cases == (0,)
