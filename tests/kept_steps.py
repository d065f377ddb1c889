"""What a step of a walk wrote is kept, and written again instead of walked again.

Nearly every test begins with the same people and brings a case along the same way, through the
same verbs. The first time in a process the steps are taken; each statement that wrote is kept, and
the next test that stands at the same place has the same statements carried out, in their order.

The same place is the same rows. A test starts on an empty database, and rows follow from what was
written since: so the place is a digest of all of that, with the numbers that rows get next. Only
who makes a world on an empty database has a place at all; a test that patches code, that commits,
or in which something was rolled back, walks by itself from there on.
"""

from __future__ import annotations

import hashlib
import pickle
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import copy
from dataclasses import dataclass, field
from typing import Any

from django.db import connection
from django.db.models import Model
from django.utils import timezone

#: Statements that write nothing. A savepoint that is let go changes nothing either.
READING = ("SELECT", "SAVEPOINT", "RELEASE", "PRAGMA")
#: Steps that a process keeps at most; the longest unused goes.
MOST = 2_000

Statement = tuple[str, Any, bool]


@dataclass
class Step:
    """What one step wrote, and what it gave back."""

    statements: list[Statement]
    result: Any


@dataclass
class Place:
    """Where the running test stands."""

    free: Callable[[], bool] = lambda: True
    """Whether this test takes part, as it is now."""
    digest: bytes | None = None
    """What was written since the database was empty; nothing where that is not known."""
    noted: list[Statement] | None = None
    """What the step that is being taken has written so far."""
    taken: int = field(default=0, compare=False)
    """Steps that were walked, and below those that were written again: for the tests of this."""
    repeated: int = field(default=0, compare=False)


_place = Place()
_kept: dict[bytes, Step] = {}


def _watch(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
    """Move the place with every statement that writes."""
    word = sql.split(None, 1)[0].upper()
    if many:
        params = list(params)
    if word in READING:
        return execute(sql, params, many, context)
    if word == "ROLLBACK":
        _lose()
        return execute(sql, params, many, context)
    try:
        answer = execute(sql, params, many, context)
    except BaseException:
        _lose()
        raise
    if _place.digest is not None:
        _place.digest = _digest(_place.digest, (sql, params))
        if _place.noted is not None:
            _place.noted.append((sql, params, many))
    return answer


def watch() -> None:
    """Begin to watch what the tests of this process write."""
    connection.execute_wrappers.append(_watch)


def _lose() -> None:
    _place.digest = _place.noted = None


def _digest(before: bytes, more: Any) -> bytes:
    return hashlib.sha256(before + repr(more).encode()).digest()


@contextmanager
def a_test(free: Callable[[], bool]) -> Iterator[Place]:
    """One test, which begins nowhere, and takes part for as long as it is free to."""
    global _place
    _place = Place(free)
    yield _place
    _place = Place()


def kept(name: str, told: Any, take: Callable[[], Any]) -> Any:
    """Take a step, or write again what it wrote when it was last taken from here.

    Parameters
    ----------
    name : str
        Which step.
    told : object
        Everything beside the rows that decides on it: may be pickled, rows of tables included.
    take : callable
        The step itself. What it returns must be plain, or rows of tables.
    """
    if _place.noted is not None:
        return take()
    if not _place.free():
        _lose()
    if _place.digest is None:
        return take()
    key = _digest(_place.digest, (name, pickle.dumps(_plain(told)), timezone.localdate()))
    found = _kept.pop(key, None)
    if found is None:
        _place.noted = noted = []
        try:
            result = take()
        finally:
            whole, _place.noted = _place.noted is noted, None
        _place.taken += 1
        if not whole:
            return result
        found = Step(noted, pickle.dumps(result))
    else:
        with connection.cursor() as cursor:
            for sql, params, many in found.statements:
                (cursor.executemany if many else cursor.execute)(sql, params)
        result = pickle.loads(found.result)  # noqa: S301  (pickled a moment ago, by this process)
        _place.repeated += 1
    _kept[key] = found
    if len(_kept) > MOST:
        del _kept[next(iter(_kept))]
    return result


def from_nothing(name: str, take: Callable[[], Any]) -> Any:
    """Take the first step of a test, from an empty database."""
    if _place.noted is None and _nothing_here():
        with connection.cursor() as cursor:
            cursor.execute("SELECT name, seq FROM sqlite_sequence ORDER BY name")
            _place.digest = _digest(b"", cursor.fetchall())
    return kept(name, None, take)


def _nothing_here() -> bool:
    """Whether this is a transaction on a database without people and houses."""
    if connection.vendor != "sqlite" or not connection.in_atomic_block:
        return False
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 FROM labcases_user UNION SELECT 1 FROM labcases_organisation")
        return cursor.fetchone() is None


def _plain(value: Any) -> Any:
    """A value in which a row of a table is its columns."""
    if isinstance(value, Model):
        columns = {one.attname for one in value._meta.concrete_fields}
        return type(value).__name__, {k: v for k, v in value.__dict__.items() if k in columns}
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    return copy(value)
