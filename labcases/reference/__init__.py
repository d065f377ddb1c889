"""Checklists as data: what is asked, in which order, and where each line comes from.

A pause is 5 to 7 lines of at most 60 characters, so that it can be read aloud at the
chair in about a minute.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

LINE_LENGTH = 60
PAUSE_LINES = range(5, 8)


@dataclass(frozen=True)
class CheckLine:
    """One line of a checklist. ``key`` is what a stored answer hangs on; it never changes.

    ``arch`` names the arch that the line belongs to, or is empty for both.
    """

    key: str
    text: str
    source: str
    arch: str = ""


@dataclass(frozen=True)
class Pause:
    """A point at which the work stops until its lines are answered."""

    key: str
    title: str
    lines: tuple[CheckLine, ...]


@cache
def _read(name: str) -> dict[str, Any]:
    with Path(__file__).with_name(name).open("rb") as file:
        return tomllib.load(file)


@cache
def try_in_checklist(arch: str = "") -> tuple[Pause, ...]:
    """The posterior try-in, pause by pause.

    Parameters
    ----------
    arch : str
        ``upper`` or ``lower`` leaves out the lines of the other arch; nothing keeps all.
    """
    told = _read("tryin.toml")
    return tuple(
        Pause(
            key=pause["key"],
            title=pause["title"],
            lines=tuple(
                CheckLine(
                    key=line["key"],
                    text=line["text"],
                    source=told["sources"][line["source"]],
                    arch=line.get("arch", ""),
                )
                for line in pause["lines"]
                if not arch or line.get("arch", arch) == arch
            ),
        )
        for pause in told["pauses"]
    )


@cache
def told_profiles() -> dict[str, Any]:
    """What the law of each place asks, as the file says it; ``domain/profiles.py`` checks it."""
    return _read("profiles.toml")


@cache
def told_statement() -> dict[str, Any]:
    """The items of the statement of a custom-made device; ``domain/statement.py`` answers them."""
    return _read("statement.toml")
