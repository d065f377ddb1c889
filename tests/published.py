"""Published and golden check values, one row of a table in fixtures/published each.

Every row carries its source in words and as a key of ``occlusion.sources``, how that source was
read for this row (``MARKS``), and a tolerance with the reason for it.
"""

import csv
from functools import cache
from pathlib import Path

import pytest

FOLDER = Path(__file__).resolve().parent.parent / "fixtures" / "published"

#: How the source of a row was read.
MARKS = {
    "READ": "read in an abstract or a page of the source",
    "READ-2nd": "read in another text that quotes the source",
    "MEMORY": "from memory; the source was not at hand",
    "COMPUTED": "worked out from a stated geometry by two independent methods",
    "common practice": "common practice, no source",
}

#: The same in the words of ``occlusion.sources.HOW_READ``.
HOW_READ = {
    "READ": "read",
    "READ-2nd": "quoted",
    "MEMORY": "recalled",
    "COMPUTED": "computed",
    "common practice": "practice",
}


@cache
def table(name):
    """Rows of one table as dictionaries of text."""
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def number(row, column):
    """The number in a column, or None where the row leaves it open."""
    return float(row[column]) if row[column] else None


def each(name, **wanted):
    """Rows of a table as parameters of a test, each under its own name."""
    chosen = [row for row in table(name) if all(row[key] == wanted[key] for key in wanted)]
    if not chosen:
        raise LookupError(f"No row of {name}.csv has {wanted}.")
    return pytest.mark.parametrize("row", [pytest.param(row, id=row["id"]) for row in chosen])
