"""What a laboratory's quality is told in: a chart of single readings, shares, days of stages.

Pure functions; ``domain.quality_reading`` asks the database.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from statistics import fmean, median

from labcases.domain.open_days import Closed, working_days_between
from labcases.enums import Stage
from labcases.reference.quality import counted


@dataclass(frozen=True)
class Individuals:
    """Mean and control limits of single readings, from the ranges between neighbours.

    All in the unit of the readings.
    """

    mean: float
    moving_range: float
    lower: float
    upper: float

    def outside(self, value: float) -> bool:
        return not self.lower <= value <= self.upper


def individuals(values: Sequence[float]) -> Individuals:
    """The individuals chart of readings in their order.

    Parameters
    ----------
    values : sequence of float
        At least two readings.

    Returns
    -------
    Individuals
        The mean, the mean of the ranges between neighbours, and the limits: the mean with 3 times
        that range over 1.128 on either side (source: ``reference/quality.toml``).

    Raises
    ------
    ValueError
        There are fewer than two readings.
    """
    if len(values) < 2:
        raise ValueError("A chart of single readings needs two of them at least.")
    told = counted()
    mean = fmean(values)
    moving = fmean(abs(after - before) for before, after in pairwise(values))
    reach = told.times * moving / told.spread_of_two
    return Individuals(mean, moving, mean - reach, mean + reach)


def limits(values: Sequence[float]) -> Individuals | None:
    """The chart of readings; nothing where they are too few."""
    return individuals(values) if len(values) >= counted().least_points else None


@dataclass(frozen=True)
class Share:
    """So many of so many cases. The counts always stand; the figures only of enough cases."""

    count: int
    of: int

    @property
    def enough(self) -> bool:
        return self.of >= counted().least_cases

    @property
    def each(self) -> float | None:
        """How many a case."""
        return self.count / self.of if self.enough else None

    @property
    def percent(self) -> float | None:
        return 100 * self.count / self.of if self.enough else None


@dataclass(frozen=True)
class Days:
    """Working days of several cases: the middle one and the longest, where there are enough."""

    days: tuple[int, ...]

    @property
    def enough(self) -> bool:
        return len(self.days) >= counted().least_cases

    @property
    def middle(self) -> float | None:
        return float(median(self.days)) if self.enough else None

    @property
    def longest(self) -> int | None:
        return max(self.days) if self.enough else None


@dataclass(frozen=True)
class Move:
    """A case came to a stage on a day."""

    on: date
    to: Stage


@dataclass(frozen=True)
class Path:
    """The way of one case through its stages, in order."""

    case: int
    office: int
    moves: tuple[Move, ...]

    def first(self, stage: Stage) -> date | None:
        return next((move.on for move in self.moves if move.to == stage), None)

    def last(self, stage: Stage) -> date | None:
        return next((move.on for move in reversed(self.moves) if move.to == stage), None)


#: Stages of a laboratory's own time, in their order; what happens at the office counts in them.
AT_WORK = (
    *(Stage.ACCEPTED, Stage.TRAY, Stage.MASTER_CAST, Stage.JAW_RECORDS, Stage.MOUNTING),
    *(Stage.SETTINGS, Stage.SET_UP, Stage.TRY_IN, Stage.FINAL_WAX, Stage.PROCESSING),
    *(Stage.REMOUNT, Stage.FINISHING, Stage.RELEASED),
)


def turnaround(path: Path, closed: Closed = ()) -> int | None:
    """Working days after the day of acceptance up to the day of dispatch."""
    began, ended = path.first(Stage.ACCEPTED), path.last(Stage.DISPATCHED)
    return None if began is None or ended is None else working_days_between(began, ended, closed)


def by_stage(path: Path, closed: Closed = ()) -> dict[Stage, int]:
    """Working days that a case stood at each stage of the work, all its visits together."""
    found: dict[Stage, int] = {}
    for move, after in pairwise(path.moves):
        if move.to in AT_WORK:
            days = working_days_between(move.on, after.on, closed)
            found[move.to] = found.get(move.to, 0) + days
    return found


def days_of(paths: Iterable[Path], closed: Closed = ()) -> Days:
    """The turnaround of those that were accepted and dispatched."""
    return Days(tuple(days for path in paths if (days := turnaround(path, closed)) is not None))


def stages_of(paths: Iterable[Path], closed: Closed = ()) -> dict[Stage, Days]:
    """Days of each stage that any of the cases came through, in the order of the work."""
    told = [by_stage(path, closed) for path in paths]
    found = {stage: tuple(one[stage] for one in told if stage in one) for stage in AT_WORK}
    return {stage: Days(days) for stage, days in found.items() if days}
