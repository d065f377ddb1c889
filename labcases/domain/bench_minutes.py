"""Minutes that jobs take and people have at the bench of a laboratory, and who enters them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from labcases.domain import access, house_history, load_reading
from labcases.enums.load import BenchJob
from labcases.models import BenchMinutes, Organisation, User
from labcases.models.load import LONGEST_JOB_MINUTES

READ, KEEP = "read the bench load", "keep the bench load"
MOST_MINUTES_A_DAY = 720


def may_read(user: User, laboratory: Organisation) -> bool:
    return laboratory.is_laboratory and access.may_in(user, READ, laboratory)


def may_keep(user: User, laboratory: Organisation) -> bool:
    return laboratory.is_laboratory and access.may_in(user, KEEP, laboratory)


def save_job_minutes(*, laboratory: Organisation, minutes: Mapping[str, int], by: User) -> bool:
    """Store a laboratory's own minutes of jobs; a job that is not named has the usual ones.

    Returns
    -------
    bool
        Whether anything changed.

    Raises
    ------
    ValueError
        A job would take no minute, or more than a day.
    """
    for key, number in minutes.items():
        if not 1 <= number <= LONGEST_JOB_MINUTES:
            raise ValueError(f"{BenchJob(key).label} takes 1 to {LONGEST_JOB_MINUTES} minutes.")
    return house_history.save_keyed(
        row=laboratory,
        after={"job_minutes": dict(minutes)},
        words={"job_minutes": "minutes of {}"},
        part="bench load",
        by=by,
    )


def save_people_minutes(
    *, laboratory: Organisation, minutes: Mapping[int, Mapping[int, int]], by: User
) -> bool:
    """Store what each person has for the bench on each weekday.

    ``minutes`` maps the key of a person of the bench to minutes by ISO weekday; 0 is the same as
    nothing.

    Raises
    ------
    ValueError
        Somebody is not of this bench, or would work more than twelve hours.
    """
    people = {user.pk: user for user in load_reading.bench_people(laboratory)}
    changes: dict[str, list[Any]] = {}
    with transaction.atomic():
        Organisation.objects.select_for_update().get(pk=laboratory.pk)
        rows = {row.user_id: row for row in BenchMinutes.objects.filter(organisation=laboratory)}
        for key, told in minutes.items():
            if key not in people:
                raise ValueError("Only people of this bench have minutes there.")
            if any(not 0 <= number <= MOST_MINUTES_A_DAY for number in told.values()):
                raise ValueError(f"A day at the bench has 0 to {MOST_MINUTES_A_DAY} minutes.")
            row = rows.get(key) or BenchMinutes(organisation=laboratory, user=people[key])
            wanted = {str(day): number for day, number in sorted(told.items()) if number}
            if wanted == row.by_weekday:
                continue
            changes[f"minutes of {people[key]}"] = [
                _week_words(row.by_weekday),
                _week_words(wanted),
            ]
            row.by_weekday = wanted
            row.save()
        if changes:
            house_history.enter(
                organisation=laboratory, by=by, act="changed", part="bench load", changes=changes
            )
    return bool(changes)


_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def _week_words(by_weekday: Mapping[str, int]) -> str:
    return ", ".join(f"{_DAYS[int(day) - 1]} {number}" for day, number in by_weekday.items())
