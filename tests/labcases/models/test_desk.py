"""Rows of the desk: the days on which they hold."""

from __future__ import annotations

from datetime import date

from labcases.models.desk import ALWAYS, NEVER, DeskRow


def test_a_row_holds_from_its_first_day_to_its_last_with_both():
    row = DeskRow(first=date(2026, 3, 2), last=date(2026, 3, 4))
    assert [row.holds(date(2026, 3, day)) for day in range(1, 6)] == [
        *(False, True, True, True, False)
    ]


def test_without_days_it_holds_as_long_as_the_case_stands():
    row = DeskRow()
    assert (row.first, row.last) == (ALWAYS, NEVER)
    assert row.holds(date(2026, 3, 2))
