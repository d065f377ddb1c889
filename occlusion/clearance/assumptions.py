"""What a check rests on, in sentences, and what it should not be used for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from occlusion.articulator import ArticulatorSettings
from occlusion.clearance.model import ExcursionClearance
from occlusion.clearance.opposed import FormReading, Opposed
from occlusion.clearance.paths import AskedExcursion
from occlusion.front import FrontGuidance
from occlusion.ranges import EngineWarning
from occlusion.schemes import Scheme
from occlusion.sources import MODEL_LIMITS, cite
from occlusion.spread import Draws
from occlusion.surfaces.calliper import LEAST_DEPTH_MM
from occlusion.surfaces.gaps import FAR_MM, minima, vertical_maps

APART_MM = 0.3
"""Arches that nowhere come nearer than this when closed are hardly in contact (common practice,
no source)."""

NAMES = {"protrusive": "Protrusion", "right": "The right excursion", "left": "The left excursion"}


def assumptions(
    settings: ArticulatorSettings,
    asked: Sequence[AskedExcursion],
    surfaces: Opposed,
    front: FrontGuidance | None,
    scheme: Scheme | None,
    draws: Draws | None,
    more: int = 0,
) -> tuple[str, ...]:
    told = [*surfaces.assumptions, *(_followed(one) for one in asked)]
    told.append(
        "Contact means within the band all the way; a tooth that touches at the start and parts "
        "further on counts as none predicted. An interference is told at its deepest."
    )
    if settings.pin_opening_mm != 0.0:
        told.append(
            f"Gaps are those on the instrument with the pin at {settings.pin_opening_mm:g} mm; "
            "depths of reduction are worked out with the pin closed: an opened pin makes no room."
        )
    if more:
        told.append(
            f"{more} blends between the lateral excursions and protrusion count as well for what "
            "stands in the way."
        )
    told.append(_guidance(front))
    if scheme is None:
        told.append("No occlusal scheme is given: nothing is judged against one.")
    told += ["Reading errors are not carried through."] if draws is None else draws.assumptions
    if draws is not None:
        told += [_form(form) for form in surfaces.forms]
    return (*told, *MODEL_LIMITS)


def shallow(found: Sequence[ExcursionClearance], surfaces: Opposed) -> tuple[EngineWarning, ...]:
    """A warning where an interference is smaller than callipers can tell."""
    if surfaces.robust:
        return ()
    teeth = {
        region.name
        for excursion in found
        for region in excursion.regions
        if region.predicted == "interference"
        and region.gap_mm is not None
        and region.gap_mm > -LEAST_DEPTH_MM
    }
    if not teeth:
        return ()
    return (
        EngineWarning(
            "calliper_depth_small",
            f"Interferences under {LEAST_DEPTH_MM:g} mm are less than callipers can tell "
            f"({', '.join(sorted(teeth))}). Mark them with foil before any reduction.",
            cite("geometry"),
        ),
    )


def when_closed(surfaces: Opposed, band_mm: float) -> tuple[EngineWarning, ...]:
    """Warnings on how the arches stand before anything moves, with the pin closed."""
    found = []
    shut = np.eye(4)[None]
    for facing in surfaces.facings:
        samples = facing.samples
        least, _ = minima(vertical_maps(facing.field, samples, shut), samples)
        alone = [n for n, gap in zip(samples.names, least[0], strict=True) if gap >= FAR_MM]
        into = [n for n, gap in zip(samples.names, least[0], strict=True) if gap < -band_mm]
        if alone:
            found.append(
                EngineWarning(
                    "no_antagonist",
                    f"Nothing stands opposite {', '.join(alone)} when closed, so nothing is "
                    "looked at there: no contact told is none seen.",
                    cite("geometry"),
                )
            )
        if into:
            found.append(
                EngineWarning(
                    "overlap_when_closed",
                    f"The arches overlap when closed, at {', '.join(into)} by up to "
                    f"{-float(least.min()):.2f} mm. Check how they were brought together before "
                    "anything is taken off for an excursion.",
                    cite("geometry"),
                )
            )
        if APART_MM < float(least.min()) < FAR_MM:
            found.append(
                EngineWarning(
                    "apart_when_closed",
                    f"The arches stand {float(least.min()):.2f} mm apart when closed. Gaps are "
                    "told from there; settle them into contact if they should meet.",
                    cite("geometry"),
                )
            )
    return tuple(found)


def _followed(asked: AskedExcursion) -> str:
    along = "forward" if asked.travel_along == "horizontal" else "along its path"
    blend = f", {100 * asked.blend:.0f} % of the way to protrusion," if 0 < asked.blend < 1 else ""
    return (
        f"{NAMES[asked.kind]}{blend} is followed until the leading condyle has gone "
        f"{asked.travel_mm:.2f} mm {along}, in {asked.steps} steps."
    )


def _guidance(front: FrontGuidance | None) -> str:
    if front is None:
        return "The incisal table guides throughout; front teeth are not looked at."
    if front.guided_by == "table":
        return "The incisal table guides; where the front teeth are steeper they lift the pin."
    return (
        f"The {front.guided_by} guide at {front.slope_deg:.1f} deg where that is steeper than "
        "the table, until the lower edge has gone forward by the overjet; then the table."
    )


def _form(form: FormReading) -> str:
    widths = sorted(set(form.half_width.values()))
    told = " or ".join(f"{width:g}" for width in widths if width)
    if not told:
        return f"The {form.name} is taken as exact."
    return f"The {form.name} may be off by {told} deg either way, each tooth on its own."
