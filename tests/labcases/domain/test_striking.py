"""A line that is struck out stays readable, says why, and is struck out once."""

from __future__ import annotations

import pytest

from labcases.domain import bench
from labcases.domain.striking import AlreadyStruck, strike_out
from labcases.enums import SetUpAct
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def here():
    return world()


@pytest.fixture
def row(here):
    values = {"act": SetUpAct.NOTE, "note": "wrong tray"}
    return bench.log(case=here.walk().case, by=here.tomas, values=values)


def struck(row, here, reason=" other case "):
    return strike_out(row=row, part="set-up log", line="Note", reason=reason, by=here.mona)


def test_it_keeps_its_words_and_says_by_whom_and_why(here, row):
    after = struck(row, here)

    assert (after.note, after.struck_by, after.struck_reason) == (
        *("wrong tray", here.mona, "other case"),
    )
    entry = row.case.history.last()
    assert (entry.part, entry.act, entry.reason) == ("set-up log", "struck out", "other case")
    assert entry.changes == {"line": ["Note", "struck out"]}


def test_the_second_to_strike_is_told_and_writes_nothing(here, row):
    struck(row, here)
    entries = row.case.history.count()

    with pytest.raises(AlreadyStruck, match="struck out already"):
        struck(row, here, "mine")

    row.refresh_from_db()
    assert row.struck_reason == "other case"
    assert row.case.history.count() == entries


def test_nothing_is_struck_out_without_a_reason(here, row):
    with pytest.raises(ValueError, match="Give the reason"):
        struck(row, here, "  ")

    row.refresh_from_db()
    assert row.struck_at is None
