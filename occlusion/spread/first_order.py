"""First-order spread: what the reading errors of the settings do to a result.

Each setting is read to within a half-width and anything within it is as likely, so its
standard deviation is the half-width over the root of 3. The result's own spread is the
root of the summed squares of each setting's effect, from a forward difference. Right and
left are read separately, so they count separately.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal, TypeVar

import numpy as np

from occlusion.articulator import ArticulatorSettings, choose
from occlusion.errors import BadRequest, kind_of
from occlusion.frames import Array
from occlusion.ranges import LIMITS, check_hard
from occlusion.spread.measured import Measured, sd_of

Side = Literal["right", "left", "both"]
T = TypeVar("T")

DEFAULT_HALF_WIDTHS: dict[str, float] = {
    "condylar_inclination_deg": 5.0,
    "bennett_deg": 5.0,
    "incisal_table_deg": 1.0,
    "lateral_wing_deg": 1.0,
    "pin_opening_mm": 0.5,
    "facet_deg": 5.0,
}
"""How far each reading may be off either way (common practice, no source). Condylar and
cusp readings are poor; table and wings are set by a scale of one degree."""

STEPS: dict[str, float] = {
    "condylar_inclination_deg": 1.0,
    "bennett_deg": 1.0,
    "immediate_side_shift_mm": 0.1,
    "incisal_table_deg": 1.0,
    "lateral_wing_deg": 1.0,
    "pin_opening_mm": 0.5,
    "facet_deg": 1.0,
}
"""Forward step of each difference: one step of the bench's scale."""

_CONDYLAR = {
    "condylar_inclination_deg": "inclination_deg",
    "bennett_deg": "bennett_deg",
    "immediate_side_shift_mm": "immediate_side_shift_mm",
}
TWO_SIDED = (*_CONDYLAR, "lateral_wing_deg")
"""Quantities that are read on the right and on the left."""


@dataclass(frozen=True)
class Spread:
    """A result and how far reading errors move it.

    Attributes
    ----------
    value : ndarray
        The result at the settings as read.
    sd : ndarray, same shape
        Its standard deviation.
    parts : dict of str to ndarray
        The share of each reading, for example ``"bennett_deg.right"``.
    """

    value: Array
    sd: Array
    parts: dict[str, Array]


def changed(
    *, settings: ArticulatorSettings, quantity: str, by: float, side: Side = "both"
) -> ArticulatorSettings:
    """The settings with one quantity changed.

    Parameters
    ----------
    settings : ArticulatorSettings
        Where to start from.
    quantity : str
        Key of ``STEPS``, but not the facet angle, which is no setting.
    by : float
        Added to it.
    side : {"both", "right", "left"}
        For what is read on two sides: condyle, or excursion for the wings.

    Raises
    ------
    BadRequest, OutOfRange
    """
    choose(side, ("both", "right", "left"), field="side", label="side")
    sides = ("right", "left") if side == "both" else (side,)
    if quantity in _CONDYLAR:
        name = _CONDYLAR[quantity]
        moved = {
            one: replace(
                getattr(settings, one), **{name: getattr(getattr(settings, one), name) + by}
            )
            for one in sides
        }
        return replace(settings, **moved)
    table = settings.table
    if quantity == "lateral_wing_deg":
        wings: dict[str, Any] = {
            f"wing_{one}_excursion_deg": _wing(settings, one) + by for one in sides
        }
        return replace(settings, table=replace(table, **wings))
    if quantity == "incisal_table_deg":
        return replace(settings, table=replace(table, sagittal_deg=table.sagittal_deg + by))
    if quantity == "pin_opening_mm":
        return replace(settings, pin_opening_mm=settings.pin_opening_mm + by)
    raise BadRequest(
        f"{quantity} is no setting that can be varied. Choose one of: "
        f"{', '.join(name for name in STEPS if name != 'facet_deg')}.",
        field="quantity",
        value=quantity,
    )


def forward_difference(
    function: Callable[[ArticulatorSettings], Any],
    *,
    settings: ArticulatorSettings,
    quantity: str,
    step: float,
    side: Side = "both",
) -> Array:
    """How much a result changes when one quantity grows by ``step``."""
    grown = changed(settings=settings, quantity=quantity, by=step, side=side)
    return np.asarray(
        np.asarray(function(grown), dtype=float) - np.asarray(function(settings), dtype=float)
    )


def first_order_spread(
    function: Callable[[ArticulatorSettings], Any],
    *,
    settings: ArticulatorSettings,
    half_widths: Mapping[str, float] | None = None,
    readings: Mapping[str, Measured] | None = None,
) -> Spread:
    """Carry the reading errors of the settings through a function of them.

    Parameters
    ----------
    function : callable
        From settings to a number or an array.
    settings : ArticulatorSettings
        As read.
    half_widths : mapping of str to float, optional
        Reading errors by quantity; None means ``DEFAULT_HALF_WIDTHS`` where no readings are
        given. A quantity that is not named is taken as exact.
    readings : mapping of str to Measured, optional
        Readings with their errors, by quantity or, as ``"bennett_deg.right"``, by quantity
        and side. They go before the half-widths, and their value before that of the
        settings.

    Raises
    ------
    BadRequest, OutOfRange
    """
    given = check_readings(readings)
    if half_widths is None and readings is not None:
        half_widths = {}
    middle = as_read(settings, given)
    value = np.asarray(function(middle), dtype=float)
    parts = {}
    for name, reading in readings_of(middle, half_widths, given).items():
        if reading.sd > 0.0:
            varied, step = _varied(middle, name)
            change = np.asarray(function(varied), dtype=float) - value
            parts[name] = np.asarray(np.abs(change) * reading.sd / step)
    return Spread(value, root_sum_square([*parts.values(), np.zeros_like(value)]), parts)


def variations(
    settings: ArticulatorSettings, half_widths: Mapping[str, float]
) -> list[tuple[str, ArticulatorSettings, float]]:
    """One set of settings per reading that may be off.

    Returns
    -------
    list of (name, settings, weight)
        The change of a result from the settings as read to these, times the weight, is
        one standard deviation. Where a step forward would leave the hard limits it goes
        back instead.
    """
    found = []
    for name, half_width in _by_side(half_widths).items():
        if name != "facet_deg" and half_width > 0.0:
            varied, step = _varied(settings, name)
            found.append((name, varied, sd_of(half_width) / step))
    return found


def check_half_widths(half_widths: Mapping[str, float] | None) -> dict[str, float]:
    """Half-widths with known names and plausible sizes; None means the defaults.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """
    if half_widths is None:
        return dict(DEFAULT_HALF_WIDTHS)
    widths = {}
    for quantity, value in half_widths.items():
        choose(quantity, STEPS, field="half_width", label="quantity with a reading error")
        widths[quantity] = check_hard(
            "reading_half_width",
            value,
            field=f"half_width.{quantity}",
            label=f"reading error of the {LIMITS[quantity].label}",
        )
    return widths


def check_readings(readings: Mapping[str, Measured] | None) -> dict[str, Measured]:
    """Readings by quantity and side, with known names.

    A two-sided quantity without a side is a reading of each side.

    Raises
    ------
    BadRequest
    """
    for name, reading in (readings or {}).items():
        _check_name(name)
        if not isinstance(reading, Measured):
            raise BadRequest(
                f"The reading of {name} is {kind_of(reading)}. Give a Measured value with its "
                "half-width.",
                field=f"readings.{name}",
            )
    return _by_side(readings or {})


def as_read(settings: ArticulatorSettings, readings: Mapping[str, Measured]) -> ArticulatorSettings:
    """The settings with the values of these readings (by side) in place of their own.

    Raises
    ------
    OutOfRange
    """
    for name, reading in readings.items():
        quantity, side = _parted(name)
        if quantity != "facet_deg":
            by = reading.value - _read(settings, quantity, side)
            settings = changed(settings=settings, quantity=quantity, by=by, side=side)
    return settings


def readings_of(
    settings: ArticulatorSettings,
    half_widths: Mapping[str, float] | None,
    readings: Mapping[str, Measured],
) -> dict[str, Measured]:
    """Every reading that may be off, by quantity and side, but for facets."""
    found = {
        name: Measured(_read(settings, *_parted(name)), width)
        for name, width in _by_side(check_half_widths(half_widths)).items()
        if name != "facet_deg"
    }
    found.update((name, one) for name, one in readings.items() if name != "facet_deg")
    return found


def root_sum_square(parts: list[Array]) -> Array:
    """Independent standard deviations put together."""
    return np.asarray(np.sqrt(np.sum(np.square(np.stack(parts)), axis=0)))


def probability_below(*, value: float, sd: float, limit: float) -> float:
    """Chance that a result lies below a limit, its errors taken as normal.

    Parameters
    ----------
    value, sd : float
        The result and its standard deviation; 0 means exact.
    limit : float
        In the same unit.
    """
    if sd <= 0.0:
        return 1.0 if value < limit else 0.0
    return 0.5 * math.erfc((value - limit) / (sd * math.sqrt(2.0)))


def _check_name(name: object) -> str:
    """The quantity of a name such as ``"bennett_deg"`` or ``"bennett_deg.right"``."""
    allowed = [*STEPS, *(f"{one}.{side}" for one in TWO_SIDED for side in ("right", "left"))]
    word = choose(name, allowed, field="readings", label="quantity with a reading error")
    return word.partition(".")[0]


def _parted(name: str) -> tuple[str, Side]:
    quantity, _, side = name.partition(".")
    return quantity, "right" if side == "right" else "left" if side == "left" else "both"


def _by_side(given: Mapping[str, T]) -> dict[str, T]:
    """What is read on two sides under the name of each; a named side goes first."""
    found = {}
    for name, value in given.items():
        if name in TWO_SIDED:
            for side in ("right", "left"):
                found[f"{name}.{side}"] = given.get(f"{name}.{side}", value)
        else:
            found[name] = value
    return found


def _varied(settings: ArticulatorSettings, name: str) -> tuple[ArticulatorSettings, float]:
    """The settings one step on, or one back at the hard limit, and the size of the step."""
    quantity, side = _parted(name)
    step = STEPS[quantity]
    by = step
    if _read(settings, quantity, side) + step > LIMITS[quantity].hard_high:
        by = -step
    return changed(settings=settings, quantity=quantity, by=by, side=side), step


def _wing(settings: ArticulatorSettings, side: str) -> float:
    return float(getattr(settings.table, f"wing_{side}_excursion_deg"))


def _read(settings: ArticulatorSettings, quantity: str, side: str) -> float:
    if quantity in _CONDYLAR:
        return float(getattr(getattr(settings, side), _CONDYLAR[quantity]))
    if quantity == "lateral_wing_deg":
        return _wing(settings, side)
    if quantity == "incisal_table_deg":
        return settings.table.sagittal_deg
    return settings.pin_opening_mm
