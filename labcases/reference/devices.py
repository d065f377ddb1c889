"""Which places may ask for a list of the devices that went out, each with the text read."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from labcases.reference import read


@dataclass(frozen=True)
class ListAsked:
    """A text that lets an authority ask for the list, and the profiles that it is of."""

    profiles: tuple[str, ...]
    text: str
    source: str
    edition: str


@cache
def asked() -> tuple[ListAsked, ...]:
    rows = read("devices.toml")["asks"]
    return tuple(ListAsked(**{**row, "profiles": tuple(row["profiles"])}) for row in rows)


def caution() -> str:
    return str(read("devices.toml")["caution"])
