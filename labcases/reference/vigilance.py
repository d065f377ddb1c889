"""Whom to tell of a complaint as data: duties by profile, each with the text that was read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from labcases.enums.complaints import Gravity
from labcases.reference import read


class VigilanceError(ValueError):
    """The file of duties lacks a source, or says something that is not known."""


@dataclass(frozen=True)
class Duty:
    """Who tells whom, by when in days after it became known, and what text says so."""

    who: str
    tell: str
    how: str
    days: Mapping[str, int]
    source: str
    read_on: date
    profiles: tuple[str, ...] = ()
    countries: tuple[str, ...] = ()
    keep: str = ""

    def holds_for(self, profile: str) -> bool:
        """Whether it is of this profile, or of the country that its key begins with."""
        return profile in self.profiles or profile.partition("-")[0] in self.countries


@dataclass(frozen=True)
class Definition:
    """A word of a text, in our own words."""

    title: str
    text: str
    source: str
    read_on: date


def load(told: Mapping[str, Any]) -> tuple[Duty, ...]:
    """Every duty of the file, checked.

    Raises
    ------
    VigilanceError
        A duty without its source, of no place, or with days for a gravity that is not known.
    """
    return tuple(_duty(row) for row in told["duties"])


def _duty(row: Mapping[str, Any]) -> Duty:
    for key in ("who", "tell", "source", "read_on"):
        if not row.get(key):
            raise VigilanceError(f"A duty lacks {key}. A row without its source is not used.")
    if not row.get("profiles") and not row.get("countries"):
        raise VigilanceError(f"The duty to tell {row['tell']} is of no place. Name its profiles.")
    strange = set(row["days"]) - {str(one) for one in Gravity}
    if strange:
        raise VigilanceError(f"Days for {', '.join(sorted(strange))}: name a gravity instead.")
    told = dict(row)
    for key in ("profiles", "countries"):
        told[key] = tuple(row.get(key, ()))
    return Duty(**told)


@cache
def duties() -> tuple[Duty, ...]:
    return load(read("vigilance.toml"))


@cache
def definitions() -> tuple[Definition, ...]:
    return tuple(Definition(**row) for row in read("vigilance.toml")["definitions"])


@cache
def beside() -> tuple[tuple[str, str], ...]:
    """What the trade does beside the law: text and source."""
    return tuple((row["text"], row["source"]) for row in read("vigilance.toml")["beside"])


def not_read() -> str:
    return str(read("vigilance.toml")["not_read"])


def caution() -> str:
    return str(read("vigilance.toml")["caution"])
