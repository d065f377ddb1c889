"""What the page of a laboratory's quality counts with, as data with its sources."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from labcases.reference import read


@dataclass(frozen=True)
class Counted:
    """Least numbers under which nothing but counts is shown, and the constants of the chart.

    Attributes
    ----------
    least_cases, least_points : int
        Cases under which no share and no middle value is shown; readings under which no limits
        are drawn.
    spread_of_two : float
        Mean range of two readings in standard deviations, for the moving range of two.
    times : float
        How many standard deviations the limits stand from the mean.
    """

    least_cases: int
    least_points: int
    least_source: str
    spread_of_two: float
    times: float
    chart_source: str
    of_remakes: str
    of_limits: str


@cache
def counted() -> Counted:
    told = read("quality.toml")
    return Counted(
        least_cases=told["least"]["cases"],
        least_points=told["least"]["points"],
        least_source=told["least"]["source"],
        spread_of_two=told["chart"]["spread_of_two"],
        times=told["chart"]["times"],
        chart_source=told["chart"]["source"],
        of_remakes=told["beside"]["remakes"],
        of_limits=told["beside"]["limits"],
    )
