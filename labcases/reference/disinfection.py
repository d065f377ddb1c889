"""Which class of agent is used on what travels: read beside a form, never filled in."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from labcases.reference.materials import NOT_READ


@dataclass(frozen=True)
class Agent:
    """One row: the contents that it is about, what is used on them, and how that is known."""

    contents: tuple[str, ...]
    of: str
    agent: str
    cited: str


@cache
def listed_agents() -> tuple[Agent, ...]:
    """Every row, in the order of the file."""
    with Path(__file__).with_name("disinfection.toml").open("rb") as file:
        told = tomllib.load(file)
    return tuple(
        Agent(
            contents=tuple(row["contents"]),
            of=row["of"],
            agent=row["agent"],
            cited="; ".join(_cited(one, told["sources"]) for one in row["known"]),
        )
        for row in told["rows"]
    )


def _cited(known: dict[str, str], sources: dict[str, str]) -> str:
    if known["how"] == NOT_READ:
        return "from memory, not read"
    return f"{sources[known['source']]} ({known['how']})"
