"""Further errors of a gap, beside those of the settings, as draws or as deviations.

A registration error shifts one arch as a whole; a wrong hinge axis lets it close forward
or backward of where the record had it; a facet may be flatter or steeper than read. All
are small, so each acts on the gap in a straight line.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from occlusion.errors import NotANumber
from occlusion.frames import Array
from occlusion.pin import wrong_axis
from occlusion.ranges import check_hard
from occlusion.schemes import State
from occlusion.spread.draws import Draws, stream
from occlusion.spread.measured import sd_of

DOUBT = 0.05
"""From this probability on an interference is called possible (common practice, no source)."""


def rigid_shift_mm(draws: Draws, *, sd_mm: Sequence[float], name: str = "registration") -> Array:
    """Drawn shifts of the lower arch as a whole, normal, shape (draws, 3).

    Parameters
    ----------
    draws : Draws
        How many, and their seed.
    sd_mm : sequence of three float
        Standard deviation along x, y and z.
    name : str
        The same name gives the same shifts, so that excursions share them.
    """
    sds = np.asarray(sd_mm, dtype=float)
    if sds.shape != (3,) or not np.isfinite(sds).all() or (sds < 0).any():
        raise NotANumber(
            "The deviations of a shift are not three numbers from 0 up. Enter one for x, y and z "
            "in millimetres.",
            field="sd_mm",
        )
    return np.asarray(stream(draws.seed, name).standard_normal((len(draws), 3)) * sds)


def gap_of_shift_mm(shift_mm: Any, *, towards: Any, facet_deg: Any) -> Array:
    """What a shift of the lower arch does to the gap over facets.

    Parameters
    ----------
    shift_mm : array_like, shape (draws, 3)
        Upward it closes the gap; along the movement it closes it by the facet's tangent.
    towards : array_like, shape (..., 2) or (2,)
        Horizontal direction in which the lower tooth moves.
    facet_deg : array_like, shape (...)
        Slope of each facet along it.

    Returns
    -------
    ndarray, shape (draws, ...)
        To be added to the gaps of the same draws.
    """
    shift, way = np.asarray(shift_mm, float), np.asarray(towards, float)
    way = way / np.maximum(np.linalg.norm(way, axis=-1, keepdims=True), 1e-12)
    along = np.tensordot(shift[:, :2], way, axes=([1], [-1]))
    up = shift[:, 2].reshape(-1, *[1] * (along.ndim - 1))
    return np.asarray(-up - along * np.tan(np.radians(facet_deg)))


def vertical_errors_mm(draws: Draws, *, sd_mm: Mapping[str, Any]) -> Array:
    """Drawn vertical errors of sites, from independent deviations put together.

    Parameters
    ----------
    draws : Draws
        How many, and their seed.
    sd_mm : mapping of str to array_like
        Deviation by its cause, a number or one for each site; causes add up as squares.
        Sites are drawn on their own.

    Returns
    -------
    ndarray, shape (draws, ...)
        Normal, to be added to the gaps of the same draws.
    """
    causes = [np.asarray(sd, dtype=float) for sd in sd_mm.values()]
    if not causes:
        return np.zeros(len(draws))
    if any((~np.isfinite(sd)).any() or (sd < 0).any() for sd in causes):
        raise NotANumber(
            "A vertical deviation is not a number from 0 up. Enter millimetres.", field="sd_mm"
        )
    total = np.sqrt(sum(np.square(sd) for sd in np.broadcast_arrays(*causes)))
    random = stream(draws.seed, "vertical")
    return np.asarray(random.standard_normal((len(draws), *total.shape)) * total)


def axis_error_sd_mm(
    *,
    points_mm: Any,
    record_point_mm: tuple[float, float],
    record_mm: float,
    half_width_mm: float,
    facet_deg: Any,
) -> Array:
    """Deviation of the gap over facets because the mounted hinge axis is not the true one.

    Sources: geometry; see ``pin.wrong_axis``. A record of some thickness leaves the arch
    forward or back of its place once the articulator is closed; a facet turns that into a
    gap by its tangent.

    Parameters
    ----------
    points_mm : array_like, shape (m, 3) or (3,)
        The teeth.
    record_point_mm : (x, z)
        Where the thickness of the record was read.
    record_mm : float
        Its thickness.
    half_width_mm : float
        How far the axis may be off, forward and back, and up and down.
    facet_deg : array_like, shape (m,)
        Slope of each facet.
    """
    width = check_hard("reading_half_width", half_width_mm, field="half_width_mm")
    points = np.asarray(points_mm, dtype=float)
    shifts = [
        [
            wrong_axis(
                record_point_mm=record_point_mm,
                record_mm=record_mm,
                axis_error_mm=error,
                watched_point_mm=(float(x), float(z)),
            ).forward_shift_mm
            for error in ((width, 0.0), (0.0, width))
        ]
        for x, _, z in np.atleast_2d(points)
    ]
    sd = np.hypot(*np.array(shifts).T) * sd_of(1.0) * np.abs(np.tan(np.radians(facet_deg)))
    return np.asarray(sd[0] if points.ndim == 1 else sd)


def state_of(*, gap_mm: float, p_interference: float, band_mm: float) -> State:
    """What is said of a gap: 'interference possible' from 5 % on, never more than is known.

    Parameters
    ----------
    gap_mm : float
        As read; negative: an interference of that depth.
    p_interference : float
        Chance of an overlap beyond the band.
    band_mm : float
        Gap or overlap that counts as contact.
    """
    if gap_mm < -band_mm:
        return "interference"
    if p_interference > DOUBT:
        return "interference possible"
    return "contact" if gap_mm <= band_mm else "none predicted"
