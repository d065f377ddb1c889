"""Figures behind the work that no page and no paper shows, each with its source and its mark.

How much height a ridge lost is the mean of a group over many years. Beside the reviews of one
patient it would be read as a forecast for that patient, which nobody can give: pages say that a
denture becomes loose and when sources line it (``reviews.toml``), never by how many millimetres a
ridge will shrink. Residual monomer and ratios belong to a product, and its instructions say them.
They are kept here so that a number has one place, and so that a test can hold what the product
does (limits of a base, the warning of boiling) against what was read.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from labcases.reference import read

MARKS = ("R", "R2", "MM", "CP", "COMP")


@dataclass(frozen=True)
class Fact:
    """One figure, or a range from ``low`` to ``high``, with how its source was read."""

    key: str
    of: str
    words: str
    low: Decimal
    high: Decimal
    unit: str
    source: str
    mark: str


@cache
def facts() -> dict[str, Fact]:
    """Key -> figure, in the order of the file."""
    told = read("background.toml")
    return {
        row["key"]: Fact(
            key=row["key"],
            of=row["of"],
            words=row["words"],
            low=Decimal(str(row["low"])),
            high=Decimal(str(row.get("high", row["low"]))),
            unit=row["unit"],
            source=told["sources"][row["source"]],
            mark=row["mark"],
        )
        for row in told["rows"]
    }
