"""Sizes of labels as data: a short list, the bounds of an own size, and what is usual."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from labcases.reference import read

FILE = "labels.toml"


@dataclass(frozen=True, order=True)
class LabelSize:
    """One label, in whole millimetres."""

    width_mm: int
    height_mm: int

    @property
    def key(self) -> str:
        return f"{self.width_mm}x{self.height_mm}"

    @property
    def words(self) -> str:
        return f"{self.width_mm} x {self.height_mm} mm"


@cache
def sizes() -> tuple[LabelSize, ...]:
    """The list that a laboratory chooses from, the smallest first."""
    return tuple(LabelSize(*row["mm"]) for row in read(FILE)["sizes"])


@cache
def bounds_mm() -> tuple[int, int]:
    """The least and the greatest edge of an own size."""
    told = read(FILE)["bounds"]
    return told["lowest_mm"], told["highest_mm"]


@cache
def usual(kind: str) -> LabelSize:
    """The size of a kind of paper where a laboratory has chosen none.

    Raises
    ------
    KeyError
        The kind is no label.
    """
    return LabelSize(*read(FILE)["usual"][kind])


@cache
def least(kind: str) -> LabelSize:
    """Width and height below which a kind of paper is not printed on a label.

    Raises
    ------
    KeyError
        The kind is no label.
    """
    return LabelSize(*read(FILE)["least"][kind])
