"""Whole arches for the tests of the calliper model, and the gaps that they leave."""

import math

import numpy as np

from occlusion import ArticulatorSettings, CondylarSide, Excursion, IncisalTable, lower_position
from occlusion.articulator import ReferencePlane
from occlusion.surfaces.arches import Arches, set_up
from occlusion.surfaces.gaps import gap_maps, minima
from tests.occlusion.surfaces.crowns import INCISAL, arch

#: Upper back teeth.
BACK = [f"{q}{n}" for q in "12" for n in range(4, 8)]


def made(upper=None, lower=None, **other):
    """A denture over natural teeth, unless told otherwise."""
    return set_up(
        upper=arch("upper", "denture") if upper is None else upper,
        lower=arch("lower", "natural") if lower is None else lower,
        **{"incisal_point_mm": INCISAL, **other},
    )


def articulator(beta=30.0, table=10.0, tilt=0.0):
    return ArticulatorSettings(
        intercondylar_mm=110.0,
        right=CondylarSide(inclination_deg=beta, bennett_deg=15.0),
        left=CondylarSide(inclination_deg=beta, bennett_deg=15.0),
        table=IncisalTable(
            sagittal_deg=table,
            wing_right_excursion_deg=10.0,
            wing_left_excursion_deg=10.0,
            mounted_on="upper",
        ),
        incisal_point_mm=INCISAL,
        reference_plane=ReferencePlane(name="plane", tilt_deg=tilt),
    )


def position(kind="protrusive", travel=3.0, along="path", **of):
    excursion = Excursion(
        kind=kind,
        blend=1.0 if kind == "protrusive" else 0.0,
        travel_mm=travel,
        travel_along=along,
    )
    return lower_position(settings=articulator(**of), excursion=excursion).transform


def least(arches, transform=None, pitch=0.1):
    """Least gap of each upper tooth, on the grids that a check uses."""
    samples = arches.samples("upper", pitch_mm=pitch)
    field = arches.field("lower", pitch_mm=pitch)
    moved = np.eye(4) if transform is None else transform
    gaps, _at = minima(gap_maps(field, samples, moved[None]), samples)
    return dict(zip(samples.names, gaps[0].tolist(), strict=True))


def finely(arches, tooth):
    """The same for one tooth by the second opinion's rule, ever more finely around the least."""
    (form,) = [form for form in arches.upper if form.tooth == tooth]
    alone = Arches((form,), arches.lower, {}, (), (), arches.asked)
    (x, y), half, least_yet = form.centre_mm, 7.0, math.inf
    for step in (0.1, 0.02, 0.004):
        side = np.arange(-half, half + step, step)
        places = np.stack(np.meshgrid(x + side, y + side), axis=-1).reshape(-1, 2)
        gaps = alone.heights("upper", *places.T) - alone.heights("lower", *places.T)
        least_yet = min(least_yet, float(np.nanmin(gaps)))
        (x, y), half = places[np.nanargmin(gaps)], 6.0 * step
    return least_yet
