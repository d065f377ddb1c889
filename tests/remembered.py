"""Brings a case to a stage once a process, and writes the same rows when it is wanted again.

Nearly all of the time of the tests went into walking cases along their stages. A step that follows
on a known state of the database always leaves the same rows, so the second time they are written
as they were. The state is known only from an empty database on, and only as long as nothing else
wrote: SQLite counts every row that a connection changes, also those that were rolled back since.
Wherever that does not hold, each step is simply taken.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import connection
from django.utils import timezone

from labcases.models import Organisation, User
from labcases.models.guard import HEADS

#: Rows are written again for so long only: the application gives some things minutes of time.
SECONDS = 300
#: How far the clock that the application reads may be from the one that no test sets.
SET_BY_A_TEST = 5

Row = tuple[Any, ...]
_AHEAD = time.time() - time.monotonic()


@dataclass(frozen=True)
class Table:
    name: str
    columns: tuple[str, ...]
    key: int
    """Which column is the primary key."""


@dataclass
class Step:
    """What a step left: rows by table, files of the media folder, and what it answered."""

    answer: Any
    taken: float
    written: dict[Table, list[Row]] = field(default_factory=dict)
    gone: dict[Table, list[Row]] = field(default_factory=dict)
    files: dict[Path, bytes] = field(default_factory=dict)


@dataclass
class _State:
    """The steps that led to what stands in the database, and the rows changed up to there."""

    steps: tuple[Hashable, ...] | None = None
    changes: int = -1


_state = _State()
_taken: dict[tuple[Hashable, ...], Step] = {}
_tables: list[Table] = []


def forget() -> None:
    """From here on the state is not known. Each test begins like that."""
    _state.steps = None


def begin() -> None:
    """Say that what follows is built on an empty database, if it is one that can be known."""
    known = (
        connection.vendor == "sqlite"
        # Other threads write through connections of their own in the tests that have any.
        and connection.in_atomic_block
        and not User.objects.exists()
        and not Organisation.objects.exists()
        and not any(_files())
    )
    _state.steps = (timezone.localdate(),) if known else None
    _state.changes = _changes() if known else -1


def once(name: Hashable, take: Callable[[], Any]) -> Any:
    """Take a step, or write what it left when it was taken from this very state.

    Parameters
    ----------
    name : Hashable
        The step, with everything that decides on what it does.
    take : callable
        Takes it. Its answer is to be plain data, such as primary keys.

    Returns
    -------
    object
        What ``take`` answered.
    """
    if _state.steps is None or _state.changes != _changes() or _clock_is_set():
        forget()
        return take()
    steps = (*_state.steps, name)
    step = _taken.get(steps)
    if step is not None and time.monotonic() - step.taken < SECONDS:
        _write(step)
    else:
        step = _taken[steps] = _take(take)
    _state.steps, _state.changes = steps, _changes()
    return step.answer


def _clock_is_set() -> bool:
    return abs(timezone.now().timestamp() - time.monotonic() - _AHEAD) > SET_BY_A_TEST


def _changes() -> int:
    changes: int = connection.connection.total_changes
    return changes


def _take(take: Callable[[], Any]) -> Step:
    rows, files = _rows(), set(_files())
    step = Step(answer=take(), taken=time.monotonic())
    for table, after in _rows().items():
        before = rows[table]
        step.written[table] = [row for row in after if row not in before]
        step.gone[table] = [row for row in before if row not in after]
    root = Path(settings.MEDIA_ROOT)
    step.files = {path: (root / path).read_bytes() for path in set(_files()) - files}
    return step


def _write(step: Step) -> None:
    database = connection.connection
    for table, rows in step.gone.items():
        if table.name != HEADS and rows:
            keys = [(row[table.key],) for row in rows]
            database.executemany(
                f'DELETE FROM "{table.name}" WHERE "{table.columns[table.key]}" = ?',  # noqa: S608
                keys,
            )
    for table, rows in step.written.items():
        if rows:
            columns = ", ".join(f'"{name}"' for name in table.columns)
            marks = ", ".join("?" * len(table.columns))
            if table.name == HEADS:
                rows = _lead_up_to(table, rows)
            database.executemany(
                f'INSERT INTO "{table.name}" ({columns}) VALUES ({marks})',  # noqa: S608
                rows,
            )
    for path, content in step.files.items():
        where = Path(settings.MEDIA_ROOT) / path
        where.parent.mkdir(parents=True, exist_ok=True)
        where.write_bytes(content)


def _lead_up_to(table: Table, rows: list[Row]) -> list[Row]:
    """Bring heads of histories forward one by one, as their guard wants; return the new ones."""
    database = connection.connection
    new = []
    sequence = table.columns.index("sequence")
    sets = ", ".join(f'"{name}" = ?' for name in table.columns)
    for row in rows:
        (stands,) = database.execute(
            f'SELECT max(sequence) FROM "{HEADS}" WHERE id = ?',  # noqa: S608  (HEADS is fixed)
            (row[table.key],),
        ).fetchone()
        if stands is None:
            new.append(row)
            continue
        database.executemany(
            f'UPDATE "{HEADS}" SET {sets} WHERE id = ?',  # noqa: S608  (HEADS is fixed)
            [
                (*row[:sequence], number, *row[sequence + 1 :], row[table.key])
                for number in range(stands + 1, row[sequence] + 1)
            ],
        )
    return new


def _rows() -> dict[Table, dict[Row, None]]:
    """Every row of every table, in the order in which they were written."""
    database = connection.connection
    found = {}
    for table in _all_tables():
        # A bare column would be turned into what it is declared as, and written back otherwise.
        columns = ", ".join(f'+"{name}"' for name in table.columns)
        found[table] = dict.fromkeys(
            database.execute(f'SELECT {columns} FROM "{table.name}" ORDER BY rowid')  # noqa: S608
        )
    return found


def _all_tables() -> list[Table]:
    if not _tables:
        cursor = connection.connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
        )
        for (name,) in cursor.fetchall():
            told = connection.connection.execute(f'PRAGMA table_info("{name}")').fetchall()
            key = next(at for at, column in enumerate(told) if column[5])
            _tables.append(Table(name, tuple(column[1] for column in told), key))
    return _tables


def _files() -> list[Path]:
    root = Path(settings.MEDIA_ROOT)
    return [path.relative_to(root) for path in root.rglob("*") if path.is_file()]
