"""Takes jobs out of days that hold too much: the fewest minutes over, then the fewest moves.

A job goes to another open day between the first on which it can begin and its latest one, and the
jobs of a case keep their order, a day each. A greedy start moves one job at a time; then an integer
program is solved (HiGHS through ``scipy.optimize.milp``) and the better of both is told, so that
the answer is never worse than the start, also when the time is up.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise

from labcases.domain import _levelling_greedy, _levelling_program
from labcases.domain.bench_jobs import Job, Key
from labcases.domain.load import Bench, days_of, total_over

TIME_LIMIT_S = 4.0
"""Seconds for the solver, both of its questions together."""


@dataclass(frozen=True)
class Move:
    """One job on another day."""

    job: Job
    """As it stood."""
    to: date


@dataclass(frozen=True)
class Over:
    """Minutes that remain over on a day, of one person or of nobody's jobs."""

    on: date
    who: str
    minutes: int


@dataclass(frozen=True)
class Levelling:
    """What would change, and what it would leave."""

    moves: tuple[Move, ...]
    before: int
    after: int
    greedy: int
    """Minutes over after the greedy start."""
    left: tuple[Over, ...]
    least: bool
    """Whether the solver showed that fewer minutes over are not possible."""

    @property
    def fits(self) -> bool:
        return self.after == 0


def level(
    jobs: Sequence[Job], bench: Bench, days: Sequence[date], *, time_limit_s: float = TIME_LIMIT_S
) -> Levelling:
    """Propose other days for jobs.

    Parameters
    ----------
    jobs : sequence of Job
        All jobs ahead; only those that stand on one of the days are moved, and only among them.
        Those of one case stand in their order.
    bench : Bench
        People with their minutes, and the open days.
    days : sequence of date
        The days that are looked at, in order.
    time_limit_s : float
        Seconds that the solver may take.
    """
    movable = [job for job in jobs if days[0] <= job.on <= days[-1]]
    before = total_over(movable, bench, days)
    if not before:
        return Levelling((), 0, 0, 0, (), least=True)
    options = {job.key: _options(job, bench, days) for job in movable}
    start = _levelling_greedy.start(movable, bench, days, options)
    solved = _levelling_program.solve(movable, bench, days, options, time_limit_s)
    best, cost = start, _cost(movable, start, bench, days)
    if solved.on is not None and (other := _cost(movable, solved.on, bench, days)) < cost:
        best, cost = solved.on, other
    moved = _placed(movable, best)
    return Levelling(
        moves=tuple(Move(job, best[job.key]) for job in movable if best[job.key] != job.on),
        before=before,
        after=cost[0],
        greedy=_cost(movable, start, bench, days)[0],
        left=tuple(_left(moved, bench, days)),
        least=cost[0] == 0 or (solved.least is not None and cost[0] <= solved.least),
    )


def _options(job: Job, bench: Bench, days: Sequence[date]) -> list[date]:
    """Days on which a job may stand; where it stands now is always one."""
    found = {
        day for day in days if job.earliest <= day <= job.latest and bench.calendar.is_open(day)
    }
    return sorted(found | {job.on})


Placing = Mapping[Key, date]


def _placed(jobs: Sequence[Job], on: Placing) -> list[Job]:
    return [replace(job, on=on[job.key]) for job in jobs]


def _cost(jobs: Sequence[Job], on: Placing, bench: Bench, days: Sequence[date]) -> tuple[int, int]:
    """Minutes over, then moves: counted anew, whoever placed the jobs."""
    over = total_over(_placed(jobs, on), bench, days)
    return over, sum(on[job.key] != job.on for job in jobs)


def _left(jobs: Sequence[Job], bench: Bench, days: Sequence[date]) -> list[Over]:
    found = []
    for day in days_of(jobs, bench, days):
        names = [*(person.name for person in bench.people), "nobody yet"]
        for name, cell in zip(names, (*day.people, day.nobody), strict=True):
            if cell.over:
                found.append(Over(day.on, name, cell.over))
    return found


def keeps_order(jobs: Sequence[Job], on: Placing) -> bool:
    """Whether the jobs of each case stand on different days, in the order in which they come."""
    of_case: dict[int, list[date]] = defaultdict(list)
    for job in jobs:
        of_case[job.case].append(on[job.key])
    return all(first < second for days in of_case.values() for first, second in pairwise(days))
