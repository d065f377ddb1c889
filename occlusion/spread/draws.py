"""Spread by draws: many settings that the readings may have meant, and what comes of them.

One set of draws serves all teeth and all excursions, so that what moves together stays
together. Right and left are read separately and drawn separately. Each reading has a
stream of random numbers of its own, named by it: leaving one reading out does not change
the draws of the others.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from occlusion.articulator import ArticulatorSettings
from occlusion.errors import BadRequest
from occlusion.frames import Array
from occlusion.ranges import LIMITS, check_hard
from occlusion.settings_arrays import SettingsArrays
from occlusion.spread.first_order import as_read, check_readings, probability_below, readings_of
from occlusion.spread.measured import Measured

DRAWS = 1000
"""Draws where no number is given: a standard deviation is then known to about 3 %."""

FIELDS = {
    "condylar_inclination_deg.right": "inclination_right_deg",
    "condylar_inclination_deg.left": "inclination_left_deg",
    "bennett_deg.right": "bennett_right_deg",
    "bennett_deg.left": "bennett_left_deg",
    "immediate_side_shift_mm.right": "shift_right_mm",
    "immediate_side_shift_mm.left": "shift_left_mm",
    "lateral_wing_deg.right": "wing_right_deg",
    "lateral_wing_deg.left": "wing_left_deg",
    "incisal_table_deg": "table_deg",
    "pin_opening_mm": "pin_opening_mm",
}
"""Array of ``SettingsArrays`` that a reading stands in; wings by excursion."""


@dataclass(frozen=True)
class Draws:
    """A seeded sample of settings.

    Attributes
    ----------
    settings : SettingsArrays
        The drawn settings.
    as_read : ArticulatorSettings
        The settings in the middle.
    seed : int
        The same seed gives the same draws.
    assumptions : tuple of str
        What was drawn, and how many draws had to be clipped to the hard limits.
    """

    settings: SettingsArrays
    as_read: ArticulatorSettings
    seed: int
    assumptions: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.settings)

    def of(self, name: str, reading: Measured) -> Array:
        """Draws of a further reading, shape (draws,), in a stream of its own name.

        Such as a cusp angle, ``draws.of("facet_deg.16", Measured(20, 5))``. The same name
        gives the same draws again, so that teeth and excursions share them.
        """
        return reading.drawn(len(self), stream(self.seed, name))


@dataclass(frozen=True)
class DrawnSpread:
    """A result and what the draws make of it.

    Attributes
    ----------
    value : ndarray
        The result at the settings as read.
    values : ndarray, shape (draws, ...)
        The result of each draw.
    """

    value: Array
    values: Array

    @property
    def mean(self) -> Array:
        return np.asarray(self.values.mean(axis=0))

    @property
    def sd(self) -> Array:
        return np.asarray(self.values.std(axis=0, ddof=1))

    def percentile(self, percent: float) -> Array:
        """The value that this part of the draws stays below."""
        return np.asarray(np.percentile(self.values, percent, axis=0))

    @property
    def p05(self) -> Array:
        return self.percentile(5.0)

    @property
    def p95(self) -> Array:
        return self.percentile(95.0)

    def probability_below(self, limit: float) -> Array:
        """Part of the draws below a limit."""
        return np.asarray((self.values < limit).mean(axis=0))

    def lowest(self, axis: int = 0) -> DrawnSpread:
        """The lowest along an axis of the result, such as the positions of a path.

        The chance that a gap is too small somewhere on the way is that of the lowest gap
        of each draw, and not the largest of the chances at each position.
        """
        return DrawnSpread(self.value.min(axis=axis), self.values.min(axis=axis + 1))

    def plus(self, errors: Array) -> DrawnSpread:
        """With further errors (draws, ...) added, such as those of ``further``."""
        return DrawnSpread(self.value, np.asarray(self.values + errors))


def draws_of(
    settings: ArticulatorSettings,
    *,
    half_widths: Mapping[str, float] | None = None,
    readings: Mapping[str, Measured] | None = None,
    draws: int = DRAWS,
    seed: int = 1,
) -> Draws:
    """A seeded sample of the settings that the readings may have meant.

    Parameters
    ----------
    settings : ArticulatorSettings
        As read.
    half_widths : mapping of str to float, optional
        Reading errors by quantity, uniform. None means ``DEFAULT_HALF_WIDTHS`` where no
        readings are given. What is not named is taken as exact; a facet is no setting, see
        ``Draws.of``.
    readings : mapping of str to Measured, optional
        Readings with their errors, by quantity or, as ``"bennett_deg.right"``, by quantity
        and side. They go before the half-widths, and their value before that of the
        settings.
    draws : int
        How many.
    seed : int
        0 or more.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """
    count = _whole("draws", draws)
    seeded = _whole("seed", seed)
    given = check_readings(readings)
    if half_widths is None and readings is not None:
        half_widths = {}
    middle = as_read(settings, given)
    many = SettingsArrays.of([middle]).repeated(count)
    drawn: dict[str, Any] = {}
    told, clipped = [], []
    for name, reading in readings_of(middle, half_widths, given).items():
        quantity = name.partition(".")[0]
        if reading.half_width == 0.0 or name not in FIELDS:
            continue
        low, high = LIMITS[quantity].hard
        values = reading.drawn(count, stream(seeded, name))
        beyond = int(((values < low) | (values > high)).sum())
        drawn[FIELDS[name]] = np.clip(values, low, high)
        told.append(_told(name, reading))
        if beyond:
            clipped.append(
                f"{beyond} of {count} draws of the {_words(name)} lay beyond {low:g} to {high:g} "
                f"{LIMITS[quantity].unit} and were clipped to it."
            )
    said = f"Drawn {count} times, seed {seeded}, each reading on its own: " + "; ".join(told) + "."
    if not told:
        said = "No reading was given an error, so every draw is the settings as read."
    return Draws(replace(many, **drawn), middle, seeded, (said, *clipped))


def spread_by_draws(function: Callable[[SettingsArrays], Any], draws: Draws) -> DrawnSpread:
    """Carry the draws through a function of settings.

    Parameters
    ----------
    function : callable
        From ``SettingsArrays`` (d,) to an array (d, ...), such as gaps of teeth through
        ``motion.lower_positions``.
    draws : Draws
        The sample.
    """
    middle = np.asarray(function(SettingsArrays.of([draws.as_read])), dtype=float)[0]
    values = np.asarray(function(draws.settings), dtype=float)
    return DrawnSpread(middle, values)


def stream(seed: int, name: str) -> np.random.Generator:
    """The random numbers of one reading."""
    return np.random.default_rng([seed, zlib.crc32(name.encode())])


def probability_below_normal(*, value: Any, sd: Any, limit: float) -> Array:
    """Chance that results lie below a limit by normal theory, as arrays; sd 0 means exact."""
    one = np.vectorize(lambda v, s: probability_below(value=v, sd=s, limit=limit), otypes=[float])
    return np.asarray(one(value, sd))


def _whole(name: str, value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int | np.integer):
        raise BadRequest(
            f"{LIMITS[name].label.capitalize()} is no whole number. Enter one.",
            field=name,
            value=value,
        )
    return int(check_hard(name, int(value)))


def _told(name: str, reading: Measured) -> str:
    """A reading with its error, as finely as the instrument shows it: a tenth of a degree."""
    unit = LIMITS[name.partition(".")[0]].unit
    places = 1 if unit == "deg" else 2
    value, sd, most = (round(x, places) for x in (reading.value, reading.sd, reading.half_width))
    if reading.distribution == "normal":
        return f"{_words(name)} {value:g} ± {sd:g} {unit} (standard deviation)"
    return f"{_words(name)} {value:g} {unit}, at most {most:g} {unit} off"


def _words(name: str) -> str:
    quantity, _, side = name.partition(".")
    return f"{side} {LIMITS[quantity].label}".strip()
