"""A laboratory's own words for the stages, and the working days that each house takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from labcases.domain import access, house_history
from labcases.domain.course import USUAL
from labcases.enums import Stage
from labcases.enums.dates import OFFICE_WORK, Work
from labcases.models import Organisation, User

KEEP = "keep the stage plan"
MOST_DAYS = 30
LONGEST_NAME = 30
SOURCE = (
    "Usual days: common practice, beside a commercial laboratory's published working-day calendar "
    "and a student clinic's appointment reference, both seen in excerpts only."
)


@dataclass(frozen=True)
class Row:
    """One stage as its laboratory calls it."""

    stage: Stage
    name: str


@dataclass(frozen=True)
class Piece:
    """One piece of work, and the working days that it takes in a house."""

    work: Work
    usual: int
    days: int | None


def may_keep(user: User, house: Organisation) -> bool:
    """A laboratory's manager, and who keeps the calendar of an office."""
    act = KEEP if house.is_laboratory else "keep the calendar"
    return access.may_in(user, act, house)


def works(house: Organisation) -> list[Work]:
    """The work of a house; the road is said beside its linked houses."""
    return [
        work
        for work in Work
        if work != Work.ROAD
        and (
            (house.is_office and work in OFFICE_WORK)
            or (house.is_laboratory and work not in OFFICE_WORK)
        )
    ]


def rows(house: Organisation) -> list[Row]:
    """The stages, where the house is one that names them."""
    if not house.is_laboratory:
        return []
    return [Row(stage, str(house.stage_names.get(stage, ""))) for stage in Stage]


def pieces(house: Organisation) -> list[Piece]:
    return [Piece(work, USUAL[work], house.stage_days.get(work)) for work in works(house)]


def save(
    *, house: Organisation, names: Mapping[str, str], days: Mapping[str, int], by: User
) -> bool:
    """Store what differs from the usual; the keys of the stages stay.

    Returns
    -------
    bool
        Whether anything changed.

    Raises
    ------
    ValueError
        Two stages would have one name, or a piece of work is not of this house, or takes too many
        days.
    """
    own = {key: name.strip() for key, name in names.items() if name.strip()}
    shown = [own.get(stage, str(stage.label)).casefold() for stage in Stage]
    for stage in Stage:
        if shown.count(shown[stage_number(stage)]) > 1:
            raise ValueError(
                f"Two stages would be called {own.get(stage, stage.label)}. Give each its own name."
            )
    here = works(house)
    for key, number in days.items():
        least = 0 if USUAL[Work(key)] == 0 else 1
        if Work(key) not in here or not least <= number <= MOST_DAYS:
            raise ValueError(f"{Work(key).label} takes {least} to {MOST_DAYS} working days.")
    return house_history.save_keyed(
        row=house,
        after={"stage_names": own, "stage_days": dict(days)},
        words={"stage_names": "name of {}", "stage_days": "working days of {}"},
        part="stages",
        by=by,
    )


def stage_number(stage: Stage) -> int:
    return list(Stage).index(stage)
