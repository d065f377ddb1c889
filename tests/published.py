"""Published and golden check values, one row of a table in fixtures/published each.

Every row carries its source in words and as a key, how that source was read for this row
(``MARKS``), and a tolerance with the reason for it. Keys are those of ``occlusion.sources``, or of
the reference lists of the product where the table is about those.
"""

import csv
import tomllib
from functools import cache
from pathlib import Path

import pytest

from occlusion.sources import SOURCES

REFERENCE = Path(__file__).resolve().parent.parent / "labcases" / "reference"
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


#: Places whose law was read in another text that tells it, or that are put together here.
PLACES = {"gb-eng": "quoted", "strict": "computed"}


#: Handbooks whose worked example was read where others restate it (``reference/quality.toml``).
HANDBOOKS = {"individuals chart": "quoted"}


def how_read(key):
    """How a source was read, whichever list has it; ``KeyError`` where none has."""
    return SOURCES[key].how_read if key in SOURCES else _of_the_product()[key]


@cache
def _of_the_product():
    """Sources of the lists of materials and of the profiles, with how they were read."""
    found = {"not read": "recalled"}
    for name in ("gypsum.toml", "impressions.toml"):
        found |= dict(_told(tomllib.loads((REFERENCE / name).read_text(encoding="utf-8"))))
    told = tomllib.loads((REFERENCE / "profiles.toml").read_text(encoding="utf-8"))
    places = (row["key"] for row in told["profiles"])
    return found | dict.fromkeys(places, "read") | PLACES | HANDBOOKS


def _told(part):
    """Each source that a part of a list names, with how the list says that it was read."""
    if isinstance(part, list):
        for one in part:
            yield from _told(one)
    elif isinstance(part, dict):
        if {"source", "how"} <= set(part):
            yield part["source"], "recalled" if part["how"] == "not read" else "read"
        for one in part.values():
            yield from _told(one)


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
