"""A laboratory's own words for the stages, and its own working days of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from labcases.domain import access, house_history, schedule
from labcases.enums import Route, Stage
from labcases.models import Organisation, User

KEEP = "keep the stage plan"
MOST_DAYS = 30
LONGEST_NAME = 30
SOURCE = (
    "Usual days: common practice, beside a commercial laboratory's published working-day calendar "
    "and a student clinic's appointment reference, both seen in excerpts only."
)

#: What the days of a stage hold, where more than its own work does (common practice).
HOLDS = {
    Stage.SENT: "on the road, and the tray where the route wants one",
    Stage.MASTER_CAST: "cast, base and rim, and the road to the office",
    Stage.JAW_RECORDS: "the road back",
    Stage.SET_UP: "set-up, and the road to the try-in",
    Stage.TRY_IN: "the road back, and the anterior teeth",
    Stage.PROCESSING: "processing, remount and finishing",
    Stage.DISPATCHED: "on the road",
    Stage.RECEIVED: "between arrival at the office and surgery",
}


@dataclass(frozen=True)
class Row:
    """One stage as its laboratory sees it."""

    stage: Stage
    name: str
    usual: str
    """Usual days, of both routes where they differ; empty for a stage without days."""
    days: int | None
    holds: str


def may_keep(user: User, laboratory: Organisation) -> bool:
    return laboratory.is_laboratory and access.may_in(user, KEEP, laboratory)


def timed() -> list[Stage]:
    """Stages that have days of their own in the plan of some route."""
    found = {stage for route in Route for stage in schedule.steps(route)}
    return [stage for stage in Stage if stage in found]


def usual_words(stage: Stage) -> str:
    """2; or 1 (conventional), 2 (interim)."""
    told = {route: steps[stage] for route in Route if stage in (steps := schedule.steps(route))}
    if len(set(told.values())) <= 1:
        return "".join(str(days) for days in list(told.values())[:1])
    return ", ".join(f"{days} ({route.value})" for route, days in told.items())


def rows(laboratory: Organisation) -> list[Row]:
    return [
        Row(
            stage,
            str(laboratory.stage_names.get(stage, "")),
            usual_words(stage),
            laboratory.stage_days.get(stage),
            HOLDS.get(stage, ""),
        )
        for stage in Stage
    ]


def save(
    *, laboratory: Organisation, names: Mapping[str, str], days: Mapping[str, int], by: User
) -> bool:
    """Store what differs from the usual; the keys of the stages stay.

    Returns
    -------
    bool
        Whether anything changed.

    Raises
    ------
    ValueError
        Two stages would have one name, or a stage has no days of its own, or too many.
    """
    own = {key: name.strip() for key, name in names.items() if name.strip()}
    shown = [own.get(stage, str(stage.label)).casefold() for stage in Stage]
    for stage in Stage:
        if shown.count(shown[stage_number(stage)]) > 1:
            raise ValueError(
                f"Two stages would be called {own.get(stage, stage.label)}. Give each its own name."
            )
    for key, number in days.items():
        if Stage(key) not in timed() or not 1 <= number <= MOST_DAYS:
            raise ValueError(f"{Stage(key).label} takes 1 to {MOST_DAYS} working days.")
    return house_history.save_keyed(
        row=laboratory,
        after={"stage_names": own, "stage_days": dict(days)},
        words={"stage_names": "name of {}", "stage_days": "working days of {}"},
        part="stages",
        by=by,
    )


def stage_number(stage: Stage) -> int:
    return list(Stage).index(stage)
