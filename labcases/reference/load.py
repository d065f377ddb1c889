"""Usual minutes of the jobs at the bench, as data with their source."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from labcases.enums.load import BenchJob
from labcases.reference import read


@dataclass(frozen=True)
class Usual:
    """Hands-on minutes of a job: the span that is usual, and its middle, which is planned with."""

    job: BenchJob
    low: int
    high: int

    @property
    def middle(self) -> int:
        """Whole minutes, halves up: a span of 45 to 60 is planned as 53."""
        return (self.low + self.high + 1) // 2

    @property
    def span_words(self) -> str:
        return str(self.low) if self.low == self.high else f"{self.low} to {self.high}"


@cache
def usual_minutes() -> dict[BenchJob, Usual]:
    told = read("load.toml")["minutes"]
    return {job: Usual(job, *told[job.value]) for job in BenchJob}


def source() -> str:
    return str(read("load.toml")["source"])


def look_ahead_days() -> int:
    """Calendar days, today among them."""
    return int(read("load.toml")["look_ahead"]["days"])
