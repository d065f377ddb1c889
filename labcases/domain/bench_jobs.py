"""The jobs that a case has ahead at the bench, and between which days each falls: pure functions.

A job can begin when what it waits for is there, and has a latest day that follows from the plan
of the case (``domain/schedule.py``): the open day before the next stage begins, or before the box
leaves where the office comes next. Jobs of one case fall on different days in the order of the
work, since gypsum, wax and resin stand overnight in between (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from labcases.domain.open_days import Calendar, ahead, back, open_from
from labcases.domain.schedule import Latest
from labcases.enums import Route, SetUpOrder, Stage
from labcases.enums.load import BenchJob

Key = tuple[int, BenchJob]
"""A job of a case."""

_PLACE = {stage: place for place, stage in enumerate(Stage)}
_AFTER_TRY_IN = _PLACE[Stage.TRY_IN] + 0.5
"""A case stands in the set-up again then; in the order of the work it is further."""


@dataclass(frozen=True)
class Wanted:
    """What somebody entered about a job: who does it, on which day, and its own minutes."""

    technician: int | None = None
    on: date | None = None
    minutes: int | None = None


@dataclass(frozen=True)
class OfCase:
    """What of a case says which jobs it has ahead.

    ``booked`` are the days of appointments at the office that are still to come, by the stage
    that they belong to; ``road_days`` are open days that a box is on the road. ``done`` maps jobs
    that its own records say are done to the day of that.
    """

    case: int
    code: str
    route: Route
    order: SetUpOrder
    stage: Stage
    plan: Sequence[Latest]
    tried_in: bool = False
    no_try_in: bool = False
    road_days: int = 1
    booked: Mapping[Stage, date] = field(default_factory=dict)
    done: Mapping[BenchJob, date] = field(default_factory=dict)
    wanted: Mapping[BenchJob, Wanted] = field(default_factory=dict)


@dataclass(frozen=True)
class Job:
    """One job of one case, from the first day on which it can begin to its latest day."""

    case: int
    code: str
    job: BenchJob
    minutes: int
    earliest: date
    latest: date
    on: date
    """The day that it stands on: as entered, else its latest."""
    technician: int | None = None
    due: date | None = None
    """Its latest day of the plan where it can only begin after that; it then stands on the first
    day it can."""

    @property
    def late(self) -> bool:
        return self.due is not None

    @property
    def key(self) -> Key:
        return self.case, self.job


@dataclass(frozen=True)
class _Row:
    """A job in the chain of a case: where the case stands then, and what comes next."""

    job: BenchJob
    place: float
    until: Stage
    road: bool = False
    waits_for: Stage | None = None
    """What happens at the office right before it."""


def _chain(of: OfCase) -> list[_Row]:
    tried = of.route == Route.CONVENTIONAL and not of.no_try_in
    teeth = [BenchJob.POSTERIOR, BenchJob.ANTERIOR]
    if of.order == SetUpOrder.ANTERIOR_FIRST:
        teeth.reverse()
    set_up = _PLACE[Stage.SET_UP]
    if not tried:
        rows = [_Row(job, set_up, Stage.FINAL_WAX) for job in teeth]
    elif of.order == SetUpOrder.ANTERIOR_FIRST:
        rows = [_Row(job, set_up, Stage.TRY_IN, road=True) for job in teeth]
    else:
        rows = [
            _Row(BenchJob.POSTERIOR, set_up, Stage.TRY_IN, road=True),
            _Row(BenchJob.ANTERIOR, _AFTER_TRY_IN, Stage.FINAL_WAX, waits_for=Stage.TRY_IN),
        ]
    both_before = tried and of.order == SetUpOrder.ANTERIOR_FIRST
    tray = [_Row(BenchJob.TRAY, _PLACE[Stage.TRAY], Stage.MASTER_CAST)]
    return [
        *(tray if of.route == Route.INTERIM or of.stage == Stage.TRAY else []),
        _Row(BenchJob.CAST, _PLACE[Stage.MASTER_CAST], Stage.JAW_RECORDS, road=True),
        _Row(
            *(BenchJob.MOUNTING, _PLACE[Stage.MOUNTING], Stage.SET_UP),
            waits_for=Stage.JAW_RECORDS,
        ),
        *rows,
        _Row(
            *(BenchJob.WAX_UP, _PLACE[Stage.FINAL_WAX], Stage.PROCESSING),
            waits_for=Stage.TRY_IN if both_before else None,
        ),
        _Row(BenchJob.FLASKING, _PLACE[Stage.PROCESSING], Stage.DISPATCHED),
        _Row(BenchJob.REMOUNT, _PLACE[Stage.REMOUNT], Stage.DISPATCHED),
        _Row(BenchJob.FINISHING, _PLACE[Stage.FINISHING], Stage.DISPATCHED),
    ]


def jobs_of(
    of: OfCase, *, today: date, calendar: Calendar, usual: Mapping[BenchJob, int]
) -> list[Job]:
    """The jobs that a case has ahead, in the order of the work, each on the day it stands on.

    Parameters
    ----------
    of : OfCase
        The case; without a plan it has no jobs.
    today : date
        No job begins before.
    calendar : Calendar
        When the laboratory is open; jobs fall on its open days alone, a half day as any other.
    usual : mapping of BenchJob to int
        Minutes of each job in this laboratory.
    """
    if not of.plan or of.stage == Stage.DRAFT:
        return []
    calendar = calendar.whole()
    here: float = _PLACE[of.stage]
    if of.tried_in and of.stage == Stage.SET_UP and of.route == Route.CONVENTIONAL:
        here = _AFTER_TRY_IN
    rows = [row for row in _chain(of) if here <= row.place and row.job not in of.done]
    first = _first_days(of, rows, here, today, calendar)
    last = _last_days(of, rows, calendar)
    found = [
        Job(
            case=of.case,
            code=of.code,
            job=row.job,
            minutes=entered.minutes or usual[row.job],
            earliest=begins,
            latest=max(begins, ends),
            on=_wished(entered.on, begins, max(begins, ends), calendar),
            technician=entered.technician,
            due=ends if ends < begins else None,
        )
        for row, begins, ends in zip(rows, first, last, strict=True)
        for entered in [of.wanted.get(row.job, Wanted())]
    ]
    return in_order(found, calendar)


def in_order(jobs: Sequence[Job], calendar: Calendar) -> list[Job]:
    """The same jobs of one case, each moved before the next one where it did not stand there."""
    found: list[Job] = []
    days = calendar.whole()
    for job in reversed(jobs):
        on = min(job.on, back(found[-1].on, 1, days)) if found else job.on
        found.append(replace(job, on=on))
    return found[::-1]


def _first_days(
    of: OfCase, rows: Sequence[_Row], here: float, today: date, calendar: Calendar
) -> list[date]:
    found: list[date] = []
    # What was done today stands overnight before the next job, as between jobs that are ahead.
    rested = max((ahead(day, 1, calendar) for day in of.done.values()), default=today)
    for row in rows:
        day = open_from(max(today, rested), calendar)
        if not found and of.stage == Stage.SENT:
            day = _after_road(today, of, calendar)
        if row.waits_for is not None and here <= _PLACE[row.waits_for]:
            away = of.booked.get(row.waits_for, _latest(of, row.waits_for))
            day = _after_road(max(away, today), of, calendar)
        found.append(max(day, ahead(found[-1], 1, calendar)) if found else day)
    return found


def _last_days(of: OfCase, rows: Sequence[_Row], calendar: Calendar) -> list[date]:
    found: list[date] = []
    for row in reversed(rows):
        days = 1 + (of.road_days if row.road else 0)
        day = back(_latest(of, row.until), days, calendar)
        found.append(min(day, back(found[-1], 1, calendar)) if found else day)
    return found[::-1]


def _latest(of: OfCase, stage: Stage) -> date:
    """The latest day of a stage; of one without a day of its own, that of the next one."""
    rows = [(row.step.stage, row.on) for row in of.plan if not row.optional]
    entered = [(_PLACE[enters], on) for enters, on in rows if enters]
    return next((on for place, on in entered if place >= _PLACE[stage]), entered[-1][1])


def _after_road(day: date, of: OfCase, calendar: Calendar) -> date:
    return open_from(ahead(day, of.road_days, calendar), calendar)


def _wished(on: date | None, first: date, last: date, calendar: Calendar) -> date:
    """The day that somebody entered as far as it is possible, else the last one."""
    if on is None or on >= last:
        return last
    return max(first, on if calendar.is_open(on) else back(on, 1, calendar))
