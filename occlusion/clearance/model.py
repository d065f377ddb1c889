"""What the clearance check says: per excursion, per region, and what could be reduced."""

from __future__ import annotations

from dataclasses import dataclass

from occlusion.articulator import Kind
from occlusion.ranges import EngineWarning
from occlusion.schemes import Predicted, Role, Scheme, State, Verdict

Triple = tuple[float, float, float]


@dataclass(frozen=True)
class Doubt:
    """What reading errors do to one gap.

    ``sd_mm``, ``p05_mm`` and ``p95_mm`` are of the gap that is told, ``p_interference`` is
    the share of draws in which some position of the excursion overlaps beyond the band.
    """

    sd_mm: float
    p05_mm: float
    p95_mm: float
    p_interference: float


@dataclass(frozen=True)
class Step:
    """One position of an excursion: travel, and the least gap there."""

    travel_mm: float
    vertical_mm: float
    normal_mm: float


@dataclass(frozen=True)
class RegionClearance:
    """One tooth, or one named region, in one excursion.

    Attributes
    ----------
    name : str
        Tooth or region.
    role : str or None
        ``protrusive``, ``working`` or ``balancing``; None where the region is no tooth.
    state : str
        ``interference``, ``interference possible``, ``contact`` or ``none predicted``.
    predicted : str
        The same from the values as read, without their errors.
    verdict : str
        Against the scheme.
    vertical_mm, normal_mm : float or None
        The least gap along the excursion, vertical and along the surface's normal; None
        where nothing stood opposite.
    robust_mm : float or None
        For scans, whose noise pulls the least gap down: the mean of the lowest 25 cells where
        that is least. The state rests on it. None for callipers.
    at_mm, at_travel_mm
        Where on the surface, and when.
    gap_mm, told_at_mm : float
        The gap that the state rests on, and its travel: the deepest overlap of an
        interference, else the gap at the end, or where something last stood opposite.
    place : str or None
        The opposing tooth at that place.
    contact_area_mm2 : float
        Area within the band at the end of the excursion.
    doubt : Doubt or None
        None when no reading errors were given.
    pin_lift_mm : float
        How far this region alone would lift the pin off its table.
    conditional : bool
        The front teeth lift the pin in this excursion: the rest holds only as modelled.
    series : tuple of Step
        The least gap at each position.
    """

    name: str
    role: Role | None
    state: State
    predicted: Predicted
    verdict: Verdict
    vertical_mm: float | None
    normal_mm: float | None
    robust_mm: float | None
    at_mm: Triple | None
    at_travel_mm: float
    gap_mm: float | None
    told_at_mm: float
    place: str | None
    contact_area_mm2: float
    doubt: Doubt | None
    pin_lift_mm: float
    conditional: bool
    series: tuple[Step, ...]


@dataclass(frozen=True)
class ExcursionClearance:
    """One excursion, as asked for, with the greatest lift of the pin and its regions."""

    excursion: Kind
    blend: float
    travel_mm: float
    pin_lift_mm: float
    pin_lift_at_mm: float
    front_lift_mm: float
    front_lift_at_mm: float
    regions: tuple[RegionClearance, ...]


@dataclass(frozen=True)
class Reduction:
    """How much of a region stands in the way of all excursions asked for.

    ``tooth`` is None where only a natural tooth could yield: then ``place`` names it and
    nothing is proposed. Depths are 0 where nothing stands in the way.
    """

    name: str
    object: str | None
    vertical_mm: float
    normal_mm: float
    incline: str | None
    at_mm: Triple
    place: str | None
    excursion: Kind


@dataclass(frozen=True)
class Clearance:
    """The whole answer."""

    scheme: Scheme | None
    band_mm: float
    excursions: tuple[ExcursionClearance, ...]
    reduction: tuple[Reduction, ...]
    envelope_z_mm: tuple[float | None, ...]
    assumptions: tuple[str, ...]
    warnings: tuple[EngineWarning, ...]
