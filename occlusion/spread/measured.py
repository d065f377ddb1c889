"""A reading with its error."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from occlusion.articulator import choose
from occlusion.frames import Array
from occlusion.ranges import check_hard, number

Distribution = Literal["uniform", "normal"]

WITHIN_HALF_WIDTH = 1.959964
"""Standard deviations that hold 95 of 100 normal errors."""


@dataclass(frozen=True)
class Measured:
    """A reading with its error.

    Parameters
    ----------
    value : float
        As read.
    half_width : float
        How far it may be off either way.
    distribution : {"uniform", "normal"}
        Uniform: anything within the half-width is as likely, nothing lies beyond it.
        Normal: 95 of 100 errors lie within it.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """

    value: float
    half_width: float
    distribution: Distribution = "uniform"

    def __post_init__(self) -> None:
        object.__setattr__(self, "value", number(self.value, field="value"))
        object.__setattr__(self, "half_width", check_hard("reading_half_width", self.half_width))
        choose(self.distribution, get_args(Distribution), field="distribution", label="spread")

    @property
    def sd(self) -> float:
        """Standard deviation of the reading."""
        if self.distribution == "uniform":
            return sd_of(self.half_width)
        return self.half_width / WITHIN_HALF_WIDTH

    def drawn(self, draws: int, random: np.random.Generator) -> Array:
        """Values that it may have had, shape (draws,)."""
        if self.distribution == "uniform":
            return np.asarray(self.value + self.half_width * (2.0 * random.random(draws) - 1.0))
        return np.asarray(self.value + self.sd * random.standard_normal(draws))


def sd_of(half_width: float) -> float:
    """Standard deviation of a reading that may lie anywhere within the half-width."""
    return half_width / math.sqrt(3.0)
