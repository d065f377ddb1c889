"""How well gaps explain marks, and which one change explains them best.

Foil marks where the gap is smaller than the foil, give or take what is read wrongly: how far a
gap lies on the wrong side, over its deviation, is the residual, and the cost of a reading is
minus twice the log of its chance (probit), which for a large residual is its square. A foil may
smear or miss, so no reading costs more than that chance allows. A change of one cause adds what
it departs from its reading. Marks bind a gap from one side, so that a curvature at the best value
would say nothing: mean and deviation are those of the weight exp(-cost / 2) over all changes,
which for a parabola are its lowest point and its curvature. The same weight, summed over all
changes that the reading may have meant, against that of no change at all, is the odds: a free
number that is not needed loses (the rule of Bayes; source: arithmetic).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from occlusion.explaining.causes import Cause
from occlusion.explaining.gaps import Gaps, Moved
from occlusion.explaining.model import Movement, SeenPass
from occlusion.frames import Array

Mask = npt.NDArray[np.bool_]

SMEARED = 0.02
"""Chance that a foil smears or misses (common practice, no source)."""

FOIL_MM = 0.04
"""A gap smaller than this marks: thickness of a foil (common practice, no source)."""

FAINT = 0.5
"""Weight of a faint mark (common practice, no source)."""

FINE = 241
"""Changes at which the weight is read."""

NOTHING_MM = 1e-6
"""A cause that moves no gap by more than this is none."""

TWO_HILLS = 4.0
"""Where the mean costs so much more than the best, it lies between two explanations."""


@dataclass(frozen=True)
class Readings:
    """One movement: which teeth marked, and what each reading weighs."""

    moved: Moved
    marked: Mask
    weight: Array
    x_mm: Array
    pin_mm: float
    band_mm: float

    def residuals(self, gaps: Array) -> Array:
        """How many deviations each gap (n, k, teeth) lies on the wrong side, (n, teeth);
        negative: on the right one.
        """
        beyond = self.carried(gaps) - FOIL_MM
        return np.asarray(np.where(self.marked, beyond, -beyond) / self.moved.sd)

    def carried(self, gaps: Array) -> Array:
        """Least gap of each tooth with the lower member resting on what overlaps, (n, teeth).

        What overlaps by more than the band lifts the pin, and every other tooth with it.
        """
        counted = np.where(self.moved.seen, gaps, np.inf)
        at_pin = (-counted - self.band_mm) * self.pin_mm / self.x_mm
        lift = np.maximum(at_pin.max(axis=-1, keepdims=True), 0.0)
        lifted = gaps + lift * self.x_mm / self.pin_mm
        return np.asarray(np.where(self.moved.counts, lifted, np.inf).min(axis=-2))


@dataclass(frozen=True)
class Cost:
    """What readings cost at each of n changes, and how many of them are explained.

    ``usual`` is the most that reading errors alone leave as a rule: what they leave on average
    and two deviations more.
    """

    cost: Array
    usual: Array
    explained: Array

    def fits(self, at: int = 0) -> bool:
        """No more is left than reading errors leave."""
        return bool(self.cost[at] <= self.usual[at])


@dataclass(frozen=True)
class Weighed:
    """One cause weighed: its change with deviation, and the log of its odds against none."""

    cause: Cause
    change: float
    sd: float
    fits: bool
    explained: int
    log_odds: float


def readings_of(gaps: Gaps, passes: Sequence[SeenPass]) -> tuple[Readings, ...]:
    """What was seen of the teeth that the model has, movement by movement."""
    found = []
    for moved in gaps.moved:
        those = [one for one in passes if one.movement == moved.movement]
        if not those:
            continue
        strength: dict[str, float] = {}
        for mark in (mark for one in those for mark in one.marks):
            weight = FAINT if mark.strength == "faint" else 1.0
            strength[mark.tooth] = max(strength.get(mark.tooth, 0.0), weight)
        found.append(
            Readings(
                moved=moved,
                marked=np.array([name in strength for name in gaps.names]),
                weight=np.array([strength.get(name, 1.0) for name in gaps.names]),
                x_mm=gaps.x_mm,
                pin_mm=gaps.settings.guided_point_mm[0],
                band_mm=gaps.band_mm,
            )
        )
    return tuple(found)


def cost_as_entered(readings: Sequence[Readings]) -> Cost:
    """What the readings cost with nothing changed, as a single change."""
    return cost_of(readings, {one.moved.movement: one.moved.nominal[None] for one in readings})


def cost_of(readings: Sequence[Readings], gaps: Mapping[Movement, Array]) -> Cost:
    """What gaps (n, k, teeth) of each movement cost."""
    parts = []
    for one in readings:
        residual = one.residuals(gaps[one.moved.movement])
        chance = SMEARED + (1.0 - 2.0 * SMEARED) * ndtr(-residual)
        weight = np.where(one.moved.seen, one.weight, 0.0)
        cost, other = -2.0 * np.log(chance), -2.0 * np.log1p(-chance)
        mean = chance * cost + (1.0 - chance) * other
        square = chance * (1.0 - chance) * (cost - other) ** 2
        explained = (residual <= 0.0) & one.moved.seen
        parts.append(
            [
                (cost * weight).sum(axis=-1),
                (mean * weight).sum(axis=-1),
                (square * weight**2).sum(axis=-1),
                explained.sum(axis=-1),
            ]
        )
    cost, mean, square, explained = np.sum(parts, axis=0)
    return Cost(cost, mean + 2.0 * np.sqrt(square), explained.astype(int))


def weighed(gaps: Gaps, readings: Sequence[Readings], cause: Cause) -> Weighed | None:
    """One cause weighed against no change; None where it changes nothing or cannot be followed."""
    asked = gaps.at(cause)
    if asked is None:
        return None
    those = {one.moved.movement: asked.gaps_mm[one.moved.movement] for one in readings}
    if max(float(np.ptp(one, axis=0).max()) for one in those.values()) < NOTHING_MM:
        return None
    change = np.unique(np.append(_between(asked.by), 0.0))
    found = cost_of(
        readings, {name: _interpolated(asked.by, one, change) for name, one in those.items()}
    )
    cost, none = found.cost, float(cost_as_entered(readings).cost[0])
    # A reading is rarely far off, but it may have been mistaken by any amount: heavy tails.
    prior = 1.0 / (1.0 + (change / cause.sd) ** 2)
    prior /= np.trapezoid(prior, change)
    weight = prior * np.exp(-0.5 * (cost - cost.min()))
    total = float(np.trapezoid(weight, change))
    mean = float(np.trapezoid(weight * change, change)) / total
    square = float(np.trapezoid(weight * (change - mean) ** 2, change)) / total
    at = int(np.argmin(np.abs(change - mean)))
    if cost[at] > cost.min() + TWO_HILLS:
        at = int(np.argmax(weight))
        square += (float(change[at]) - mean) ** 2
        mean = float(change[at])
    return Weighed(
        cause=cause,
        change=mean,
        sd=float(np.sqrt(max(square, 0.0))),
        fits=found.fits(at),
        explained=int(found.explained[at]),
        log_odds=float(np.log(total) - 0.5 * (cost.min() - none)),
    )


def _between(nodes: Array) -> Array:
    """Finer than the nodes, and as they are close together around 0."""
    places = np.linspace(0.0, len(nodes) - 1.0, FINE)
    return np.asarray(np.interp(places, np.arange(len(nodes)), nodes))


def _interpolated(nodes: Array, gaps: Array, change: Array) -> Array:
    """Gaps (n, ...) at further changes, on straight lines between the nodes."""
    right = np.clip(np.searchsorted(nodes, change), 1, len(nodes) - 1)
    share = (change - nodes[right - 1]) / (nodes[right] - nodes[right - 1])
    share = share.reshape(-1, *[1] * (gaps.ndim - 1))
    return np.asarray(gaps[right - 1] * (1.0 - share) + gaps[right] * share)
