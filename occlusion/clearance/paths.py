"""Where the lower member stands along the excursions that are asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from occlusion.articulator import Along, ArticulatorSettings, Excursion, Kind
from occlusion.frames import Array
from occlusion.front import FrontGuidance, PinLift, guided_settings, pin_lift
from occlusion.motion import LowerPositions, lower_positions
from occlusion.ranges import check_hard
from occlusion.schemes import Role
from occlusion.surfaces.envelope import fan_excursions
from occlusion.teeth import side_of

BLEND_STEPS = 15
"""Steps of a blend: neighbours in the fan lie closer than its positions."""

Indices = npt.NDArray[np.intp]

STEPS = 30
"""Steps of a travel; 30 miss less than 0.005 mm of what 60 find."""


@dataclass(frozen=True, kw_only=True)
class AskedExcursion:
    """An excursion to follow, in so many steps."""

    kind: Kind
    blend: float = 0.0
    travel_mm: float
    travel_along: Along = "horizontal"
    steps: int = STEPS

    def __post_init__(self) -> None:
        object.__setattr__(self, "steps", int(check_hard("steps", self.steps)))
        _ = self.excursion

    @property
    def excursion(self) -> Excursion:
        return Excursion(
            kind=self.kind,
            blend=self.blend,
            travel_mm=self.travel_mm,
            travel_along=self.travel_along,
        )


@dataclass(frozen=True)
class Path:
    """The positions of one excursion, guided by the table or by the front teeth.

    Attributes
    ----------
    transforms : ndarray, shape (n, 4, 4)
        From closed maximum intercuspation.
    travel_mm : ndarray, shape (n,)
        Advance of the leading condyle.
    lift : PinLift or None
        What front teeth that are steeper than the table do to the pin.
    """

    transforms: Array
    travel_mm: Array
    lift: PinLift | None

    @property
    def conditional(self) -> bool:
        return self.lift is not None and self.lift.lift_mm > LIFT_NOTICED_MM


LIFT_NOTICED_MM = 0.05
"""A smaller lift of the pin is not told (common practice, no source)."""


def travels_of(front: FrontGuidance, *, steps: int = STEPS) -> tuple[AskedExcursion, ...]:
    """The three excursions as far as the front teeth make them matter."""
    kinds: tuple[Kind, ...] = ("protrusive", "right", "left")
    return tuple(
        AskedExcursion(kind=kind, travel_mm=front.travel_mm(kind), steps=steps) for kind in kinds
    )


def blends_of(front: FrontGuidance, *, steps: int = BLEND_STEPS) -> tuple[AskedExcursion, ...]:
    """Blends between each lateral excursion and protrusion, as far as these go."""
    lengths: dict[Kind, float] = {
        kind: front.travel_mm(kind) for kind in ("protrusive", "right", "left")
    }
    return tuple(
        AskedExcursion(
            kind=one.kind,
            blend=one.blend,
            travel_mm=one.travel_mm,
            travel_along=one.travel_along,
            steps=steps,
        )
        for one in fan_excursions(travel_mm=lengths, travel_along="horizontal")
        if one.blend > 0.0
    )


def follow(
    *, settings: ArticulatorSettings, asked: AskedExcursion, front: FrontGuidance | None
) -> Path:
    """The positions of one excursion.

    Raises
    ------
    OcclusionError
        Any refusal of settings or travel.
    """
    on_table = lower_positions(settings=settings, excursion=asked.excursion, steps=asked.steps)
    guided = None if front is None else guided_settings(settings, front)
    if front is None or guided is None:
        return Path(on_table.transforms, on_table.advance_mm, None)
    on_teeth = lower_positions(settings=guided, excursion=asked.excursion, steps=asked.steps)
    lift = pin_lift(
        settings=settings,
        guided=guided,
        front=front,
        excursion=asked.excursion,
        on_table=on_table,
        on_teeth=on_teeth,
    )
    transforms = _ruled(front, lift, on_table, on_teeth)
    return Path(transforms, on_table.advance_mm, lift)


def follow_many(
    *,
    several: Sequence[ArticulatorSettings],
    asked: AskedExcursion,
    front: FrontGuidance | None,
    nominal: Path,
    at: Indices,
) -> Array:
    """Transforms (draws, k, 4, 4) of drawn settings at positions ``at`` of the nominal path.

    The front teeth guide where they guide nominally: whether they do is no matter of a
    reading's last degree.
    """
    on_table = lower_positions(settings=several, excursion=asked.excursion, steps=asked.steps)
    if front is None or nominal.lift is None or front.guided_by == "table":
        return _at(on_table, nominal, at)
    stand_in = [guided_settings(one, front) or one for one in several]
    on_teeth = lower_positions(settings=stand_in, excursion=asked.excursion, steps=asked.steps)
    ruled = nominal.lift.ruled[at]
    return np.asarray(
        np.where(ruled[None, :, None, None], _at(on_teeth, nominal, at), _at(on_table, nominal, at))
    )


def role_of(tooth: str, asked: AskedExcursion) -> Role:
    """What an excursion makes of a tooth."""
    if asked.excursion.is_protrusion:
        return "protrusive"
    return "working" if side_of(tooth) == asked.kind else "balancing"


def _ruled(
    front: FrontGuidance, lift: PinLift, on_table: LowerPositions, on_teeth: LowerPositions
) -> Array:
    if front.guided_by == "table":
        return on_table.transforms
    ruled = lift.ruled[:, None, None]
    return np.asarray(np.where(ruled, on_teeth.transforms, on_table.transforms))


def _at(positions: LowerPositions, nominal: Path, at: Indices) -> Array:
    """Drawn positions that stand for the nominal ones: the side shift may take other steps."""
    extra = len(positions) - len(nominal.travel_mm)
    index = np.where(at + extra >= 0, at + extra, 0)
    return np.asarray(positions.transforms[:, index])
