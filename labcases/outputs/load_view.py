"""The load of a bench as the page shows it: rows, words, and what a levelling would change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from labcases import codes
from labcases.domain.levelling import Levelling
from labcases.domain.load import Cell, Person
from labcases.domain.load_reading import Load
from labcases.templatetags.units import due_date, unbroken

NOBODY = "Nobody yet"


@dataclass(frozen=True)
class CellShown:
    """Minutes of a day beside the minutes there are, and in words whether it is too much."""

    who: str
    minutes: str
    over: str
    free: str


@dataclass(frozen=True)
class DayShown:
    on: date
    cells: tuple[CellShown, ...]
    over: int


@dataclass(frozen=True)
class JobShown:
    on: date
    case: str
    code: str
    job: str
    label: str
    who: str
    minutes: int
    earliest: date
    latest: date
    due: date | None
    """Its latest day of the plan where it is late."""

    @property
    def late(self) -> bool:
        return self.due is not None


def columns(load: Load) -> list[tuple[int, Person]]:
    """People with minutes or with a job in these weeks, and where they stand in a day."""
    return [
        (place, person)
        for place, person in enumerate(load.bench.people)
        if person.entered or any(day.people[place].minutes for day in load.days)
    ]


def days(load: Load) -> list[DayShown]:
    """Open days, and closed ones on which work stands all the same."""
    shown = columns(load)
    return [
        DayShown(
            day.on,
            (
                *(_cell(person.name, day.people[place]) for place, person in shown),
                _cell(NOBODY, day.nobody),
            ),
            day.over,
        )
        for day in load.days
        if day.is_open or day.over
    ]


def _cell(who: str, cell: Cell) -> CellShown:
    if cell.capacity is None:
        minutes = f"{cell.minutes} min"
    else:
        minutes = f"{cell.minutes} / {cell.capacity} min"
    over = f"over by {cell.over} min" if cell.over else ""
    free = f"{cell.free} min left" if cell.minutes and cell.free else ""
    return CellShown(who, minutes, over, free)


def jobs(load: Load) -> list[JobShown]:
    """The jobs of these weeks, day by day."""
    names = {person.key: person.name for person in load.bench.people}
    held = [job for job in load.jobs if load.dates[0] <= job.on <= load.dates[-1]]
    return [
        JobShown(
            on=job.on,
            case=job.code,
            code=codes.grouped(job.code),
            job=job.job.value,
            label=str(job.job.label),
            who=names.get(job.technician or 0, NOBODY),
            minutes=job.minutes,
            earliest=job.earliest,
            latest=job.latest,
            due=job.due,
        )
        for job in sorted(held, key=lambda one: (one.on, one.code))
    ]


def left_words(found: Levelling) -> list[str]:
    """Each day that stays too full, in words: "Fri 12-Mar-2027, Alma: 45 min remain over"."""
    return [
        f"{unbroken(due_date(one.on))}, {one.who}: {one.minutes} min remain over"
        for one in found.left
    ]


def sum_words(load: Load) -> str:
    """One sentence on all the days together."""
    if not load.bench.entered:
        return (
            "Nobody's minutes at the bench are entered yet, so no day is called too full. A "
            "manager enters them."
        )
    full = [day for day in load.days if day.over]
    if not full:
        return "No day is over."
    count = "1 day is" if len(full) == 1 else f"{len(full)} days are"
    return f"{count} over, by {load.over} min together."
