"""What a try-in sends back: what is made again, to which stage, and what no longer counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from labcases.domain import history, stages, taking_back
from labcases.enums import Stage, Thing, TryInOutcome
from labcases.models import Case, User
from labcases.reference.checklists import Redo, lines_of, mouth_pauses, redos

REDO = "redo"
SENDS_BACK = (TryInOutcome.REDO, TryInOutcome.NEW_RECORD)
_ORDER = list(Stage)


class TooLate(Exception):
    """What was judged is flasked: it does not go back by a try-in."""


@dataclass(frozen=True)
class SendBack:
    """``again`` is each thing once, in the order of the checklist."""

    to: Stage
    moves: bool
    again: list[Redo]
    undone: list[Thing]

    @property
    def key(self) -> str:
        """Names exactly this, so that a person confirms what stood on the page."""
        return "; ".join([self.to.value, *(redo.key for redo in self.again), *self.undone])

    @property
    def goes(self) -> str:
        if self.moves:
            return f"The case goes back to {self.to.label.lower()}."
        return "The case stays where it is: it stands before what is made again already."


def marked(answers: Mapping[str, str]) -> list[Redo]:
    """What the lines answered with redo ask for, each thing once."""
    found = {
        line.redo.key: line.redo
        for line in lines_of(mouth_pauses())
        if line.redo and answers.get(line.key) == REDO
    }
    return list(found.values())


def needs_record(redo: Redo) -> bool:
    return Thing.RECORD in redo.undoes


def goes_back_to(asked: list[Redo]) -> Stage | None:
    """The earliest stage of what is made again; nothing if it is all done at the visit."""
    return min((redo.to for redo in asked if redo.to), key=_ORDER.index, default=None)


def follows(case: Case, *, outcome: str, answers: Mapping[str, str]) -> SendBack | None:
    """What a verdict sends back; nothing for an approval."""
    if outcome not in SENDS_BACK:
        return None
    asked = marked(answers)
    if outcome == TryInOutcome.NEW_RECORD and not any(needs_record(redo) for redo in asked):
        asked.append(redos()["record"])
    to = goes_back_to(asked)
    if to is None:
        return None
    things = {thing for redo in asked for thing in redo.undoes} | {Thing.WAX}
    return SendBack(
        to=to,
        moves=_ORDER.index(Stage(case.stage)) > _ORDER.index(to),
        again=asked,
        undone=taking_back.there_is(case, things),
    )


def refuse_late(case: Case) -> None:
    """Refuse where processing has begun.

    Raises
    ------
    TooLate
        The case stands at processing or later.
    """
    if _ORDER.index(Stage(case.stage)) > _ORDER.index(Stage.FINAL_WAX):
        raise TooLate(
            f"The case stands at {case.get_stage_display().lower()}: what is flasked does not go "
            "back by a try-in. Report what went wrong as an incident."
        )


def send_back(*, case: Case, told: SendBack, number: int, by: User) -> None:
    """Take back what is made again, and bring the case to its stage.

    Call it inside the transaction of the verdict.
    """
    why = f"try-in {number}: {'; '.join(_small(redo.text) for redo in told.again)}"
    with history.consequences():
        taking_back.take_back(case=case, things=told.undone, by=by, why=why)
        stages.bring_back(case=case, to=told.to, by=by, because=f"try-in {number}")


def _small(text: str) -> str:
    return f"{text[:1].lower()}{text[1:]}"
