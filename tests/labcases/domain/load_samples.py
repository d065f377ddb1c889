"""Made-up benches for tests and for measuring: jobs of many cases, and people with minutes."""

from __future__ import annotations

import random
from datetime import date, timedelta

from labcases.domain.bench_jobs import Job
from labcases.domain.load import Bench, Person, days_from
from labcases.domain.open_days import Calendar
from labcases.enums.load import BenchJob

#: A Monday.
FIRST = date(2027, 3, 1)
MINUTES = {BenchJob.WAX_UP: 53, BenchJob.FLASKING: 90, BenchJob.REMOUNT: 45, BenchJob.FINISHING: 75}


def many_jobs(count: int, *, seed: int = 4) -> tuple[list[Job], Bench, list[date]]:
    """Cases of four jobs each with slack of up to eight days, for three people in three weeks."""
    draw = random.Random(seed)
    days = days_from(FIRST, 21)
    calendar = Calendar(closed=frozenset({FIRST + timedelta(days=9)}))
    open_days = [day for day in days if calendar.is_open(day)]
    jobs: list[Job] = []
    for case in range(count // 4):
        last = draw.randint(4, len(open_days) - 1)
        slack = draw.randint(0, min(8, last - 3))
        technician = draw.choice([None, None, 1, 2, 3])
        for step, (job, minutes) in enumerate(MINUTES.items()):
            latest = open_days[last - 3 + step]
            earliest = open_days[last - 3 + step - slack]
            jobs.append(
                Job(case, f"CASE{case}", job, minutes, earliest, latest, latest, technician)
            )
    people = tuple(
        Person(key, name, dict.fromkeys(range(1, 6), 330))
        for key, name in ((1, "Alma"), (2, "Benno"), (3, "Cleo"))
    )
    return jobs, Bench(people, calendar), days
