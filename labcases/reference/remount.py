"""The remount as data: checklist, causes of a pin rise, and what to mind, each with its source."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from labcases.reference import read
from labcases.reference.checklists import Pause, pauses_of

OTHER = "other"
"""The cause that is said in words."""


@dataclass(frozen=True)
class Cause:
    """What can raise the pin, what to look at, and how its source was read."""

    key: str
    words: str
    look: str
    source: str
    mark: str


@dataclass(frozen=True)
class ToMind:
    """One sentence of caution at a step of the bench."""

    step: str
    text: str
    source: str
    mark: str


@cache
def remount_checklist() -> tuple[Pause, ...]:
    told = read("remount.toml")
    return pauses_of(told["pauses"], told["sources"])


@cache
def causes() -> dict[str, Cause]:
    """Every cause by its key, in the order in which they are looked for."""
    told = read("remount.toml")
    return {
        row["key"]: Cause(
            row["key"],
            row["words"],
            row["look"],
            told["sources"][row["source"]]["text"],
            told["sources"][row["source"]]["mark"],
        )
        for row in told["causes"]
    }


@cache
def to_mind(step: str) -> tuple[ToMind, ...]:
    """What to mind for the work at a step: remount or finishing."""
    told = read("remount.toml")
    return tuple(
        ToMind(
            step,
            row["text"],
            told["sources"][row["source"]]["text"],
            told["sources"][row["source"]]["mark"],
        )
        for row in told["cautions"]
        if row["step"] == step
    )
