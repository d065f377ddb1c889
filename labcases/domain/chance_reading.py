"""What finished cases of a laboratory took, stage by stage, and what it says of an open one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from django.utils import timezone

from labcases.domain import calendars, chance, quality_reading, queries
from labcases.domain.chance import LEAST_CASES, Chance
from labcases.domain.open_days import Closed, working_days_between
from labcases.domain.quality import Move, Path
from labcases.enums import Route, Stage
from labcases.enums.dates import Step
from labcases.models import Case, Organisation, Prescription

LOOK_BACK = timedelta(days=730)
"""Two years: older work says little of the people who do it now (common practice, no source)."""

_PLACE = {stage: place for place, stage in enumerate(Stage)}

#: From the day of sending up to the arrival at the office.
ON_THE_WAY = tuple(
    stage for stage in Stage if _PLACE[Stage.SENT] <= _PLACE[stage] < _PLACE[Stage.RECEIVED]
)


@dataclass(frozen=True)
class Told:
    """What the page of the dates says of one case."""

    chance: Chance
    due_on: date
    """The last day of the plan for the denture to be at the office."""
    if_sent_today: bool
    least: int = LEAST_CASES


def of_case(case: Case, today: date | None = None) -> Told | None:
    """How likely a case is to be at the office in time.

    Returns
    -------
    Told or None
        None without a surgery day, on hold, and once the denture is at the office.
    """
    today = today or timezone.localdate()
    stage = Stage(case.stage)
    due = next((row.on for row in queries.plan_of(case, today) if row.step == Step.RECEIVED), None)
    if due is None or stage not in (Stage.DRAFT, *ON_THE_WAY):
        return None
    calendar = calendars.calendar_of(case.laboratory).whole()
    here = Move(today, Stage.SENT)
    if stage != Stage.DRAFT:
        here = present(
            quality_reading.way_of(case), Move(timezone.localdate(case.stage_since), stage)
        )
    found = durations(case.laboratory, Route(case.prescription.route), here.to, until=today)
    stood = working_days_between(here.on, today, calendar)
    if here.to in found:
        found[here.to] = chance.still_to_go(found[here.to], stood)
    left = working_days_between(today, due, calendar)
    return Told(chance.in_time(found, left), due, stage == Stage.DRAFT)


def durations(
    laboratory: Organisation, route: Route, since_stage: Stage, *, until: date
) -> dict[Stage, list[int]]:
    """Working days of each stage ahead, of the finished cases of a route in the last two years.

    Of the stage where a case stands, only of cases that came to it; a later stage that a case
    left out took it no day.
    """
    paths = quality_reading.ways(laboratory, until - LOOK_BACK, until, None)
    routes = _routes(path.case for path in paths)
    # A half day for a whole one, so that the days of the stages add up.
    calendar = calendars.calendar_of(laboratory).whole()
    took = [
        one
        for path in paths
        if routes.get(path.case) == route and (one := took_of(path, calendar)) is not None
    ]
    ahead = [stage for stage in ON_THE_WAY if _PLACE[stage] > _PLACE[since_stage]]
    return {
        since_stage: [one[since_stage] for one in took if since_stage in one],
        **{stage: [one.get(stage, 0) for one in took] for stage in ahead},
    }


def took_of(path: Path, closed: Closed = ()) -> dict[Stage, int] | None:
    """Working days from reaching each stage to reaching a later one; ways back count with it.

    They add up to the days from the sending to the arrival. None for a case that did not arrive.
    """
    reached: list[Move] = []
    for move in path.moves:
        if not reached or _PLACE[move.to] > _PLACE[reached[-1].to]:
            reached.append(move)
        if move.to == Stage.RECEIVED:
            break
    if not reached or (reached[0].to, reached[-1].to) != (Stage.SENT, Stage.RECEIVED):
        return None
    return {
        here.to: working_days_between(here.on, after.on, closed)
        for here, after in pairwise(reached)
    }


def present(path: Path, stands: Move) -> Move:
    """The stage that a case has reached, and when.

    After a try-in a case stands in the set-up again, for its front teeth: that is time of the
    try-in. A case that went back in any other way has everything ahead of it once more.
    """
    before = [move for move in path.moves if move.to != Stage.SET_UP]
    if stands.to == Stage.SET_UP and before and before[-1].to == Stage.TRY_IN:
        return before[-1]
    return stands


def _routes(keys: Iterable[int]) -> dict[int, str]:
    """The route of each case by its last revision."""
    rows = Prescription.objects.filter(case__in=list(keys)).order_by("revision")
    return dict(rows.values_list("case", "route"))
