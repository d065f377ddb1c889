"""How far each denture tooth is: set, and ground in in every movement.

Read off the log alone: the last line that set a tooth, the last pass in each movement, and what
was ground since. A pass counts for the teeth that stood when it was made.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from labcases import notation
from labcases.domain import ledger, teeth
from labcases.enums import Movement, SetUpAct
from labcases.models import Case, SetUpEntry


class Step(StrEnum):
    """What a denture tooth goes through, in the order of the bench."""

    SET = "set"
    CENTRIC = "centric"
    WORKING = "working"
    BALANCING = "balancing"
    PROTRUSIVE = "protrusive"


class State(StrEnum):
    """How far a tooth is in one step."""

    NOT_YET = "not yet"
    """Not set, or no pass was made since."""
    OPEN = "open"
    """The last pass was not as wanted or was not judged, and the tooth does not mark in it."""
    MARKS = "marks"
    """It marks in a last pass that was not as wanted, or was not judged."""
    GROUND = "ground since"
    """It, or what it meets, was ground after the last pass: it wants a mark again."""
    DONE = "as wanted"
    """Set; or the last pass was as wanted."""


@dataclass(frozen=True)
class ToothProgress:
    """One denture tooth with its state in every step."""

    tooth: str
    states: dict[Step, State]

    @property
    def done(self) -> bool:
        return set(self.states.values()) == {State.DONE}

    @property
    def begun(self) -> bool:
        return set(self.states.values()) != {State.NOT_YET}


def of(case: Case) -> list[ToothProgress]:
    """Every tooth that the denture replaces, in mouth order."""
    log = ledger.standing(case)
    last = ledger.last_passes(case)
    since_set = _last_of(log, SetUpAct.TOOTH_SET)
    since_ground = _last_of(log, SetUpAct.REDUCTION)
    found = []
    for tooth in teeth.replaced(case.prescription):
        pair = {tooth, notation.opposing(tooth)}
        ground = max((since_ground.get(one, 0) for one in pair), default=0)
        states = {Step.SET: State.DONE if tooth in since_set else State.NOT_YET}
        for step, movement in _movements(tooth).items():
            states[step] = _state(last.get(movement), pair, since_set.get(tooth), ground)
        found.append(ToothProgress(tooth, states))
    return found


def _last_of(log: list[SetUpEntry], act: SetUpAct) -> dict[str, int]:
    """Tooth -> the number of the last line of an act that names it."""
    return {tooth: entry.pk for entry in log if entry.act == act for tooth in entry.teeth}


def _movements(tooth: str) -> dict[Step, Movement]:
    """In which movement a tooth is in each step: working and balancing as seen from its side."""
    right = notation.side_of(tooth) == "right"
    return {
        Step.CENTRIC: Movement.CENTRIC,
        Step.WORKING: Movement.RIGHT if right else Movement.LEFT,
        Step.BALANCING: Movement.LEFT if right else Movement.RIGHT,
        Step.PROTRUSIVE: Movement.PROTRUSIVE,
    }


def _state(entry: SetUpEntry | None, pair: set[str], set_by: int | None, ground: int) -> State:
    marks = entry is not None and bool(pair & set(entry.teeth))
    # A tooth that nobody logged as set stands at the latest when it marks.
    if entry is None or (set_by is None and not marks) or (set_by or 0) > entry.pk:
        return State.NOT_YET
    if ground > entry.pk:
        return State.GROUND
    if entry.as_wanted:
        return State.DONE
    return State.MARKS if marks else State.OPEN
