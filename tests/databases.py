"""The test database: made by all migrations once, and copied from then on.

All migrations take seconds, in every process of a run. What they make is kept in `.data/test`
under a digest of everything that decides on it, so that a changed migration, model or
pin makes a new one. Migrations are run on the copy too, so that none is ever left out.
"""

import hashlib
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader
from django.test.utils import setup_databases

#: What decides on the tables, and on the rows that migrations put there.
DECIDING = (
    *("labcases/migrations/*.py", "labcases/models/*.py", "labcases/enums/*.py"),
    *("labcases/validators.py", "labcases/settings.py", "tests/settings.py"),
    *("requirements.txt", "tests/requirements.txt"),
)


def digest(root: Path) -> str:
    """A digest of the files that decide on a database just made, and of this Python."""
    told = hashlib.sha256(sys.version.encode())
    for pattern in DECIDING:
        for path in sorted(root.glob(pattern)):
            told.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes())
    return told.hexdigest()[:16]


def kept() -> Path:
    """Where the database of these migrations is kept, whether it stands there or not."""
    folder: Path = settings.DATA_DIR
    return folder / f"made-{digest(settings.BASE_DIR)}.sqlite3"


def keep(where: Path) -> None:
    """Keep the open database, which nothing was written into yet, in place of older ones."""
    for older in set(where.parent.glob("made-*.sqlite3")) - {where}:
        if not older.name.startswith(where.stem):
            older.unlink(missing_ok=True)
    _copy_out(where)


def _copy_out(where: Path) -> None:
    half = where.with_suffix(f".{os.getpid()}")
    half.unlink(missing_ok=True)
    with connection.cursor() as cursor:
        cursor.execute("VACUUM INTO %s", [str(half)])
    # Two processes may keep theirs at once. Each file is whole, whichever comes last.
    half.replace(where)


def put_in_place() -> list[Any]:
    """Put a database into place for the tests of this process.

    Returns
    -------
    list
        What ``teardown_databases`` takes, which removes it.
    """
    where = kept()
    from_kept = connection.vendor == "sqlite" and where.exists()
    if from_kept:
        shutil.copyfile(where, connection.creation._get_test_db_name())
    made = setup_databases(
        verbosity=0, interactive=False, keepdb=from_kept, serialized_aliases=frozenset()
    )
    if connection.vendor == "sqlite" and not from_kept:
        keep(where)
    return made


def one_by_one() -> MigrationExecutor:
    """Return what takes each migration by itself, also those that stand together in one."""
    executor = MigrationExecutor(connection)
    executor.loader = MigrationLoader(connection, replace_migrations=False)
    return executor


@contextmanager
def at(migration: tuple[str, str]) -> Iterator[None]:
    """Put an empty SQLite database of an earlier migration in place of the open one, for a while.

    Going back from the newest takes half a minute. Such a database is made forward instead, from
    the nearest earlier one that is kept, and is kept in turn.
    """
    newest = kept()
    wanted = newest.with_name(f"{newest.stem}-{migration[1]}.sqlite3")
    earlier = [*newest.parent.glob(f"{newest.stem}-[0-9]*.sqlite3")]
    with empty(max((one for one in earlier if one <= wanted), default=None)):
        if not wanted.exists():
            one_by_one().migrate([migration])
            _copy_out(wanted)
        yield


@contextmanager
def empty(begun: Path | None = None) -> Iterator[None]:
    """Put a database without tables, or a kept one, in place of the open one, for a while."""
    opened = Path(connection.settings_dict["NAME"])
    # One may stand aside for another that stands aside itself.
    aside = opened.with_suffix(f".aside-{len([*opened.parent.glob(f'{opened.stem}.aside-*')])}")
    _copy_out(aside)
    try:
        _open_instead(begun)
        yield
    finally:
        _open_instead(aside)
        aside.unlink()


def _open_instead(source: Path | None) -> None:
    """Close the open database and put a copy of another, or nothing, where its file was."""
    opened = Path(connection.settings_dict["NAME"])
    connection.close()
    for path in (opened, *(opened.with_name(f"{opened.name}-{part}") for part in ("wal", "shm"))):
        path.unlink(missing_ok=True)
    if source is not None:
        shutil.copyfile(source, opened)
