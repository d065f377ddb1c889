"""Impression materials and gypsum as data: pour times, water to powder, setting times.

Only figures that somebody read are held against anything; the others say "not read".
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

NOT_READ = "not read"
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class Figure:
    """Where a number or a band comes from, how far it was read, and on which day.

    ``low`` and ``high`` are the same for a single number; both are nothing where none was
    read, or where only a label can say it (``on_label``).
    """

    how: str
    source: str = ""
    seen: date | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    on_label: bool = False

    @property
    def counts(self) -> bool:
        """Whether it may be held against what a person did."""
        return self.how != NOT_READ and self.low is not None

    @property
    def cited(self) -> str:
        """The source with how it was read, for the line below a caution."""
        day = self.seen
        seen = f", {day.day:02d}-{_MONTHS[day.month - 1]}-{day.year}" if day else ""
        return f"{self.source} ({self.how}{seen})" if self.source else self.how


@dataclass(frozen=True)
class Note:
    """A sentence that was read, without a number."""

    text: str
    cited: str


@dataclass(frozen=True)
class Material:
    """An impression material, and when it is poured: minutes after it was taken."""

    key: str
    label: str
    earliest: Figure | None
    best: Figure | None
    latest: Figure
    note: Note | None


@dataclass(frozen=True)
class Gypsum:
    """A type of gypsum: millilitres of water to 100 g of powder, and minutes until it sets."""

    key: str
    label: str
    water: Figure
    sets: Figure


@cache
def _read(name: str) -> dict[str, Any]:
    with Path(__file__).with_name(name).open("rb") as file:
        return tomllib.load(file)


def _figure(told: Mapping[str, Any], sources: Mapping[str, str], number: str) -> Figure:
    value = told.get(number)
    low, high = value if isinstance(value, list) else (value, value)
    return Figure(
        how=told["how"],
        source=sources[told["source"]] if "source" in told else "",
        seen=told.get("seen"),
        low=None if low is None else Decimal(str(low)),
        high=None if high is None else Decimal(str(high)),
        on_label=bool(told.get("label")),
    )


@cache
def impression_materials() -> dict[str, Material]:
    """Key -> material, in the order of the file."""
    told = _read("impressions.toml")
    sources = told["sources"]

    def figure(row: Mapping[str, Any], name: str) -> Figure | None:
        return _figure(row[name], sources, "minutes") if name in row else None

    found = {}
    for row in told["materials"]:
        note = row.get("note")
        found[row["key"]] = Material(
            key=row["key"],
            label=row["label"],
            earliest=figure(row, "earliest"),
            best=figure(row, "best"),
            latest=_figure(row["latest"], sources, "minutes"),
            note=Note(note["text"], _figure(note, sources, "minutes").cited) if note else None,
        )
    return found


@cache
def gypsum_types() -> dict[str, Gypsum]:
    """Key -> type, in the order of the file."""
    told = _read("gypsum.toml")
    return {
        row["key"]: Gypsum(
            key=row["key"],
            label=row["label"],
            water=_figure(row["water"], told["sources"], "ml_per_100_g"),
            sets=_figure(row["sets"], told["sources"], "minutes"),
        )
        for row in told["types"]
    }


def strength_loss() -> Figure:
    """Percent of compressive strength that half as much water again cost in a test."""
    told = _read("gypsum.toml")
    return _figure(told["strength"], told["sources"], "loss_percent")


def separation() -> Figure:
    """Minutes that a cast is left before the impression is taken off."""
    told = _read("gypsum.toml")
    return _figure(told["separation"], told["sources"], "minutes")


def slack() -> tuple[Decimal, str]:
    """Part of a band by which a mix may miss it unsaid, and the words for its source."""
    told = _read("gypsum.toml")
    row = told["slack"]
    return Decimal(row["percent"]) / 100, told["sources"][row["source"]]
