"""What to mind for people at each step of the bench and at the chair, as data with sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from labcases.reference import read

PLACES = (
    *("casts", "trimming", "set-up", "final wax", "remount", "finishing", "release"),
    *("arrival", "delivery", "review"),
)
"""What is minded at no step of processing: a page each."""


@dataclass(frozen=True)
class Safety:
    """One thing to mind, and how far its sources were read."""

    key: str
    text: str
    cited: str


def _file() -> dict[str, Any]:
    return read("safety.toml")


def first() -> str:
    """What goes before all of it: instructions, safety sheets, local codes."""
    return str(_file()["first"]["text"])


def at(step: str, technique: str = "") -> list[Safety]:
    """What is minded at a step; ``technique`` leaves out what is said for others."""
    return [
        _safety(row)
        for row in _file()["rows"]
        if step in row["at"] and (not technique or technique in row.get("techniques", (technique,)))
    ]


def of_technique(technique: str, steps: tuple[str, ...]) -> list[Safety]:
    """Everything that is minded at any of these steps, each once."""
    found: dict[str, Safety] = {}
    for step in steps:
        for one in at(step, technique):
            found.setdefault(one.key, one)
    return list(found.values())


def _safety(row: Mapping[str, Any]) -> Safety:
    sources = _file()["sources"]
    cited = "; ".join(f"{sources[one['source']]} ({one['how']})" for one in row["known"])
    return Safety(row["key"], row["text"], cited)
