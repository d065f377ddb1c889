"""Minutes of jobs and people at a laboratory's bench, and who does which job of a case when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from labcases import codes
from labcases.domain import history, levelling, load_reading, versions
from labcases.domain.bench_jobs import Job, Key
from labcases.domain.load_reading import Load
from labcases.enums.load import BenchJob
from labcases.models import BenchTask, Case, Organisation, User
from labcases.models.load import LONGEST_JOB_MINUTES
from labcases.templatetags.units import long_date

PART = "bench plan"


class Changed(Exception):
    """What was proposed no longer fits; the text says what to do."""


# --- jobs of a case ------------------------------------------------------------------------------


@dataclass(frozen=True)
class Own:
    """A job of one case as its page shows it: where it may stand, and what is entered of it."""

    job: Job | None
    """None where the job is behind the case, or the case has no surgery day."""
    row: BenchTask | None
    usual: int


def own(case: Case, which: BenchJob) -> Own:
    jobs = {job.job: job for job in load_reading.jobs_of_case(case)}
    row = BenchTask.objects.filter(case=case, job=which).select_related("technician").first()
    minutes = load_reading.minutes_of(case.laboratory)[which]
    return Own(jobs.get(which), row, minutes)


def save_task(
    *,
    case: Case,
    which: BenchJob,
    version: int,
    by: User,
    technician: User | None,
    planned_on: date | None,
    minutes: int | None,
) -> BenchTask:
    """Say who does a job of a case, on which day and in how many minutes; each may be left open.

    Raises
    ------
    ValueError
        The job is not ahead, the day is not possible, or the person is not of this bench.
    EditConflict
        Somebody else saved first.
    """
    now = own(case, which)
    job = now.job
    if job is None:
        raise ValueError(
            f"{which.label} is not ahead of this case any more. Look at the load of the bench."
        )
    stored = now.row.planned_on if now.row else None
    if planned_on is not None and planned_on != stored:
        _refuse_day(case, job, planned_on)
    if technician is not None and technician not in load_reading.bench_people(case.laboratory):
        raise ValueError("Choose somebody who works at this bench.")
    if minutes is not None and not 1 <= minutes <= LONGEST_JOB_MINUTES:
        raise ValueError(f"A job takes 1 to {LONGEST_JOB_MINUTES} minutes.")
    if now.row is None and (technician, planned_on, minutes) == (None, None, None):
        return BenchTask(case=case, job=which)
    return versions.save_row(
        row=now.row or BenchTask(case=case, job=which),
        version=version,
        by=by,
        case=case,
        part=PART,
        values={"technician": technician, "planned_on": planned_on, "minutes": minutes},
    )


def _refuse_day(case: Case, job: Job, on: date) -> None:
    if not job.earliest <= on <= job.latest:
        raise ValueError(
            f"{job.job.label} can stand from {long_date(job.earliest)} to {long_date(job.latest)}. "
            "Choose a day then, or leave it empty for the latest."
        )
    if not load_reading.calendar_of(case.laboratory).is_open(on):
        raise ValueError(f"{case.laboratory} is closed on {long_date(on)}. Choose an open day.")


# --- levelling -----------------------------------------------------------------------------------


def propose(load: Load) -> levelling.Levelling:
    """Other days for jobs of the next three weeks, so that least is over."""
    return levelling.level(load.jobs, load.bench, load.dates)


@dataclass(frozen=True)
class Wish:
    """One job of a case to another day, as a manager saw it proposed."""

    code: str
    which: BenchJob
    on: date


def take_over(*, laboratory: Organisation, wishes: Sequence[Wish], by: User) -> int:
    """Give jobs the days that were proposed, all or none; the latest days of the plan stay.

    Returns
    -------
    int
        How many jobs stand on another day now.

    Raises
    ------
    Changed
        A case has moved on, a day is no longer possible, or jobs would stand out of order.
    """
    with history.turns([laboratory.pk]):
        load = load_reading.read(laboratory)
        jobs = {(job.code, job.job): job for job in load.jobs}
        to: dict[Key, date] = {}
        for wish in wishes:
            job = jobs.get((wish.code, wish.which))
            fits = job is not None and job.earliest <= wish.on <= job.latest
            if job is None or not fits or not load.bench.calendar.is_open(wish.on):
                raise Changed(
                    f"{wish.which.label} of case {codes.grouped(wish.code)} can no longer stand on "
                    f"{long_date(wish.on)}. Propose a levelling again."
                )
            to[job.key] = wish.on
        cases = {key[0] for key in to}
        touched = [job for job in load.jobs if job.case in cases]
        if not levelling.keeps_order(touched, {j.key: to.get(j.key, j.on) for j in touched}):
            raise Changed("The jobs of a case would stand out of order. Propose a levelling again.")
        _write(touched, to, by)
    return len(to)


def _write(jobs: Iterable[Job], to: Mapping[Key, date], by: User) -> None:
    moved = [job for job in jobs if job.key in to]
    cases = Case.objects.in_bulk({job.case for job in moved})
    rows = {(row.case_id, row.job): row for row in BenchTask.objects.filter(case__in=list(cases))}
    for job in moved:
        row = rows.get((job.case, job.job)) or BenchTask(case=cases[job.case], job=job.job)
        versions.save_row(
            row=row,
            version=row.version,
            by=by,
            case=cases[job.case],
            part=PART,
            act="levelled",
            values={"planned_on": to[job.key]},
        )
