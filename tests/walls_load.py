"""Who gets what from the load of the bench, and a bench that holds too much on one day."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.utils import timezone

from labcases.domain import bench_minutes, calendars, load_reading
from labcases.domain.open_days import ahead, open_from
from labcases.models import BenchTask, Case, User

#: As in `tests/walls.py`.
TABLE = """
load:office                    GET    login     404    404 404 404 404 404 404     404
load:office                    POST   login     405    405 405 405 405 405 405     405
load:laboratory                GET    login     404    404 404 200 403 200 404     404
load:laboratory                POST   login     405    405 405 405 405 405 405     405
load_people:office             GET    login     404    404 404 404 404 404 404     404
load_people:office             POST   login     404    404 404 404 404 404 404     404
load_people:laboratory         GET    login     404    404 404 200 403 200 404     404
load_people:laboratory         POST   login     404    404 404 403 403 ok  404     404
load_jobs:office               GET    login     404    404 404 404 404 404 404     404
load_jobs:office               POST   login     404    404 404 404 404 404 404     404
load_jobs:laboratory           GET    login     404    404 404 200 403 200 404     404
load_jobs:laboratory           POST   login     404    404 404 403 403 ok  404     404
load_levelling:office          GET    login     404    404 404 404 404 404 404     404
load_levelling:office          POST   login     404    404 404 404 404 404 404     404
load_levelling:laboratory      GET    login     404    404 404 403 403 200 404     404
load_levelling:laboratory      POST   login     404    404 404 403 403 422 404     404
bench_job                      GET    login     404    403 403 200 403 200 404     404
bench_job                      POST   login     404    403 403 ok  403 ok  404     404
bench_job:unknown              GET    login     404    403 403 404 403 404 404     404
bench_job:unknown              POST   login     404    403 403 404 403 404 404     404
"""


def of_load(here: Any) -> dict[str, list[Any]]:
    """What these addresses of the two houses name."""
    return {
        f"{name}:{which}": [house.pk]
        for name in ("load", "load_people", "load_jobs", "load_levelling")
        for which, house in (("office", here.office), ("laboratory", here.laboratory))
    }


def too_full(case: Case, technician: User, manager: User) -> date:
    """A job on a day on which its technician has no minutes, and which can stand elsewhere."""
    calendar = calendars.calendar_of(case.laboratory)
    first = open_from(timezone.localdate(), calendar)
    ahead_of_it = load_reading.jobs_of_case(case)
    for job, days in zip(ahead_of_it[:2], (0, 3), strict=True):
        on = ahead(first, days, calendar)
        BenchTask.objects.create(case=case, job=job.job, technician=technician, planned_on=on)
    minutes = {day: 0 if day == first.isoweekday() else 400 for day in range(1, 8)}
    bench_minutes.save_people_minutes(
        laboratory=case.laboratory, minutes={technician.pk: minutes}, by=manager
    )
    return first
