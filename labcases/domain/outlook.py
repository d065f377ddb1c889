"""Whether the surgery day holds, how time can be won, and what going back costs: pure, on dates."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from labcases.domain import open_days
from labcases.domain.course import USUAL_HOUSES, Course, Houses, Standing, left, place
from labcases.domain.schedule import begun, forward, offsets
from labcases.enums import Stage
from labcases.enums.dates import Step, Work

EARLIEST = date(2000, 1, 1)
"""A day before every case: what holds on it has always held."""

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
    """When a case can be ready, by the usual days and by the least ones.

    Those who hurry wait for nothing: booked dates can be moved, and the dentist may decide for less
    healing. What is certain to be missed is so by the bench and the road alone.
    """
    rows = left(course, place(course, standing))
    since = begun(course, standing, today)

    def ready(hurried: Collection[Work] = ()) -> date:
        return forward(
            rows, since=since, today=today, houses=houses, hurried=hurried, not_before=not_before
        )[1]

    usual = ready()
    shortest = forward(rows, since=since, today=today, houses=houses, hurried=tuple(Work))[1]
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


# --- from which day on -------------------------------------------------------------------------


@dataclass(frozen=True)
class Turning:
    """From which days on the surgery day of a case does not hold, if it stands still.

    Attributes
    ----------
    short : date
        The first day from which the usual days come too late.
    missed : date
        The first day from which hurrying comes too late as well.
    """

    short: date
    missed: date


def turning(
    *,
    course: Course,
    standing: Standing,
    surgery_on: date,
    houses: Houses = USUAL_HOUSES,
    not_before: Mapping[Step, date] | None = None,
) -> Turning:
    """The days on which the outlook of a case turns, as long as it stands where it stands.

    What ``outlook`` says on a day follows from them, so that lists need not ask it each day.
    """
    rows = left(course, place(course, standing))
    # Before it stands where it stands, no day makes a difference.
    floor = begun(course, standing, EARLIEST)
    stands = floor != EARLIEST

    def ready(hurried: Collection[Work]) -> Callable[[date], date]:
        return lambda today: forward(
            rows,
            since=floor if stands else today,
            today=today,
            houses=houses,
            hurried=hurried,
            not_before=None if hurried else not_before,
        )[1]

    # Days on which the laboratory is closed after the surgery day take away no slack.
    after = open_days.open_from(surgery_on + timedelta(days=1), houses.laboratory)
    enough = after - timedelta(days=1)
    return Turning(
        _first_after(ready(()), enough, floor), _first_after(ready(tuple(Work)), surgery_on, floor)
    )


def _first_after(ready: Callable[[date], date], bound: date, floor: date) -> date:
    """The first day from which work is ready after a bound, or ``EARLIEST``.

    ``ready`` never goes back as days go on, never lies before the day that it is asked of, and is
    the same on all days up to ``floor``.
    """
    # Moving today moves the end by about as much, so the guess is a few days off at most.
    day = max(floor, bound - (ready(bound) - bound))
    low, high, step = floor, bound + timedelta(days=1), 1
    if ready(day) > bound:
        while day > floor and ready(day) > bound:
            high, day, step = day, max(floor, day - timedelta(days=step)), 2 * step
        if ready(day) > bound:
            return EARLIEST
        low = day
    else:
        while day < high and ready(day) <= bound:
            low, day, step = day, day + timedelta(days=step), 2 * step
        high = min(day, high)
    while (days := (high - low).days) > 1:
        day = low + timedelta(days=days // 2)
        low, high = (low, day) if ready(day) > bound else (day, high)
    return high


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
