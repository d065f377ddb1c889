"""What is known of the trade, as data beside the code: each file with its sources."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any


@cache
def read(name: str) -> dict[str, Any]:
    """One file of this folder, as it stands."""
    with Path(__file__).with_name(name).open("rb") as file:
        return tomllib.load(file)


@cache
def told_profiles() -> dict[str, Any]:
    """What the law of each place asks, as the file says it; ``domain/profiles.py`` checks it."""
    return read("profiles.toml")


@cache
def told_statement() -> dict[str, Any]:
    """The items of the statement of a custom-made device; ``domain/statement.py`` answers them."""
    return read("statement.toml")
