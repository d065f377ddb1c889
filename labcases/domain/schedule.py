"""Latest dates worked back from the surgery day: pure functions on dates.

Working days are counted by ``domain/open_days.py``.
Offsets are common practice; the two laboratory calendars behind them are a
commercial laboratory's published working-day calendar and a student clinic's
appointment reference, both seen in excerpts only.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from labcases.domain.open_days import Closed, ahead, back, working_days_between
from labcases.enums import Route, Stage

HEALING_DAYS = 42
"""Days from the posterior extractions to the records; 6 to 8 weeks is the textbook figure."""

# Latest day on which a case may ENTER a stage, in working days before surgery.
LATEST: dict[Route, dict[Stage, int]] = {
    Route.CONVENTIONAL: {
        Stage.SENT: 19,
        Stage.MASTER_CAST: 18,
        Stage.JAW_RECORDS: 15,
        Stage.MOUNTING: 14,
        Stage.SET_UP: 13,
        Stage.TRY_IN: 9,
        Stage.FINAL_WAX: 7,
        Stage.PROCESSING: 6,
        Stage.DISPATCHED: 3,
        Stage.RECEIVED: 2,
    },
    Route.INTERIM: {
        Stage.SENT: 18,
        Stage.MASTER_CAST: 16,
        Stage.JAW_RECORDS: 13,
        Stage.MOUNTING: 12,
        Stage.SET_UP: 11,
        Stage.FINAL_WAX: 7,
        Stage.PROCESSING: 6,
        Stage.DISPATCHED: 3,
        Stage.RECEIVED: 2,
    },
}


def steps(route: Route) -> dict[Stage, int]:
    """Working days from entering each stage to entering the next one of the plan.

    Those of the last one lead to the surgery day.
    """
    rows = sorted(LATEST[route].items(), key=lambda row: -row[1])
    ends = [offset for _stage, offset in rows[1:]] + [0]
    return {stage: offset - end for (stage, offset), end in zip(rows, ends, strict=True)}


def latest(route: Route, own: Mapping[str, int] | None = None) -> dict[Stage, int]:
    """The table of a route with a laboratory's own days of a stage, counted back from surgery."""
    found: dict[Stage, int] = {}
    total = 0
    for stage, days in reversed(steps(route).items()):
        total += (own or {}).get(stage, days)
        found[stage] = total
    return dict(reversed(found.items()))


@dataclass(frozen=True)
class Latest:
    """The latest day for entering a stage, seen from today."""

    stage: Stage
    on: date
    reached: bool
    late_days: int
    name: str = ""
    """What the laboratory calls the stage."""

    @property
    def late(self) -> bool:
        return not self.reached and self.late_days > 0


def plan(
    *,
    route: Route,
    surgery_on: date,
    stage: Stage,
    today: date,
    past: Collection[Stage] = (),
    closed: Closed = (),
    own: Mapping[str, int] | None = None,
    names: Mapping[str, str] | None = None,
) -> list[Latest]:
    """Latest dates of every stage ahead and behind, in order.

    ``past`` names stages that are behind the case although it stands in an earlier
    one: a try-in that is done, or that will not take place. ``own`` are a laboratory's own days
    of a stage, ``names`` its own words for one.
    """
    order = list(Stage)
    here = order.index(stage)
    rows = latest(route, own).items()
    found = []
    for row_stage, offset in rows:
        on = back(surgery_on, offset, closed)
        reached = row_stage in past or here >= order.index(row_stage)
        late = 0 if reached else max(0, working_days_between(on, today, closed))
        name = (names or {}).get(row_stage) or str(row_stage.label)
        found.append(Latest(row_stage, on, reached, late, name))
    return found


def late_by_days(rows: list[Latest]) -> int:
    """Working days by which the most delayed open stage is late; 0 when none is."""
    return max((row.late_days for row in rows), default=0)


def offset(route: Route, stage: Stage, own: Mapping[str, int] | None = None) -> int:
    """Working days before surgery on which a stage is entered at the latest.

    A stage without a day of its own is a step inside the one before it, and has that one's;
    before the case is sent it has the day of sending.
    """
    order = list(Stage)
    rows = latest(route, own)
    behind = [row for row in rows if order.index(row) <= order.index(stage)]
    return rows[max(behind, key=order.index)] if behind else rows[Stage.SENT]


def lost_days(*, route: Route, at: Stage, to: Stage, own: Mapping[str, int] | None = None) -> int:
    """Working days of the plan that are done again when a case goes back; never negative.

    From the latest day of the one stage to the latest day of the other: work inside the
    present stage is not counted, since nobody says how far it had come.
    """
    return max(0, offset(route, to, own) - offset(route, at, own))


def earliest_surgery(
    *,
    route: Route,
    stage: Stage,
    today: date,
    closed: Closed = (),
    own: Mapping[str, int] | None = None,
) -> date:
    """The first day on which a case that enters a stage today can have its surgery."""
    return ahead(today, offset(route, stage, own), closed)


def earliest_records(first_extraction_on: date) -> date:
    """Healing counts in calendar days."""
    return first_extraction_on + timedelta(days=HEALING_DAYS)
