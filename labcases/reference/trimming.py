"""Ways of trimming the cast and what is flagged of a trim, as data with their sources."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from labcases.enums import TrimMethod


@dataclass(frozen=True)
class Way:
    """One way of trimming, in words, with its source and how far that was read.

    ``mark`` is R2 quoted, MM or ML from memory, surer or less sure, CP common practice.
    """

    method: TrimMethod
    text: str
    cited: str
    mark: str


@dataclass(frozen=True)
class Flag:
    """A sentence about a trim. It is said above ``limit_mm``, never at it."""

    key: str
    text: str
    cited: str
    mark: str
    limit_mm: Decimal | None = None


@cache
def _read() -> dict[str, Any]:
    with Path(__file__).with_name("trimming.toml").open("rb") as file:
        return tomllib.load(file)


@cache
def ways() -> dict[TrimMethod, Way]:
    """Every way, in the order of the file."""
    return {
        TrimMethod(row["method"]): Way(
            TrimMethod(row["method"]), row["text"], _cited(row["known"]), row["known"]["mark"]
        )
        for row in _read()["ways"]
    }


@cache
def flags() -> dict[str, Flag]:
    """Key -> what is flagged."""
    return {
        key: Flag(
            key=key,
            text=row["text"],
            cited=_cited(row["known"]).replace("{limit}", f"{row.get('limit_mm')} mm"),
            mark=row["known"]["mark"],
            limit_mm=Decimal(row["limit_mm"]) if "limit_mm" in row else None,
        )
        for key, row in _read()["flags"].items()
    }


def _cited(known: Mapping[str, str]) -> str:
    """The source with how it was read: "course text ... (quoted)"."""
    return f"{_read()['sources'][known['source']]} ({known['how']})"
