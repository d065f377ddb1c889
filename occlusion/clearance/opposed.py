"""The surfaces that face each other in a check, and what is known of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from occlusion import frames
from occlusion.frames import Array
from occlusion.ranges import EngineWarning
from occlusion.surfaces.heightfield import HeightField
from occlusion.surfaces.samples import Samples
from occlusion.teeth import other_arch

Material = Literal["denture", "natural"]


@dataclass(frozen=True)
class Facing:
    """Samples of one member against the surface of the other."""

    field: HeightField
    samples: Samples


FormGap = Callable[[str, Array, Array], Array]
"""From member, places (m, 2) of its surface and transforms (m, 4, 4) to the gaps there, in mm;
infinite where nothing stands opposite."""


@dataclass(frozen=True)
class FormReading:
    """A form reading that may be off: gaps as read, and with it one unit larger.

    ``half_width`` is by region name; regions that are not named are exact.
    """

    name: str
    half_width: Mapping[str, float]
    as_read: FormGap
    larger: FormGap


def nowhere(member: str, x_mm: float, y_mm: float) -> None:
    """No tooth is known anywhere: a scan without regions."""
    return


@dataclass(frozen=True)
class Opposed:
    """Two arches, ready to be checked.

    Attributes
    ----------
    facings : tuple of Facing
        Usually one: upper samples against the lower surface. A lower denture against
        natural uppers is looked at from its own side.
    material : mapping of str to {"denture", "natural"}
        Of each tooth or region that may be the place of a finding.
    place_at : callable
        From member ("upper" or "lower"), x and y to the tooth that stands there, or None.
    robust : bool
        Scans are noisy: the mean of the lowest 25 cells stands for the least gap.
    forms : tuple of FormReading
        Form readings whose errors can be carried through.
    settled : frozenset of str
        Regions that were set into contact, whatever their form.
    vertical_sd_mm : mapping of str to float
        Further vertical error of each region, such as that of a registration.
    """

    facings: tuple[Facing, ...]
    material: Mapping[str, Material]
    place_at: Callable[[str, float, float], str | None] = nowhere
    robust: bool = False
    forms: tuple[FormReading, ...] = ()
    settled: frozenset[str] = frozenset()
    vertical_sd_mm: Mapping[str, float] = field(default_factory=dict)
    assumptions: tuple[str, ...] = ()
    warnings: tuple[EngineWarning, ...] = ()

    @property
    def lower(self) -> HeightField | None:
        """The lower surface, where a facing has it."""
        return next((one.field for one in self.facings if one.field.member == "lower"), None)

    def met(self, facing: Facing, cell: int, transform: Array) -> str | None:
        """The opposing tooth that a sample stands over at a position of the lower member."""
        member = facing.samples.member
        T = frames.across(transform, member)
        x, y, _ = T[:3, :3] @ facing.samples.points_mm[cell].astype(float) + T[:3, 3]
        return self.place_at(other_arch(member), float(x), float(y))

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(name for facing in self.facings for name in facing.samples.names)
