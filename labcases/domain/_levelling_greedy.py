"""The start of a levelling: one job at a time to the day that takes most minutes over away."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date

from labcases.domain.bench_jobs import Job, Key
from labcases.domain.load import Bench


class Minutes:
    """Minutes placed on each day for each person, and how many of a day are over."""

    def __init__(self, jobs: Sequence[Job], bench: Bench, days: Sequence[date]) -> None:
        self.known = {person.key for person in bench.people}
        self.capacity = {
            day: {one.key: bench.capacity(one.key, day) for one in bench.people} for day in days
        }
        self.entered = bench.entered
        self.held: dict[date, dict[int | None, int]] = {day: defaultdict(int) for day in days}
        for job in jobs:
            self.put(job, job.on, 1)

    def who(self, job: Job) -> int | None:
        return job.technician if job.technician in self.known else None

    def put(self, job: Job, on: date, times: int) -> None:
        self.held[on][self.who(job)] += times * job.minutes

    def over(self, on: date) -> int:
        if not self.entered:
            return 0
        over, free = 0, 0
        for key, capacity in self.capacity[on].items():
            if capacity is not None:
                held = self.held[on][key]
                over += max(0, held - capacity)
                free += max(0, capacity - held)
        return over + max(0, self.held[on][None] - free)


def start(
    jobs: Sequence[Job], bench: Bench, days: Sequence[date], options: Mapping[Key, list[date]]
) -> dict[Key, date]:
    """Day of each job after moving one at a time, for as long as that takes minutes over away."""
    on: dict[Key, date] = {job.key: job.on for job in jobs}
    neighbours = _neighbours(jobs)
    minutes = Minutes(jobs, bench, days)
    while True:
        best: tuple[int, Job, date] | None = None
        for job in jobs:
            here = on[job.key]
            if not minutes.over(here):
                continue
            before, after = neighbours[job.key]
            for day in options[job.key]:
                if (before and day <= on[before]) or (after and day >= on[after]) or day == here:
                    continue
                gain = _gain(minutes, job, here, day)
                if gain > (best[0] if best else 0):
                    best = gain, job, day
        if best is None:
            return on
        _gained, job, day = best
        minutes.put(job, on[job.key], -1)
        minutes.put(job, day, 1)
        on[job.key] = day


def _gain(minutes: Minutes, job: Job, here: date, day: date) -> int:
    """Minutes over that go when a job goes from one day to another."""
    before = minutes.over(here) + minutes.over(day)
    minutes.put(job, here, -1)
    minutes.put(job, day, 1)
    after = minutes.over(here) + minutes.over(day)
    minutes.put(job, day, -1)
    minutes.put(job, here, 1)
    return before - after


def _neighbours(jobs: Sequence[Job]) -> dict[Key, tuple[Key | None, Key | None]]:
    """The job of the same case before and after each."""
    chains: dict[int, list[Key]] = defaultdict(list)
    for job in jobs:
        chains[job.case].append(job.key)
    return {
        key: (
            chain[place - 1] if place else None,
            chain[place + 1] if place + 1 < len(chain) else None,
        )
        for chain in chains.values()
        for place, key in enumerate(chain)
    }
