"""Passes with foil as they were seen, and what is said of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from occlusion.articulator import choose
from occlusion.errors import BadRequest
from occlusion.explaining.causes import Cause
from occlusion.ranges import EngineWarning
from occlusion.schemes import Predicted
from occlusion.teeth import check_tooth

Movement = Literal["centric", "protrusive", "right", "left"]
Strength = Literal["faint", "clear"]
Agreement = Literal["predicted and seen", "predicted, not seen", "seen, not predicted", "neither"]
Kind = Literal["nothing to explain", "as predicted", "explained", "not explained"]

MOVEMENTS: tuple[Movement, ...] = get_args(Movement)


@dataclass(frozen=True)
class SeenMark:
    """A tooth of either arch that marked; a faint mark counts half."""

    tooth: str
    strength: Strength = "clear"

    def __post_init__(self) -> None:
        check_tooth(self.tooth, field="marks.tooth")
        choose(self.strength, get_args(Strength), field="marks.strength", label="strength")


@dataclass(frozen=True)
class SeenPass:
    """One pass with foil: the movement, and every tooth that marked in it.

    A tooth that is not named did not mark. Of a movement without a pass nothing is known.

    Raises
    ------
    BadRequest
        No such movement, or no such tooth.
    """

    movement: Movement
    marks: tuple[SeenMark, ...] = ()

    def __post_init__(self) -> None:
        choose(self.movement, MOVEMENTS, field="passes.movement", label="movement")

    @classmethod
    def of(cls, movement: Movement, *teeth: str) -> SeenPass:
        """A pass in which these teeth marked clearly."""
        return cls(movement, tuple(SeenMark(tooth) for tooth in teeth))


@dataclass(frozen=True)
class ToothRow:
    """One tooth in one movement: prediction beside mark.

    Attributes
    ----------
    movement, tooth : str
    marked : bool
    agreement : str
        Predicted is an interference, and of a tooth that marked a contact too: a contact within
        the band may mark or not, so one that did not mark counts as neither.
    predicted : str
        As the clearance check says it: ``interference``, ``contact`` or ``none predicted``.
    gap_mm : float
        The least gap that counts for marks, the band not taken off; negative: an overlap.
    lifted : bool
        It did not mark, and where it would another tooth is predicted deeper and lifts the pin.
    """

    movement: Movement
    tooth: str
    marked: bool
    agreement: Agreement
    predicted: Predicted
    gap_mm: float
    lifted: bool


@dataclass(frozen=True)
class Fit:
    """What one change makes of the marks.

    Attributes
    ----------
    cause : Cause
        What would be changed.
    change : float
        By how much, in the unit of the cause; of a tooth, + stands nearer to its antagonists.
    sd : float
        Deviation of the change.
    explained : int
        Readings (a tooth in a movement, marked or not) that the change leaves explained.
    odds : float
        How many times better it explains the readings than no change at all, with what one
        more free number costs, and the choice among all causes, counted against it.
    """

    cause: Cause
    change: float
    sd: float
    explained: int
    odds: float

    @property
    def value(self) -> float | None:
        """The value that the setting would have; None for a tooth."""
        return None if self.cause.value is None else self.cause.value + self.change


@dataclass(frozen=True)
class Explanation:
    """The whole answer.

    Attributes
    ----------
    kind : str
        ``nothing to explain`` without a mark; ``as predicted`` where no reading speaks against
        the prediction; ``explained`` by ``best``; ``not explained``.
    rows : tuple of ToothRow
        Every tooth in every movement that had a pass.
    best, runner_up : Fit or None
        The change that explains the marks best, and the next best; None where nothing is
        explained.
    told_apart : bool
        The marks speak clearly for the best one against the runner-up.
    readings, explained_before : int
        How many readings there are, and how many the prediction explains as it stands.
    text, action : str
        What is proposed, and what to do.
    unused : tuple of str
        Teeth that marked and of which the model says nothing.
    """

    kind: Kind
    rows: tuple[ToothRow, ...]
    best: Fit | None
    runner_up: Fit | None
    told_apart: bool
    readings: int
    explained_before: int
    text: str
    action: str
    unused: tuple[str, ...]
    assumptions: tuple[str, ...]
    warnings: tuple[EngineWarning, ...]

    def __post_init__(self) -> None:
        if (self.kind == "explained") is not (self.best is not None):
            raise BadRequest("Only marks that are explained have a cause.", field="best")
