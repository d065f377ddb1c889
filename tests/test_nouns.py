"""The table of nouns in DEVELOPERS.md: every address, field and test that it names is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.apps import apps
from django.core.exceptions import FieldDoesNotExist
from django.urls import get_resolver

ROOT = Path(__file__).resolve().parent.parent
HEAD = ["noun", "address", "field", "test"]

#: What the front of a case is about; each has its line.
NOUNS = {
    *("prescription", "question", "box", "cast", "impression", "jaw record", "mounting"),
    *("opposing arch", "denture teeth", "photograph", "history", "disinfection", "dates"),
    *("signed paper", "tooth stock", "tooth order", "undo"),
}


PARTS = ("front", "bench")


def lines(text: str, of: str = "front") -> list[list[str]]:
    """The cells of a table of nouns, without its head."""
    part = text.partition(f"\n## Nouns of the {of}\n")[2].partition("\n## ")[0]
    cells = [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in part.splitlines()
        if line.startswith("|")
    ]
    if not cells or cells[0] != HEAD:
        raise AssertionError(f"no table of nouns with the head {HEAD}")
    return cells[2:]


def names(cell: str) -> list[str]:
    """What stands between backquotes."""
    return re.findall(r"`([^`]+)`", cell)


def addresses() -> set[str]:
    return {str(pattern.name) for pattern in get_resolver().url_patterns}


def has_field(name: str) -> bool:
    model, _, field = name.partition(".")
    try:
        apps.get_model("labcases", model)._meta.get_field(field)
    except (LookupError, FieldDoesNotExist):
        return False
    return True


def faults(row: list[str]) -> list[str]:
    """What a line of the table says wrongly."""
    if len(row) != len(HEAD):
        return [f"{row[0]} has {len(row)} cells, not {len(HEAD)}"]
    noun, *cells = row
    found = [
        f"{noun} names no {what}"
        for what, cell in zip(HEAD[1:], cells, strict=True)
        if not names(cell)
    ]
    known = addresses()
    found += [f"{noun}: no address {name}" for name in names(cells[0]) if name not in known]
    found += [f"{noun}: no field {name}" for name in names(cells[1]) if not has_field(name)]
    return found + [
        f"{noun}: no test {name}"
        for name in names(cells[2])
        if not name.startswith("tests/") or not (ROOT / name).is_file()
    ]


TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TABLE = [row for part in PARTS for row in lines(TEXT, part)]


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row[0])
def test_a_noun_has_its_address_its_field_and_its_test(row):
    assert faults(row) == []


def test_every_noun_of_the_front_has_one_line():
    listed = [row[0] for row in TABLE]

    assert NOUNS - set(listed) == set()
    assert len(listed) == len(set(listed))


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        (["box", "`boxes`", "`Box.sent_at`"], "box has 3 cells, not 4"),
        (["box", "", "`Box.sent_at`", "`tests/test_nouns.py`"], "box names no address"),
        (["box", "`boxes`", "in a table", "`tests/test_nouns.py`"], "box names no field"),
        (["box", "`boxes`", "`Box.sent_at`", ""], "box names no test"),
        (["box", "`crates`", "`Box.sent_at`", "`tests/test_nouns.py`"], "box: no address crates"),
        (["box", "`boxes`", "`Box.weight`", "`tests/test_nouns.py`"], "box: no field Box.weight"),
        (["box", "`boxes`", "`Crate.lid`", "`tests/test_nouns.py`"], "box: no field Crate.lid"),
        (["box", "`boxes`", "`Box.sent_at`", "`tests/test_crate.py`"], "no test tests/test_crate"),
        (["box", "`boxes`", "`Box.sent_at`", "`manage.py`"], "box: no test manage.py"),
    ],
)
def test_a_line_that_names_what_is_not_there_is_found(row, fault):
    assert any(fault in said for said in faults(row))


def test_a_text_without_the_table_is_refused():
    with pytest.raises(AssertionError, match="no table of nouns"):
        lines("# For developers\n\n## How to add\n")
