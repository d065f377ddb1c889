"""State and verdict of one region, from its gaps along an excursion."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from occlusion.clearance.model import Doubt
from occlusion.frames import Array
from occlusion.schemes import Predicted, Role, Scheme, State, Verdict, judge
from occlusion.spread import DOUBT
from occlusion.surfaces.gaps import FAR_MM


@dataclass(frozen=True)
class Told:
    """What the gaps of one region say: the state as read, and where it rests."""

    predicted: Predicted
    lowest: int
    rests_on: int

    @classmethod
    def of(cls, gaps: Array, *, band_mm: float) -> Told:
        """Judge the least gaps (n,) along an excursion.

        An interference rests on its deepest overlap. A contact stays within the band all the
        way, because every tooth that is set touches at the start. Else the gap at the end is
        told, however it began; a tooth that has nothing opposite there any more is told where
        it last had.
        """
        opposed = np.flatnonzero(gaps < FAR_MM / 2)
        lowest, end = int(np.argmin(gaps)), int(opposed[-1]) if opposed.size else len(gaps) - 1
        if gaps[lowest] < -band_mm:
            return cls("interference", lowest, lowest)
        if float(gaps.max()) <= band_mm:
            return cls("contact", lowest, end)
        return cls("none predicted", lowest, end)


def state_of(told: Told, doubt: Doubt | None) -> State:
    """The state, with the doubt that reading errors leave."""
    if told.predicted != "interference" and doubt is not None and doubt.p_interference > DOUBT:
        return "interference possible"
    return told.predicted


def verdict_of(
    told: Told, state: State, *, scheme: Scheme | None, role: Role | None, tooth: str
) -> Verdict:
    """The verdict against the scheme; silent where it says nothing or nothing is known."""
    if scheme is None or role is None:
        return "not as wanted" if told.predicted == "interference" else "scheme silent"
    return judge(
        scheme,
        role,
        tooth=tooth,
        predicted=told.predicted,
        possible=state == "interference possible",
    )


def meets_nothing(gaps: Array) -> bool:
    """No position of the region has anything opposite."""
    return bool(float(gaps.min()) >= FAR_MM / 2)
