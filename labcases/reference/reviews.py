"""Reviews after delivery as data, each row with its source and how that was read."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from labcases.reference import read
from labcases.reference.checklists import Pause, pauses_of
from labcases.reference.remount import ToMind

FILE = "reviews.toml"
FIRST = "first"
"""The review on the day after delivery."""
OTHER = "other"
"""The reason that is said in words."""


@dataclass(frozen=True)
class ReviewKind:
    """One review: when it is due in days after delivery, and what is looked at."""

    key: str
    words: str
    days: int
    earliest: int
    latest: int
    calendar_day: bool
    source: str
    mark: str
    pause: Pause


@dataclass(frozen=True)
class LinerKind:
    """How long a liner lasts from the day it was placed, as a range."""

    key: str
    words: str
    first: int
    last: int
    text: str
    source: str
    mark: str


@dataclass(frozen=True)
class RelineSource:
    """When one source has a reline made, in days after delivery."""

    first: int
    last: int
    words: str
    source: str
    mark: str


@dataclass(frozen=True)
class Sign:
    """Something seen at a review, and which decision it speaks for."""

    key: str
    text: str
    speaks_for: str
    source: str
    mark: str


def _said(row: dict[str, Any], sources: dict[str, dict[str, str]]) -> tuple[str, str]:
    told = row["source"] if isinstance(row["source"], dict) else sources[row["source"]]
    return told["text"], told["mark"]


@cache
def reviews() -> dict[str, ReviewKind]:
    """Every review by its key, the first one first."""
    told = read(FILE)
    found = {}
    for row in told["reviews"]:
        text, mark = _said(row, told["sources"])
        pause = pauses_of(
            [{"key": row["key"], "title": row["words"], "lines": row["lines"]}], told["sources"]
        )[0]
        found[row["key"]] = ReviewKind(
            *(row["key"], row["words"], row["days"], row["earliest"], row["latest"]),
            calendar_day=row.get("calendar_day", False),
            source=text,
            mark=mark,
            pause=pause,
        )
    return found


@cache
def liners() -> dict[str, LinerKind]:
    told = read(FILE)
    return {
        row["key"]: LinerKind(
            *(row["key"], row["words"], row["first"], row["last"], row["text"]),
            *_said(row, told["sources"]),
        )
        for row in told["liners"]
    }


@cache
def reline_sources() -> tuple[RelineSource, ...]:
    told = read(FILE)
    return tuple(
        RelineSource(row["first"], row["last"], row["words"], *_said(row, told["sources"]))
        for row in told["reline"]
    )


@cache
def signs() -> dict[str, Sign]:
    told = read(FILE)
    return {
        row["key"]: Sign(row["key"], row["text"], row["speaks_for"], *_said(row, told["sources"]))
        for row in told["signs"]
    }


@cache
def remake_reasons() -> dict[str, str]:
    """Why a denture is made again: key and words."""
    return {row["key"]: row["words"] for row in read(FILE)["reasons"]}


@cache
def to_mind(step: str) -> tuple[ToMind, ...]:
    """What to mind at a review or a clinical remount."""
    told = read(FILE)
    return tuple(
        ToMind(step, row["text"], *_said(row, told["sources"]))
        for row in told["cautions"]
        if row["step"] == step
    )
