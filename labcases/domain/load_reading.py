"""Reads what stands at a laboratory's bench in the next weeks, by a handful of questions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch, QuerySet

from labcases.domain import access, bench_done, bench_jobs, calendars, load
from labcases.domain.bench_jobs import Job, OfCase, Wanted
from labcases.domain.load import Bench, Day, Person
from labcases.domain.open_days import Calendar
from labcases.domain.planning import Planner
from labcases.domain.schedule import Latest
from labcases.enums import (
    AppointmentKind,
    AppointmentStatus,
    Route,
    SetUpOrder,
    Stage,
    TryInWish,
)
from labcases.enums.load import BenchJob
from labcases.models import (
    Appointment,
    BenchMinutes,
    BenchTask,
    Case,
    OfficeLink,
    Organisation,
    User,
)
from labcases.reference.load import look_ahead_days, usual_minutes

#: Stages in which a case has jobs ahead.
_STAGES = tuple(Stage)
AT_WORK = _STAGES[_STAGES.index(Stage.SENT) : _STAGES.index(Stage.RELEASED)]

_BOOKED = {AppointmentKind.RECORDS: Stage.JAW_RECORDS, AppointmentKind.TRY_IN: Stage.TRY_IN}


@dataclass(frozen=True)
class Load:
    """The bench of a laboratory: all jobs ahead, and each day that is looked at."""

    bench: Bench
    jobs: tuple[Job, ...]
    dates: tuple[date, ...]
    days: tuple[Day, ...]

    @property
    def over(self) -> int:
        return sum(day.over for day in self.days)


def calendar_of(laboratory: Organisation) -> Calendar:
    return calendars.calendar_of(laboratory)


def minutes_of(laboratory: Organisation) -> dict[BenchJob, int]:
    """Minutes of each job: the laboratory's own, else the middle of what is usual."""
    told = laboratory.job_minutes
    return {job: told.get(job.value) or one.middle for job, one in usual_minutes().items()}


def bench_people(laboratory: Organisation) -> list[User]:
    """Technicians and managers who work in a laboratory now, by name."""
    found = User.objects.filter(
        is_active=True,
        memberships__organisation=laboratory,
        memberships__active=True,
        memberships__role__in=access.BENCH_ROLES,
    )
    return list(found.distinct().order_by("full_name", "pk"))


def bench_of(laboratory: Organisation) -> Bench:
    rows = BenchMinutes.objects.filter(organisation=laboratory).values_list("user", "by_weekday")
    told = {user: {int(day): n for day, n in by_weekday.items()} for user, by_weekday in rows}
    people = bench_people(laboratory)
    return Bench(
        tuple(Person(one.pk, one.full_name, told.get(one.pk, {})) for one in people),
        calendar_of(laboratory),
    )


def read(laboratory: Organisation, today: date | None = None) -> Load:
    """The bench for three weeks from today on."""
    today = today or calendars.today_of(laboratory)
    bench = bench_of(laboratory)
    cases = Case.objects.filter(laboratory=laboratory, erased=False, restricted=False)
    jobs = _jobs(cases, laboratory, bench.calendar, today)
    dates = load.days_from(today, look_ahead_days())
    return Load(bench, tuple(jobs), tuple(dates), tuple(load.days_of(jobs, bench, dates)))


def jobs_of_case(case: Case, today: date | None = None) -> list[Job]:
    """The jobs that one case has ahead; none without a surgery day and on hold."""
    laboratory = case.laboratory
    today = today or calendars.today_of(laboratory)
    return _jobs(Case.objects.filter(pk=case.pk), laboratory, calendar_of(laboratory), today)


def _jobs(
    cases: QuerySet[Case], laboratory: Organisation, calendar: Calendar, today: date
) -> list[Job]:
    live = Appointment.objects.exclude(status=AppointmentStatus.DROPPED)
    rows = list(
        cases.filter(stage__in=AT_WORK, surgery_on__isnull=False, on_hold=False)
        .select_related("office", "laboratory", "patient")
        .prefetch_related(
            *("prescriptions", "try_ins", "bench_tasks"),
            Prefetch("appointments", live, "live_appointments"),
        )
        .order_by("surgery_on", "pk")
    )
    calendars.fetch(rows)
    bench_done.fetch(rows)
    road = dict(OfficeLink.objects.filter(laboratory=laboratory).values_list("office", "road_days"))
    usual = minutes_of(laboratory)
    planner = Planner(today)
    return [
        job
        for case in rows
        for job in bench_jobs.jobs_of(
            _of_case(case, road.get(case.office_id, calendars.ROAD_DAYS), planner.plan(case)),
            today=today,
            calendar=calendar,
            usual=usual,
        )
    ]


def _of_case(case: Case, road_days: int, plan: list[Latest]) -> OfCase:
    prescription = case.prescription
    no_try_in = prescription.try_in in (TryInWish.WAIVED, TryInWish.NOT_POSSIBLE)
    # The plan has a try-in behind the case also where none will take place.
    reached = any(row.step.stage == Stage.TRY_IN and row.reached for row in plan)
    return OfCase(
        case=case.pk,
        code=case.code,
        route=Route(prescription.route),
        order=SetUpOrder(prescription.set_up_order),
        stage=Stage(case.stage),
        plan=plan,
        tried_in=reached and not no_try_in,
        no_try_in=no_try_in,
        road_days=road_days,
        booked=_booked(case),
        done={
            job: calendars.day_in(case.laboratory, at) for job, at in bench_done.of(case).items()
        },
        wanted=_wanted(case.bench_tasks.all()),
    )


def _booked(case: Case) -> dict[Stage, date]:
    """The last booked day of each visit that the bench waits for."""
    found: dict[Stage, date] = {}
    for visit in getattr(case, "live_appointments", ()):
        stage = _BOOKED.get(AppointmentKind(visit.kind))
        if stage is None or visit.status != AppointmentStatus.BOOKED:
            continue
        found[stage] = max(found.get(stage, visit.on), visit.on)
    return found


def _wanted(rows: Iterable[BenchTask]) -> dict[BenchJob, Wanted]:
    return {
        BenchJob(row.job): Wanted(row.technician_id, row.planned_on, row.minutes) for row in rows
    }
