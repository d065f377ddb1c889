"""Facets as read by callipers, and what the clearance check says about them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from occlusion.articulator import Kind, Point, ReferencePlane, choose
from occlusion.ranges import EngineWarning, check_hard, check_point
from occlusion.schemes import Predicted, Role, Scheme, State, Verdict
from occlusion.teeth import check_side, check_tooth, side_of

Antagonist = Literal["natural", "denture"]


@dataclass(frozen=True, kw_only=True)
class FacetSite:
    """A tooth with its facets, as read by callipers.

    Parameters
    ----------
    tooth : str
        ISO 3950.
    landmark_mm : tuple of float
        Where it meets its antagonist, in articulator axes.
    protrusive_facet_deg, working_facet_deg, balancing_facet_deg : float
        Slope of the facet that guides in each role, along the path.
    antagonist : {"natural", "denture"} or None
        What it meets. None: no result, and the answer says so.
    plane : ReferencePlane, optional
        The plane the facets are read against; None means that of the settings.
    """

    tooth: str
    landmark_mm: Point
    protrusive_facet_deg: float
    working_facet_deg: float
    balancing_facet_deg: float
    antagonist: Antagonist | None
    plane: ReferencePlane | None = None

    def __post_init__(self) -> None:
        check_tooth(self.tooth)
        field = f"{self.tooth}.landmark_mm"
        point = check_point(self.landmark_mm, field=field, label=f"place of tooth {self.tooth}")
        object.__setattr__(self, "landmark_mm", point)
        check_side(self.tooth, point[1], field=field)
        for role in get_args(Role):
            name = f"{role}_facet_deg"
            label = f"{role} facet of tooth {self.tooth}"
            value = check_hard("facet_deg", getattr(self, name), field=name, label=label)
            object.__setattr__(self, name, value)
        if self.antagonist is not None:
            choose(self.antagonist, get_args(Antagonist), field="antagonist", label="antagonist")

    def facet_deg(self, role: Role) -> float:
        return float(getattr(self, f"{role}_facet_deg"))


@dataclass(frozen=True)
class SiteClearance:
    """One tooth in one excursion.

    Attributes
    ----------
    tooth, role : str
        ISO 3950; protrusive, working or balancing.
    state : str
        ``interference``, ``interference possible``, ``contact`` or ``none predicted``.
    predicted : str
        The same from the values as read, without their errors.
    verdict : str
        Against the scheme: ``as wanted``, ``not as wanted`` or ``scheme silent``.
    gap_mm, at_travel_mm : float
        The deepest overlap (negative) of an interference, else the gap at the end.
    sd_mm, p_interference : float or None
        Standard deviation of that gap, and the greatest probability along the path of an
        overlap beyond the band; None when no reading errors were given.
    conditional : bool
        The front teeth lift the pin in this excursion: the rest holds only as modelled.
    series : tuple of (travel_mm, gap_mm)
        The gap along the excursion.
    """

    tooth: str
    role: Role
    state: State
    predicted: Predicted
    verdict: Verdict
    gap_mm: float
    at_travel_mm: float
    sd_mm: float | None
    p_interference: float | None
    conditional: bool
    series: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class ExcursionClearance:
    """One excursion: how far it was followed, the greatest lift of the pin, the teeth."""

    excursion: Kind
    travel_mm: float
    pin_lift_mm: float
    pin_lift_at_mm: float
    sites: tuple[SiteClearance, ...]


@dataclass(frozen=True)
class LeftOut:
    """A tooth without a result, and why."""

    tooth: str
    text: str


@dataclass(frozen=True)
class FacetClearance:
    """The answer, with what it rests on."""

    scheme: Scheme
    band_mm: float
    excursions: tuple[ExcursionClearance, ...]
    left_out: tuple[LeftOut, ...]
    assumptions: tuple[str, ...]
    warnings: tuple[EngineWarning, ...]


def role_of(tooth: str, kind: Kind) -> Role:
    """What an excursion makes of a tooth."""
    if kind == "protrusive":
        return "protrusive"
    return "working" if side_of(tooth) == kind else "balancing"
