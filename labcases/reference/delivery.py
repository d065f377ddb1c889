"""Arrival, delivery and after-care as data: checklists, cautions and the text for the patient."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from labcases.reference import read
from labcases.reference.checklists import Pause, pauses_of
from labcases.reference.remount import ToMind


@dataclass(frozen=True)
class AfterCareLine:
    """A sentence for the patient, and how its source was read. The key never changes."""

    key: str
    text: str
    source: str
    mark: str


@dataclass(frozen=True)
class AfterCare:
    """A part of the sheet for the patient; each line with its source."""

    title: str
    lines: tuple[AfterCareLine, ...]


@cache
def arrival_checklist() -> tuple[Pause, ...]:
    return _pauses("arrival")


@cache
def delivery_checklist() -> tuple[Pause, ...]:
    return _pauses("delivery")


@cache
def cautions(at: str) -> tuple[ToMind, ...]:
    """What to mind at surgery or delivery."""
    return tuple(_told(row, at) for row in read("delivery.toml")["cautions"] if row["at"] == at)


@cache
def after_care() -> tuple[AfterCare, ...]:
    """What the sheet says where the office has not written its own."""
    return tuple(
        AfterCare(part["title"], tuple(_line(row) for row in part["lines"]))
        for part in read("delivery.toml")["aftercare"]
    )


def _pauses(which: str) -> tuple[Pause, ...]:
    told = read("delivery.toml")
    return pauses_of(told[which], told["sources"])


def _told(row: dict[str, Any], at: str) -> ToMind:
    source = read("delivery.toml")["sources"][row["source"]]
    return ToMind(at, row["text"], source["text"], source["mark"])


def _line(row: dict[str, Any]) -> AfterCareLine:
    source = read("delivery.toml")["sources"][row["source"]]
    return AfterCareLine(row["key"], row["text"], source["text"], source["mark"])
