"""Clearance of denture teeth from calliper readings: facets against the movement.

First version: each tooth is one facet per role, in contact at maximum intercuspation
and straight along the path. The gap is the drop of the lower point there, minus its
horizontal travel times the tangent of the facet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import get_args

import numpy as np

from occlusion import frames
from occlusion.articulator import (
    ArticulatorSettings,
    Excursion,
    Kind,
    choose,
)
from occlusion.errors import BadRequest
from occlusion.facets import (
    ExcursionClearance,
    FacetClearance,
    FacetSite,
    LeftOut,
    SiteClearance,
    role_of,
)
from occlusion.frames import Array
from occlusion.front import (
    FrontGuidance,
    PinLift,
    guided_settings,
    pin_lift,
    warnings_for_front,
)
from occlusion.motion import facet_gap_mm, landmark_movement, lower_positions
from occlusion.ranges import LIMITS, EngineWarning, check_hard
from occlusion.schemes import Predicted, Role, Scheme, judge
from occlusion.sources import MODEL_LIMITS, cite
from occlusion.spread import (
    STEPS,
    check_half_widths,
    probability_below,
    root_sum_square,
    sd_of,
    variations,
)

__all__ = [
    "BAND_MM",
    "DOUBT",
    "ExcursionClearance",
    "FacetClearance",
    "FacetSite",
    "FrontGuidance",
    "LeftOut",
    "SiteClearance",
    "facet_clearance",
]

BAND_MM = 0.10
"""A gap or overlap up to this counts as contact in a wax set-up (common practice, no source)."""

DOUBT = 0.05
"""From this probability on an interference is called possible (common practice, no source)."""

LIFT_NOTICED_MM = 0.05
"""A smaller lift of the pin is not told (common practice, no source)."""

CALLIPER_DEPTH_MM = 0.3
"""Callipers are not worth a smaller depth: 5 deg of facet are 0.2 mm at 3 mm travel."""

KINDS: tuple[Kind, ...] = ("protrusive", "right", "left")


def facet_clearance(
    *,
    settings: ArticulatorSettings,
    sites: Sequence[FacetSite],
    front: FrontGuidance,
    scheme: Scheme,
    band_mm: float = BAND_MM,
    reading_half_widths: Mapping[str, float] | None = None,
    steps: int = 30,
) -> FacetClearance:
    """Each tooth in protrusion and both lateral excursions, judged against the scheme.

    Parameters
    ----------
    settings : ArticulatorSettings
        The articulator. Gaps are counted from maximum intercuspation at its pin setting,
        so an opened pin makes no room.
    sites : sequence of FacetSite
        The teeth.
    front : FrontGuidance
        Front teeth; they set the travel, and may guide.
    scheme : {"balanced", "lingualised", "group", "canine", "flat"}
        As prescribed.
    band_mm : float
        Overlap or gap that counts as contact.
    reading_half_widths : mapping of str to float, optional
        How far readings may be off, for example ``spread.DEFAULT_HALF_WIDTHS``. None: no
        spread is computed.
    steps : int
        Steps of each travel.

    Raises
    ------
    OcclusionError
        Any refusal of the settings, sites or movements.
    """
    choose(scheme, get_args(Scheme), field="scheme", label="scheme")
    band = check_hard("band_mm", band_mm)
    spread = None if reading_half_widths is None else check_half_widths(reading_half_widths)
    for site in sites:
        if site.plane is not None:
            frames.same_plane(
                settings.reference_plane.key, site.plane.key, field=f"{site.tooth}.plane"
            )
    judged = [site for site in sites if site.antagonist is not None]
    left_out = tuple(
        LeftOut(
            site.tooth, f"Tooth {site.tooth} has no antagonist, so nothing is predicted for it."
        )
        for site in sites
        if site.antagonist is None
    )
    if not sites:
        raise BadRequest("No tooth was given. Give at least one site.", field="sites")
    found = tuple(
        _excursion(settings, judged, front, scheme, band, spread, steps, kind) for kind in KINDS
    )
    return FacetClearance(
        scheme=scheme,
        band_mm=band,
        excursions=found,
        left_out=left_out,
        assumptions=_assumptions(settings, front, spread),
        warnings=(*warnings_for_front(settings, front), *_shallow(found)),
    )


def _excursion(
    settings: ArticulatorSettings,
    sites: Sequence[FacetSite],
    front: FrontGuidance,
    scheme: Scheme,
    band: float,
    spread: dict[str, float] | None,
    steps: int,
    kind: Kind,
) -> ExcursionClearance:
    travel = front.travel_mm(kind)
    excursion = Excursion(kind=kind, travel_mm=travel, travel_along="horizontal")
    varied = variations(settings, spread) if spread else []
    moved, advance, lift = _movements(
        [settings, *(one for _, one, _ in varied)], sites, front, excursion, steps
    )
    rows = []
    for index, site in enumerate(sites):
        role = role_of(site.tooth, kind)
        facet = site.facet_deg(role)
        gaps = facet_gap_mm(moved[:, :, index, :], facet)
        sd = None
        if spread is not None:
            parts = [np.abs(gaps[i + 1] - gaps[0]) * row[2] for i, row in enumerate(varied)]
            parts.append(_facet_sd(moved[0, :, index, :], facet, spread))
            sd = root_sum_square(parts)
        rows.append(
            _judged(
                site=site,
                role=role,
                scheme=scheme,
                band=band,
                gap=gaps[0],
                sd=sd,
                advance=advance,
                conditional=lift is not None and lift.lift_mm > LIFT_NOTICED_MM,
            )
        )
    return ExcursionClearance(
        excursion=kind,
        travel_mm=travel,
        pin_lift_mm=lift.lift_mm if lift else 0.0,
        pin_lift_at_mm=lift.at_travel_mm if lift else 0.0,
        sites=tuple(rows),
    )


def _movements(
    several: list[ArticulatorSettings],
    sites: Sequence[FacetSite],
    front: FrontGuidance,
    excursion: Excursion,
    steps: int,
) -> tuple[Array, Array, PinLift | None]:
    """Movements (draws, n, sites, 3) from each draw's own start, in the reference plane."""
    points = np.array([site.landmark_mm for site in sites]).reshape(-1, 3)
    settings = several[0]
    on_table = lower_positions(settings=several, excursion=excursion, steps=steps)
    moved = landmark_movement(on_table, points)
    lift = None
    guided = guided_settings(settings, front)
    if guided is not None:
        stand_in = [guided_settings(one, front) or one for one in several]
        on_teeth = lower_positions(settings=stand_in, excursion=excursion, steps=steps)
        lift = pin_lift(
            settings=settings,
            guided=guided,
            front=front,
            excursion=excursion,
            on_table=on_table.of(0),
            on_teeth=on_teeth.of(0),
        )
        if front.guided_by != "table":
            by_teeth = landmark_movement(on_teeth, points)
            moved = np.where(lift.ruled[None, :, None, None], by_teeth, moved)
    moved = moved - moved[:, :1]
    tilt = settings.reference_plane.tilt_deg
    return frames.into_plane(moved, tilt_deg=tilt), on_table.advance_mm[0], lift


def _judged(
    *,
    site: FacetSite,
    role: Role,
    scheme: Scheme,
    band: float,
    gap: Array,
    sd: Array | None,
    advance: Array,
    conditional: bool,
) -> SiteClearance:
    lowest = int(np.argmin(gap))
    predicted: Predicted = "none predicted"
    at = len(gap) - 1
    if gap[lowest] < -band:
        predicted, at = "interference", lowest
    elif gap.max() <= band:
        predicted = "contact"
    chance = None
    if sd is not None:
        chance = max(
            probability_below(value=float(g), sd=float(s), limit=-band)
            for g, s in zip(gap, sd, strict=True)
        )
    possible = predicted != "interference" and chance is not None and chance > DOUBT
    return SiteClearance(
        tooth=site.tooth,
        role=role,
        state="interference possible" if possible else predicted,
        predicted=predicted,
        verdict=judge(scheme, role, tooth=site.tooth, predicted=predicted, possible=possible),
        gap_mm=float(gap[at]),
        at_travel_mm=float(advance[at]),
        sd_mm=None if sd is None else float(sd[at]),
        p_interference=chance,
        conditional=conditional,
        series=tuple((float(f), float(g)) for f, g in zip(advance, gap, strict=True)),
    )


def _facet_sd(moved: Array, facet_deg: float, spread: dict[str, float]) -> Array:
    """Share of the facet's own reading error, by a forward difference like the others."""
    step = STEPS["facet_deg"]
    change = facet_gap_mm(moved, facet_deg + step) - facet_gap_mm(moved, facet_deg)
    return np.asarray(np.abs(change) * sd_of(spread.get("facet_deg", 0.0)) / step)


def _shallow(found: tuple[ExcursionClearance, ...]) -> tuple[EngineWarning, ...]:
    """A warning where an interference is smaller than callipers can tell."""
    teeth = {
        site.tooth
        for excursion in found
        for site in excursion.sites
        if site.predicted == "interference" and site.gap_mm > -CALLIPER_DEPTH_MM
    }
    if not teeth:
        return ()
    return (
        EngineWarning(
            "calliper_depth_small",
            f"Interferences under {CALLIPER_DEPTH_MM:g} mm are less than callipers can tell "
            f"({', '.join(sorted(teeth))}). Mark them with foil before any reduction.",
            cite("geometry"),
        ),
    )


def _assumptions(
    settings: ArticulatorSettings, front: FrontGuidance, spread: dict[str, float] | None
) -> tuple[str, ...]:
    forward, lateral = front.travel_mm("protrusive"), front.travel_mm("right")
    told = [
        f"Protrusion is followed for {forward:.2f} mm (overjet and 1 mm more), lateral excursions "
        f"for {lateral:.2f} mm (canine tip to tip, from overjet and half a canine of "
        f"{front.canine_width_mm:g} mm), as forward travel of the leading condyle, at most 6 mm.",
        "Every facet touches at maximum intercuspation and is straight along its path.",
    ]
    if settings.pin_opening_mm != 0.0:
        told.append(
            f"Gaps are counted from maximum intercuspation with the pin at "
            f"{settings.pin_opening_mm:g} mm: an opened pin makes no room."
        )
    if front.guided_by == "table":
        told.append(
            "The incisal table guides; where the front teeth are steeper they lift the pin."
        )
    else:
        told.append(
            f"The {front.guided_by} guide at {front.slope_deg:.1f} deg where that is steeper than "
            f"the table, until the lower edge has gone forward by the overjet; then the table."
        )
    if spread is None:
        told.append("Reading errors are not carried through.")
    elif spread:
        read = ", ".join(
            f"{LIMITS[name].label} {width:g} {LIMITS[name].unit}" for name, width in spread.items()
        )
        told.append(f"Reading errors, half-widths: {read}; right and left independent.")
    return (*told, *MODEL_LIMITS)
