"""How likely a case is to be in time, from the days that finished cases took: pure functions.

The days of the stages ahead are taken as independent of each other: each is drawn from what
finished cases of the same laboratory took. Stages of one case hang together in truth (a difficult
case is slow throughout), so the figure is a guide; the page says so beside it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from labcases.enums import Stage

LEAST_CASES = 20
"""Finished cases under which nothing is said of a stage (common practice, no source)."""

MOST_SUMS = 200_000
"""Additions up to which all sums are counted out; beyond, they are drawn."""

DRAWS = 100_000
"""The standard error of a share of this many draws is 0.0016 at most."""

SEED = 20_270_312
"""Draws start from here, so that a page says the same each time that it is read."""

Durations = Mapping[Stage, Sequence[int]]
"""Whole working days that finished cases took from reaching a stage to reaching a later one."""


@dataclass(frozen=True)
class Chance:
    """What can be said of a case: a share of 0 to 1, or nothing where the cases are too few."""

    share: float | None
    cases: int
    """Finished cases behind the stage that has fewest."""

    @property
    def enough(self) -> bool:
        return self.share is not None

    @property
    def percent_words(self) -> str:
        """About 80 %; never 0 or 100, which no number of finished cases shows."""
        if self.share is None:
            return ""
        if self.share < 0.01:
            return "less than 1 %"
        if self.share > 0.99:
            return "more than 99 %"
        return f"about {100 * self.share:.0f} %"


def in_time(durations: Durations, days_left: int, *, least: int = LEAST_CASES) -> Chance:
    """The share of all sums of the stages ahead that are not above the days left.

    Parameters
    ----------
    durations : mapping of Stage to sequence of int
        Working days of finished cases, for each stage that the case has ahead.
    days_left : int
        Working days until the case has to be there; negative when that day is past.
    least : int
        Finished cases under which nothing is said.

    Returns
    -------
    Chance
        Counted out where the sums are few (``exact``), else drawn (``drawn``).
    """
    fewest = min((len(days) for days in durations.values()), default=0)
    if fewest < least:
        return Chance(None, fewest)
    stages = list(durations.values())
    counted = exact(stages, days_left)
    return Chance(drawn(stages, days_left) if counted is None else counted, fewest)


def exact(
    stages: Sequence[Sequence[int]], days_left: int, *, most_sums: int = MOST_SUMS
) -> float | None:
    """The share of all ways to take a duration of each stage whose sum is within the days left.

    Ways with one sum are counted together, stage by stage (a convolution in whole numbers), so
    that nothing is rounded before the last division.

    Parameters
    ----------
    stages : sequence of sequences of int
        The durations of each stage; none may be empty.
    days_left : int
        The largest sum that is in time.
    most_sums : int
        Additions that may be spent.

    Returns
    -------
    float or None
        None where it would take more additions.
    """
    sums: Counter[int] = Counter({0: 1})
    spent, all_ways = 0, 1
    for days in stages:
        told = Counter(days)
        spent += len(sums) * len(told)
        if spent > most_sums:
            return None
        after: Counter[int] = Counter()
        for total, ways in sums.items():
            for more, times in told.items():
                after[total + more] += ways * times
        sums, all_ways = after, all_ways * len(days)
    return sum(ways for total, ways in sums.items() if total <= days_left) / all_ways


def drawn(
    stages: Sequence[Sequence[int]], days_left: int, *, draws: int = DRAWS, seed: int = SEED
) -> float:
    """The same share by drawing a duration of each stage at random, always the same draws."""
    draw = np.random.default_rng(seed)
    total = np.zeros(draws, dtype=np.int64)
    for days in stages:
        total += draw.choice(np.asarray(days, dtype=np.int64), size=draws)
    return float(np.mean(total <= days_left))


def still_to_go(days: Iterable[int], stood: int) -> list[int]:
    """Days that a stage has left, of the finished cases that stood in it at least as long.

    A case that has stood somewhere for four days is none of those that had left after two.
    """
    return [one - stood for one in days if one >= stood]
