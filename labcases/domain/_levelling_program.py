"""The levelling as an integer program, for HiGHS through ``scipy.optimize.milp``.

A variable of 0 or 1 says that a job stands on a day; one a person and day, and one a day for what
nobody has, hold the minutes over. First their sum is made least, then, at that sum, the moves.
"""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import ceil
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from labcases.domain.bench_jobs import Job, Key
from labcases.domain.load import Bench


@dataclass(frozen=True)
class Solved:
    """The day of each job, if one placing was found; and minutes over that no placing is below."""

    on: dict[Key, date] | None
    least: int | None


class _Program:
    """Rows of the program: how the variables are counted, and what binds them."""

    def __init__(
        self, jobs: Sequence[Job], bench: Bench, days: Sequence[date], options: Mapping[Key, Any]
    ) -> None:
        self.jobs = jobs
        self.places = [(job, day) for job in jobs for day in options[job.key]]
        self.column = {(job.key, day): at for at, (job, day) in enumerate(self.places)}
        self.people = [person.key for person in bench.people if person.entered]
        first = len(self.places)
        self.over = {
            (who, day): first + at
            for at, (who, day) in enumerate(
                (who, day) for day in days for who in (*self.people, None)
            )
        }
        self.columns = first + len(self.over)
        self._entries: list[tuple[int, int, float]] = []
        self._low: list[float] = []
        self._high: list[float] = []
        self._once(options)
        self._order(options)
        self._minutes(bench, days)

    def row(self, entries: Sequence[tuple[int, float]], low: float, high: float) -> None:
        at = len(self._low)
        self._entries += [(at, column, value) for column, value in entries]
        self._low.append(low)
        self._high.append(high)

    def _once(self, options: Mapping[Key, Sequence[date]]) -> None:
        for job in self.jobs:
            self.row([(self.column[job.key, day], 1.0) for day in options[job.key]], 1, 1)

    def _order(self, options: Mapping[Key, Sequence[date]]) -> None:
        """Of a case, the next job stands by a day only where the one before stood by an earlier."""
        chains: dict[int, list[Key]] = defaultdict(list)
        for job in self.jobs:
            chains[job.case].append(job.key)
        for chain in chains.values():
            for first, second in pairwise(chain):
                for day in options[second]:
                    later = [(self.column[second, d], 1.0) for d in options[second] if d <= day]
                    sooner = [(self.column[first, d], -1.0) for d in options[first] if d < day]
                    self.row([*later, *sooner], -np.inf, 0)

    def _minutes(self, bench: Bench, days: Sequence[date]) -> None:
        """Over is work above capacity; for nobody's work, above what all people have left."""
        known = {person.key for person in bench.people}
        work: dict[tuple[int | None, date], list[tuple[int, float]]] = defaultdict(list)
        for at, (job, day) in enumerate(self.places):
            work[job.technician if job.technician in known else None, day].append((at, job.minutes))
        for day in days:
            all_work, all_capacity = list(work[None, day]), 0
            for who in self.people:
                capacity = bench.capacity(who, day) or 0
                over = [(self.over[who, day], -1.0)]
                self.row([*work[who, day], *over], -np.inf, capacity)
                all_work += [*work[who, day], *over]
                all_capacity += capacity
            self.row([*all_work, (self.over[None, day], -1.0)], -np.inf, all_capacity)

    def ask(self, cost: np.ndarray[Any, Any], time_limit_s: float) -> Any:
        rows, columns, values = zip(*self._entries, strict=True)
        matrix = coo_array((values, (rows, columns)), shape=(len(self._low), self.columns))
        upper = np.full(self.columns, np.inf)
        upper[: len(self.places)] = 1
        whole = np.zeros(self.columns, dtype=np.int64)
        whole[: len(self.places)] = 1
        return milp(
            cost,
            integrality=whole,
            bounds=Bounds(np.zeros(self.columns), upper),
            constraints=LinearConstraint(matrix.tocsr(), self._low, self._high),
            options={"time_limit": max(0.1, time_limit_s), "mip_rel_gap": 0.0},
        )

    def read(self, found: Any) -> dict[Key, date] | None:
        if found.x is None:
            return None
        chosen = [at for at in range(len(self.places)) if found.x[at] > 0.5]
        return {self.places[at][0].key: self.places[at][1] for at in chosen}


def solve(
    jobs: Sequence[Job],
    bench: Bench,
    days: Sequence[date],
    options: Mapping[Key, Sequence[date]],
    time_limit_s: float,
) -> Solved:
    """Ask for the least minutes over, then for the fewest moves at that many.

    Returns
    -------
    Solved
        Without days where the time was up before any placing was found; the second question
        changes only the moves, so what the first one found stands when its time is up.
    """
    began = time.monotonic()
    program = _Program(jobs, bench, days, options)
    minutes = np.zeros(program.columns)
    minutes[len(program.places) :] = 1
    first = program.ask(minutes, time_limit_s * 0.6)
    on = program.read(first)
    bound = getattr(first, "mip_dual_bound", None)
    least = None if bound is None or not np.isfinite(bound) else ceil(bound - 1e-6)
    if on is None:
        return Solved(None, least)
    over = float(np.round(first.fun))
    program.row([(column, 1.0) for column in program.over.values()], -np.inf, over + 1e-6)
    moves = np.zeros(program.columns)
    for at, (job, day) in enumerate(program.places):
        moves[at] = float(day != job.on)
    second = program.ask(moves, time_limit_s - (time.monotonic() - began))
    return Solved(program.read(second) or on, least)
