"""Rows of a bundle as tables: one for each kind of row, and one each for gaps and heights."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from labcases.domain.case_rows import Plain
from labcases.enums import CheckKind
from labcases.outputs import csv_file

GAPS = (
    *("check_row", "excursion", "tooth", "state", "verdict", "gap_mm", "at_travel_mm"),
    *("sd_mm", "pin_lift_mm"),
)
HEIGHTS = (
    *("check_row", "tooth", "verdict", "space_mm", "hollow_mm", "occlusal_budget_mm"),
    *("shell_left_mm", "short_by_mm"),
)


def tables(told: Plain) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of each table, in the order of the names."""
    made = {name: _of_rows(rows) for name, rows in told["rows"].items()}
    runs = told["rows"].get("CheckRun", [])
    made["gaps"] = csv_file.written(GAPS, _gaps(runs))
    made["heights"] = csv_file.written(HEIGHTS, _heights(runs))
    yield from sorted(made.items())


def _of_rows(rows: list[Plain]) -> bytes:
    head = list(dict.fromkeys(name for row in rows for name in row))
    return csv_file.written(head, ([_cell(row.get(name)) for name in head] for row in rows))


def _gaps(runs: list[Plain]) -> Iterator[list[str]]:
    """Tooth by tooth what each clearance check that is kept has found."""
    for run in runs:
        if run["kind"] != CheckKind.CLEARANCE:
            continue
        for excursion in run["findings"].get("excursions", []):
            for tooth in excursion["teeth"]:
                first = [_cell(run["key"]), _cell(excursion["excursion"])]
                yield first + [_cell(tooth.get(name)) for name in GAPS[2:]]


def _heights(runs: list[Plain]) -> Iterator[list[str]]:
    for run in runs:
        if run["kind"] == CheckKind.HEIGHT:
            for row in run["findings"].get("rows", []):
                yield [_cell(run["key"]), *(_cell(row.get(name)) for name in HEIGHTS[1:])]


def _cell(value: Any) -> str:
    """A value as text: nothing for what is not there, JSON for what has parts."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (dict, list)):
        return json.dumps(value, sort_keys=True, ensure_ascii=False)
    return str(value)
