"""Minutes of work at the bench, day by day, beside what people have: pure functions.

Jobs of a person count against that person's minutes. Jobs of nobody count against what all people
together have left after their own, so that no minute stands over twice.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from labcases.domain.bench_jobs import Job
from labcases.domain.open_days import Calendar


@dataclass(frozen=True)
class Person:
    """Somebody at the bench, with minutes by ISO weekday; without any, none are entered."""

    key: int
    name: str
    minutes: Mapping[int, int]

    @property
    def entered(self) -> bool:
        return any(minutes > 0 for minutes in self.minutes.values())


@dataclass(frozen=True)
class Bench:
    """The people at a laboratory's bench, and when it is open."""

    people: tuple[Person, ...]
    calendar: Calendar

    def capacity(self, person: int, on: date) -> int | None:
        """Minutes of a person on a day, half on a half day; None where none are entered at all."""
        found = next((one for one in self.people if one.key == person and one.entered), None)
        if found is None:
            return None
        if not self.calendar.is_open(on):
            return 0
        minutes = found.minutes.get(on.isoweekday(), 0)
        # Minutes are entered by weekday: only a single half day is not in them yet.
        return minutes // 2 if on in self.calendar.half else minutes

    @property
    def entered(self) -> bool:
        """Whether anybody's minutes are."""
        return any(person.entered for person in self.people)


@dataclass(frozen=True)
class Cell:
    """Minutes of work on one day, of one person or of nobody yet, beside the minutes there are."""

    minutes: int
    capacity: int | None
    jobs: tuple[Job, ...] = ()

    @property
    def over(self) -> int:
        return 0 if self.capacity is None else max(0, self.minutes - self.capacity)

    @property
    def free(self) -> int:
        return 0 if self.capacity is None else max(0, self.capacity - self.minutes)


@dataclass(frozen=True)
class Day:
    """One day: a cell for each person in their order, and one for what nobody has yet."""

    on: date
    is_open: bool
    people: tuple[Cell, ...]
    nobody: Cell

    @property
    def over(self) -> int:
        return sum(cell.over for cell in (*self.people, self.nobody))


def days_from(first: date, count: int) -> list[date]:
    """So many calendar days, the first among them."""
    return [first + timedelta(days=n) for n in range(count)]


def days_of(jobs: Iterable[Job], bench: Bench, days: Sequence[date]) -> list[Day]:
    """The load of each of these days.

    A person who is not of this bench counts as nobody: the job is to be given to somebody else.
    """
    known = {person.key for person in bench.people}
    placed: dict[tuple[date, int | None], list[Job]] = defaultdict(list)
    for job in jobs:
        placed[job.on, job.technician if job.technician in known else None].append(job)

    def cell(on: date, who: int | None, capacity: int | None) -> Cell:
        held = tuple(placed.get((on, who), ()))
        return Cell(sum(job.minutes for job in held), capacity, held)

    found = []
    for on in days:
        people = tuple(cell(on, one.key, bench.capacity(one.key, on)) for one in bench.people)
        left = sum(one.free for one in people) if bench.entered else None
        found.append(Day(on, bench.calendar.is_open(on), people, cell(on, None, left)))
    return found


def total_over(jobs: Iterable[Job], bench: Bench, days: Sequence[date]) -> int:
    """Minutes over on all these days together."""
    return sum(day.over for day in days_of(jobs, bench, days))
