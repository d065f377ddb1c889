"""What one change could explain marks: a setting, or how high one tooth stands."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from occlusion.articulator import ArticulatorSettings
from occlusion.frames import Array
from occlusion.ranges import LIMITS
from occlusion.reduction.denture import DentureTooth, as_object
from occlusion.spread import DEFAULT_HALF_WIDTHS, Measured, Side, changed, sd_of
from occlusion.spread.first_order import check_readings, readings_of
from occlusion.surfaces.cusps import Material, ToothForm

CauseKind = Literal["setting", "denture tooth", "opposing denture tooth", "natural tooth"]

READ = (
    "condylar_inclination_deg",
    "bennett_deg",
    "incisal_table_deg",
    "lateral_wing_deg",
    "pin_opening_mm",
)
"""Settings that may be the cause."""

FURTHEST: dict[str, float] = {
    "condylar_inclination_deg": 20.0,
    "bennett_deg": 20.0,
    "incisal_table_deg": 15.0,
    "lateral_wing_deg": 15.0,
    "pin_opening_mm": 1.5,
    "tooth_height_mm": 1.0,
}
"""How far a cause is looked for either way: more is seen on the bench without arithmetic
(common practice, no source)."""

HEIGHT_HALF_WIDTH_MM = 0.2
"""How far the height of a tooth may be off as read (common practice, no source)."""

NODES = 13
"""Changes that are computed of each cause; between them gaps are nearly straight lines."""


@dataclass(frozen=True)
class Cause:
    """One thing that may be other than entered.

    Attributes
    ----------
    name : str
        ``condylar_inclination_deg.right`` as in ``occlusion.spread``, or
        ``tooth_height_mm.16``; wings by excursion, condyles by side.
    kind : str
        ``setting``; ``denture tooth`` of the denture that is made; ``opposing denture tooth`` or
        ``natural tooth``, which are measured again.
    value : float or None
        As entered; None for a tooth, whose change alone is told.
    sd : float
        Deviation of the reading: changes of its size are usual, of many times that rare.
    low, high : float
        Least and greatest change that is looked at; the hard limits of the setting hold.
    tooth : str or None
        The tooth of a height.
    chosen : DentureTooth or None
        The tooth to re-set: of the denture that is made. A natural tooth cannot stand here.
    """

    name: str
    kind: CauseKind
    value: float | None
    sd: float
    low: float
    high: float
    tooth: str | None = None
    chosen: DentureTooth | None = None

    @property
    def quantity(self) -> str:
        return self.name.partition(".")[0]

    @property
    def side(self) -> str:
        """``right``, ``left`` or nothing."""
        part = self.name.partition(".")[2]
        return part if part in ("right", "left") else ""

    @property
    def unit(self) -> str:
        return "mm" if self.tooth else LIMITS[self.quantity].unit

    def nodes(self) -> Array:
        """Changes to compute, close together around 0, which is one of them."""
        scale = FURTHEST[self.quantity] / 6.0
        low, high = np.arcsinh(np.array([self.low, self.high]) / scale)
        between = scale * np.sinh(np.linspace(low, high, NODES))
        return np.unique(np.append(between, 0.0).clip(self.low, self.high))

    def applied(self, settings: ArticulatorSettings, change: float) -> ArticulatorSettings:
        """The settings with this change made.

        Raises
        ------
        BadRequest, OutOfRange
        """
        side: Side = "right" if self.side == "right" else "left" if self.side else "both"
        return changed(settings=settings, quantity=self.quantity, by=change, side=side)


def possible_causes(
    settings: ArticulatorSettings,
    forms: Iterable[ToothForm],
    *,
    half_widths: Mapping[str, float] | None = None,
    readings: Mapping[str, Measured] | None = None,
    own: Collection[str] | None = None,
) -> tuple[Cause, ...]:
    """Every setting that may be off as read, and every tooth.

    Parameters
    ----------
    settings : ArticulatorSettings
        As entered.
    forms : iterable of ToothForm
        The teeth of both arches.
    half_widths, readings : mapping, optional
        Reading errors, as for ``occlusion.spread.draws_of``; a reading without an error is
        exact and no cause.
    own : collection of str, optional
        Teeth of the denture that is made; None: every denture tooth.
    """
    widths = {name: DEFAULT_HALF_WIDTHS[name] for name in READ}
    read = readings_of(
        settings, widths if half_widths is None else half_widths, check_readings(readings)
    )
    found = []
    for name, reading in read.items():
        quantity = name.partition(".")[0]
        if quantity not in READ or reading.sd <= 0.0:
            continue
        hard_low, hard_high = LIMITS[quantity].hard
        most = FURTHEST[quantity]
        found.append(
            Cause(
                name=name,
                kind="setting",
                value=reading.value,
                sd=reading.sd,
                low=max(-most, hard_low - reading.value),
                high=min(most, hard_high - reading.value),
            )
        )
    return (*found, *(_height(form.tooth, form.material, own) for form in forms))


def _height(tooth: str, material: Material, own: Collection[str] | None) -> Cause:
    kind: CauseKind = "natural tooth"
    if material == "denture":
        kind = "denture tooth" if own is None or tooth in own else "opposing denture tooth"
    most = FURTHEST["tooth_height_mm"]
    return Cause(
        name=f"tooth_height_mm.{tooth}",
        kind=kind,
        value=None,
        sd=sd_of(HEIGHT_HALF_WIDTH_MM),
        low=-most,
        high=most,
        tooth=tooth,
        chosen=as_object(tooth, material) if kind == "denture tooth" else None,
    )
