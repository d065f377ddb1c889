"""What lies between the opening of a case and its surgery, and how long each piece of it takes.

The plan is a chain of rows. Between two rows lies work, and each piece of work counts the open
days of those who do it: the bench those of the laboratory, the arrival those of the office, a box
on the road the days on which both are open. How many days a piece takes is common practice,
beside a commercial laboratory's published working-day calendar and a student clinic's appointment
reference, both seen in excerpts only; every house may have its own.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date

from labcases.domain import open_days
from labcases.domain.open_days import Calendar
from labcases.enums import Route, SetUpOrder, Stage
from labcases.enums.dates import FOR_A_TRAY, OFFICE_WORK, Step, Work

USUAL: dict[Work, int] = {
    Work.IMPRESSION: 1,
    Work.TRAY: 2,
    Work.MASTER_CAST: 2,
    Work.RECORDS: 0,
    Work.MOUNTING: 1,
    Work.POSTERIOR: 3,
    Work.TRY_IN: 0,
    Work.ANTERIOR: 1,
    Work.WAX: 1,
    Work.PROCESSING: 3,
    Work.ARRIVAL: 2,
    Work.ROAD: 1,
}
"""Working days of each piece of work."""

SHORTEST: dict[Work, int] = {
    **USUAL,
    Work.IMPRESSION: 0,
    Work.TRAY: 1,
    Work.MASTER_CAST: 1,
    Work.POSTERIOR: 2,
    Work.PROCESSING: 2,
    Work.ARRIVAL: 1,
    Work.ROAD: 0,
}
"""The least that each piece takes when everybody hurries (common practice, no source)."""

W = Work
_HEAD: dict[Step, tuple[Work, ...]] = {
    Step.PRIMARY: (W.ROAD,),
    Step.TRAY: (W.TRAY, W.ROAD),
    Step.SENT: (W.ROAD,),
    Step.MASTER_CAST: (W.MASTER_CAST, W.ROAD),
    Step.JAW_RECORDS: (W.RECORDS, W.ROAD),
    Step.MOUNTING: (W.MOUNTING,),
}
_TAIL: dict[Step, tuple[Work, ...]] = {
    Step.FINAL_WAX: (W.WAX,),
    Step.PROCESSING: (W.PROCESSING,),
    Step.DISPATCHED: (W.ROAD,),
    Step.RECEIVED: (W.ARRIVAL,),
}
_INTERIM_HEAD: dict[Step, tuple[Work, ...]] = {
    Step.SENT: (W.ROAD, W.IMPRESSION),
    Step.MASTER_CAST: _HEAD[Step.MASTER_CAST],
    Step.JAW_RECORDS: _HEAD[Step.JAW_RECORDS],
    Step.MOUNTING: _HEAD[Step.MOUNTING],
}

CHAIN: dict[tuple[Route, SetUpOrder], dict[Step, tuple[Work, ...]]] = {
    (Route.CONVENTIONAL, SetUpOrder.POSTERIOR_FIRST): {
        **_HEAD,
        Step.SET_UP: (W.POSTERIOR, W.ROAD),
        Step.TRY_IN: (W.TRY_IN, W.ROAD),
        Step.ANTERIOR: (W.ANTERIOR,),
        **_TAIL,
    },
    (Route.CONVENTIONAL, SetUpOrder.ANTERIOR_FIRST): {
        **_HEAD,
        Step.SET_UP: (W.ANTERIOR,),
        Step.POSTERIOR: (W.POSTERIOR, W.ROAD),
        Step.TRY_IN: (W.TRY_IN, W.ROAD),
        **_TAIL,
    },
    (Route.INTERIM, SetUpOrder.POSTERIOR_FIRST): {
        **_INTERIM_HEAD,
        Step.SET_UP: (W.POSTERIOR,),
        Step.ANTERIOR: (W.ANTERIOR,),
        **_TAIL,
    },
    (Route.INTERIM, SetUpOrder.ANTERIOR_FIRST): {
        **_INTERIM_HEAD,
        Step.SET_UP: (W.ANTERIOR,),
        Step.POSTERIOR: (W.POSTERIOR,),
        **_TAIL,
    },
}
"""The rows of the plan in order, each with what lies between it and the next one."""

_PLACE = {stage: place for place, stage in enumerate(Stage)}


@dataclass(frozen=True)
class Houses:
    """When the two houses of a case are open, and how long they take.

    ``own`` and ``office_own`` hold working days by the value of a piece of work, where a house
    said other ones than the usual.
    """

    laboratory: Calendar = field(default_factory=Calendar)
    office: Calendar = field(default_factory=Calendar)
    road_days: int = USUAL[Work.ROAD]
    own: Mapping[str, int] = field(default_factory=dict)
    office_own: Mapping[str, int] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    """What the laboratory calls a stage."""

    def days(self, work: Work, hurried: Collection[Work] = ()) -> int:
        """Working days of a piece of work; the least of those that are ``hurried``."""
        if work == Work.ROAD:
            usual = self.road_days
        else:
            own = self.office_own if work in OFFICE_WORK else self.own
            usual = own.get(work, USUAL[work])
        return min(usual, SHORTEST[work]) if work in hurried else usual

    def calendar(self, work: Work) -> Calendar:
        """Whose open days a piece of work counts; those of both for a box on the road."""
        if work == Work.ROAD:
            return self._both
        return self.office if work in OFFICE_WORK else self.laboratory

    @property
    def _both(self) -> Calendar:
        found: Calendar | None = self.__dict__.get("both_kept")
        if found is None:
            found = open_days.both(self.laboratory, self.office)
            object.__setattr__(self, "both_kept", found)
        return found


USUAL_HOUSES = Houses()
"""Monday to Friday, without a closed day, by the usual days."""


@dataclass(frozen=True)
class Course:
    """What lies before a case: its route, its set-up order, whether a try-in takes place."""

    route: Route
    order: SetUpOrder = SetUpOrder.POSTERIOR_FIRST
    try_in: bool = True

    @property
    def chain(self) -> dict[Step, tuple[Work, ...]]:
        """The rows of the plan, with the work after each; nothing travels to no try-in."""
        rows = CHAIN[self.route, self.order]
        if self.try_in or Step.TRY_IN not in rows:
            return rows
        found: dict[Step, tuple[Work, ...]] = {
            step: works for step, works in rows.items() if step != Step.TRY_IN
        }
        last = next(step for step, works in rows.items() if works[0] == Work.POSTERIOR)
        return {**found, last: (Work.POSTERIOR,)}


@dataclass(frozen=True)
class Standing:
    """Where a case stands, since when, and whether its try-in is behind it."""

    stage: Stage
    since: date | None = None
    tried: bool = False


# --- where a case stands -----------------------------------------------------------------------


def reached(step: Step, standing: Standing) -> bool:
    """Whether a row is behind a case.

    The front teeth are set after the try-in, so their row is behind once that is. While a tray is
    made, the impression in it is still to come.
    """
    here = _PLACE[standing.stage]
    tried = standing.tried and here >= _PLACE[Stage.SET_UP]
    if step == Step.PRIMARY:
        return here >= _PLACE[Stage.SENT]
    if step == Step.SENT and standing.stage == Stage.TRAY:
        return False
    if step == Step.POSTERIOR:
        return tried or here >= _PLACE[Stage.TRY_IN]
    if step == Step.ANTERIOR:
        return tried or here >= _PLACE[Stage.FINAL_WAX]
    if step == Step.TRY_IN and tried:
        return True
    return here >= _PLACE[Stage(step.value)]


def place(course: Course, standing: Standing) -> Step:
    """The row in which a case stands: the last one that it has reached.

    Before it is sent it stands in the row of sending.
    """
    if standing.stage == Stage.TRAY and Step.TRAY in course.chain:
        return Step.TRAY
    rows = [row for row in course.chain if row not in FOR_A_TRAY and reached(row, standing)]
    return rows[-1] if rows else Step.SENT


def left(course: Course, at: Step) -> list[tuple[Step, tuple[Work, ...]]]:
    """The rows from one on, with the work after each."""
    rows = list(course.chain.items())
    return rows[list(course.chain).index(at) :]
