"""Whether the surgery day holds, how time can be won, and what going back costs: pure, on dates."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from labcases.domain import open_days
from labcases.domain.course import USUAL_HOUSES, Course, Houses, Standing, left, place
from labcases.domain.schedule import begun, forward, offsets
from labcases.enums import Stage
from labcases.enums.dates import Step, Work

# --- whether the surgery day holds -------------------------------------------------------------


HOW: dict[Work, str] = {
    Work.IMPRESSION: "The impression is poured on the day on which it arrives",
    Work.TRAY: "The tray is made on the day on which the impression arrives",
    Work.MASTER_CAST: "Cast, base and rim in one day",
    Work.POSTERIOR: "The posterior teeth in two days",
    Work.PROCESSING: "A short cycle in place of one over night, where the material allows it",
    Work.ARRIVAL: "Arrival at the office the day before surgery",
    Work.ROAD: "A courier on the same day",
}
"""What is done when work is hurried (common practice, no source)."""


@dataclass(frozen=True)
class Lever:
    """A way to win time, and how many working days it wins."""

    work: Work
    wins_days: int

    @property
    def words(self) -> str:
        return HOW[self.work]


@dataclass(frozen=True)
class Outlook:
    """Whether the surgery day holds.

    Attributes
    ----------
    earliest : date
        The first day possible for the surgery by the usual days.
    slack_days : int
        Open days of the laboratory between that day and the surgery; negative when it lies after.
    shortest : date
        The first day possible when everybody hurries.
    missed : bool
        Even then it lies after the surgery day.
    levers : tuple of Lever
        Ways to win time, the one that wins most first.
    """

    earliest: date
    slack_days: int
    shortest: date
    missed: bool
    levers: tuple[Lever, ...]

    @property
    def short_days(self) -> int:
        """Working days that are missing by the usual days."""
        return max(0, -self.slack_days)

    @property
    def at_risk(self) -> bool:
        """By the usual days it comes too late, and by hurrying it may still hold."""
        return self.slack_days < 0 and not self.missed


def outlook(
    *,
    course: Course,
    standing: Standing,
    surgery_on: date,
    today: date,
    houses: Houses = USUAL_HOUSES,
    not_before: Mapping[Step, date] | None = None,
) -> Outlook:
    """When a case can be ready, by the usual days and by the least ones."""
    rows = left(course, place(course, standing))
    since = begun(course, standing, today)

    def ready(hurried: Collection[Work] = ()) -> date:
        return forward(
            rows, since=since, today=today, houses=houses, hurried=hurried, not_before=not_before
        )[1]

    usual, shortest = ready(), ready(tuple(Work))
    works = dict.fromkeys(work for _step, after in rows for work in after)
    levers = [
        Lever(work, won)
        for work in works
        if houses.days(work, (work,)) < houses.days(work)
        and (won := open_days.working_days_between(ready((work,)), usual, houses.laboratory)) > 0
    ]
    return Outlook(
        earliest=usual,
        slack_days=open_days.whole_days_between(usual, surgery_on, houses.laboratory),
        shortest=shortest,
        missed=shortest > surgery_on,
        levers=tuple(sorted(levers, key=lambda one: -one.wins_days)),
    )


# --- what going back costs ---------------------------------------------------------------------


def offset(course: Course, stage: Stage, houses: Houses = USUAL_HOUSES) -> int:
    """Working days before surgery on which a stage is entered at the latest.

    A stage without a row of its own is a step inside the one before it, and has that one's;
    before the case is sent it has the day of sending.
    """
    return offsets(course, houses)[place(course, Standing(stage))]


def lost_days(*, course: Course, at: Stage, to: Stage, houses: Houses = USUAL_HOUSES) -> int:
    """Working days of the plan that are done again when a case goes back; never negative.

    From the latest day of the one stage to the latest day of the other: work inside the
    present stage is not counted, since nobody says how far it had come.
    """
    return max(0, offset(course, to, houses) - offset(course, at, houses))


def earliest_surgery(
    *, course: Course, stage: Stage, today: date, houses: Houses = USUAL_HOUSES
) -> date:
    """The first day on which a case that enters a stage today can have its surgery."""
    rows = left(course, place(course, Standing(stage)))
    return forward(rows, since=today, today=today, houses=houses)[1]
