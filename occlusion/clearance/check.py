"""The clearance check: two surfaces along the excursions that are asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import get_args

import numpy as np
import numpy.typing as npt

from occlusion.articulator import ArticulatorSettings, choose
from occlusion.clearance import assumptions as words
from occlusion.clearance.doubt import ShapeChange, candidates, doubts
from occlusion.clearance.judge import Told, meets_nothing, state_of, verdict_of
from occlusion.clearance.model import (
    Clearance,
    Doubt,
    ExcursionClearance,
    RegionClearance,
    Step,
)
from occlusion.clearance.normals import Normals
from occlusion.clearance.opposed import Facing, Opposed
from occlusion.clearance.paths import AskedExcursion, Path, follow, follow_many, role_of
from occlusion.clearance.yielding import envelope_heights, reductions
from occlusion.errors import BadRequest
from occlusion.frames import Array
from occlusion.front import FrontGuidance, warnings_for_front
from occlusion.ranges import check_hard
from occlusion.schemes import Role, Scheme
from occlusion.spread import Draws, Measured, vertical_errors_mm
from occlusion.surfaces.gaps import (
    FAR_MM,
    GapMaps,
    contact_area_mm2,
    minima,
    robust_minima,
    vertical_maps,
)
from occlusion.teeth import is_tooth

Indices = npt.NDArray[np.intp]

Mask = npt.NDArray[np.bool_]

LOOKED_AT = 6
"""Positions of a path at which samples are chosen."""

MARGIN_MM = 2.0
"""A sample this much further off than the least of its region is left out."""

MET_MM = 0.1
"""Samples that come this near may stand in the way: vertical lines differ by a degree or two."""

BAND_MM = 0.10
"""A gap or overlap up to this counts as contact in a wax set-up (common practice, no source)."""


def surface_clearance(
    *,
    settings: ArticulatorSettings,
    asked: Sequence[AskedExcursion],
    surfaces: Opposed,
    front: FrontGuidance | None = None,
    scheme: Scheme | None = None,
    band_mm: float = BAND_MM,
    draws: Draws | None = None,
    probes_mm: Sequence[tuple[float, float]] = (),
    exact_normals: bool = False,
    swept_too: Sequence[AskedExcursion] = (),
) -> Clearance:
    """Follow the excursions and say of each region what it meets.

    Parameters
    ----------
    settings : ArticulatorSettings
        The articulator. Gaps are those on the instrument at its pin opening; what could be
        reduced is worked out with the pin closed, because an opened pin makes no room.
    asked : sequence of AskedExcursion
        The movements.
    surfaces : Opposed
        Both arches.
    front : FrontGuidance, optional
        Front teeth that may guide; None: the table guides throughout.
    scheme : {"balanced", "lingualised", "group", "canine", "flat"}, optional
        As prescribed; None: no verdict but on interferences.
    band_mm : float
        Overlap or gap that counts as contact.
    draws : Draws, optional
        Settings that the readings may have meant. None: no spread is computed.
    probes_mm : sequence of (x, y)
        Places at which the height of the swept lower surface is told.
    exact_normals : bool
        Look for the nearest point where a gap is too wide for its cosine; slower.
    swept_too : sequence of AskedExcursion
        Further movements that only count for what stands in the way and for probes, such as
        the blends between a lateral excursion and protrusion.

    Raises
    ------
    OcclusionError
        Any refusal of settings, movements or surfaces.
    """
    if scheme is not None:
        choose(scheme, get_args(Scheme), field="scheme", label="scheme")
    if not asked:
        raise BadRequest("No excursion was given. Give at least one.", field="excursions")
    band = check_hard("band_mm", band_mm, field="contact_band_mm")
    paths = [follow(settings=settings, asked=one, front=front) for one in asked]
    near = [np.zeros(len(facing.samples), dtype=bool) for facing in surfaces.facings]
    found = tuple(
        _excursion(settings, one, path, surfaces, front, scheme, band, draws, exact_normals, near)
        for one, path in zip(asked, paths, strict=True)
    )
    more = [follow(settings=settings, asked=one, front=front) for one in swept_too]
    for path in more:
        for mask, whole in zip(near, surfaces.facings, strict=True):
            facing, kept = near_samples(whole, path)
            mask[kept] |= (
                vertical_maps(facing.field, facing.samples, path.transforms).gap_mm.min(axis=0)
                < MET_MM
            )
    every, closed, met = [*asked, *swept_too], [*paths, *more], [*near]
    if settings.pin_opening_mm != 0.0:
        shut = replace(settings, pin_opening_mm=0.0)
        closed = [follow(settings=shut, asked=one, front=front) for one in every]
        met = [np.ones(len(facing.samples), dtype=bool) for facing in surfaces.facings]
    return Clearance(
        scheme=scheme,
        band_mm=band,
        excursions=found,
        reduction=reductions(every, closed, surfaces, met),
        envelope_z_mm=envelope_heights(closed, surfaces, probes_mm),
        assumptions=words.assumptions(
            settings, asked, surfaces, front, scheme, draws, len(swept_too)
        ),
        warnings=(
            *(warnings_for_front(settings, front) if front is not None else ()),
            *surfaces.warnings,
            *words.when_closed(surfaces, band),
            *words.shallow(found, surfaces),
        ),
    )


def _excursion(
    settings: ArticulatorSettings,
    asked: AskedExcursion,
    path: Path,
    surfaces: Opposed,
    front: FrontGuidance | None,
    scheme: Scheme | None,
    band: float,
    draws: Draws | None,
    exact: bool,
    near: list[Mask],
) -> ExcursionClearance:
    rows: list[RegionClearance] = []
    lift, lift_at = (path.lift.lift_mm, path.lift.at_travel_mm) if path.lift else (0.0, 0.0)
    for index, whole in enumerate(surfaces.facings):
        # The search for nearest points needs the slopes beside the least gap as well.
        facing, kept = (
            (whole, np.ones(len(whole.samples), bool)) if exact else near_samples(whole, path)
        )
        normals = Normals(facing)
        maps = vertical_maps(facing.field, facing.samples, path.transforms)
        near[index][kept] |= maps.gap_mm.min(axis=0) < MET_MM
        plain, cells = minima(maps, facing.samples)
        least = plain.astype(float)
        # Noise pulls the least gap of a scan down: its state rests on the lowest cells together.
        judged = robust_minima(maps, facing.samples).astype(float) if surfaces.robust else least
        told = [Told.of(judged[:, r], band_mm=band) for r in range(least.shape[1])]
        spread: list[Doubt | None] = [None] * len(told)
        if draws is not None:
            spread = _doubts(asked, path, surfaces, facing, maps, told, front, band, draws)
        lifts = _pin_lifts(settings, facing, maps)
        area = contact_area_mm2(maps, facing.samples, band)[-1]
        for r, name in enumerate(facing.samples.names):
            rows.append(
                _region(
                    name=name,
                    asked=asked,
                    path=path,
                    surfaces=surfaces,
                    facing=facing,
                    scheme=scheme,
                    told=told[r],
                    gaps=least[:, r],
                    judged=judged[:, r],
                    normals=normals.along(
                        path.transforms,
                        cells=cells[:, r],
                        vertical_mm=least[:, r],
                        search=exact,
                    ),
                    cell=int(cells[told[r].rests_on, r]),
                    lowest=int(np.argmin(least[:, r])),
                    lowest_cell=int(cells[int(np.argmin(least[:, r])), r]),
                    area=float(area[r]),
                    doubt=spread[r],
                    lift=float(lifts[:, r].max()),
                )
            )
        highest = int(np.argmax(lifts.max(axis=1)))
        if lifts[highest].max() > lift:
            lift, lift_at = float(lifts[highest].max()), float(path.travel_mm[highest])
    return ExcursionClearance(
        excursion=asked.kind,
        blend=asked.blend,
        travel_mm=float(path.travel_mm[-1]),
        pin_lift_mm=lift,
        pin_lift_at_mm=lift_at,
        front_lift_mm=path.lift.lift_mm if path.lift else 0.0,
        front_lift_at_mm=path.lift.at_travel_mm if path.lift else 0.0,
        regions=tuple(rows),
    )


def near_samples(facing: Facing, path: Path) -> tuple[Facing, Mask]:
    """The facing without samples that never come near the least gap of their region.

    Between two of the positions that are looked at a gap changes by less than the margin
    against its neighbours, so that none that would be least is lost.
    """
    n = len(path.travel_mm)
    at = np.unique(np.linspace(0, n - 1, min(LOOKED_AT, n)).round().astype(int))
    samples = facing.samples
    maps = vertical_maps(facing.field, samples, path.transforms[at])
    least, _ = minima(maps, samples)
    margin = np.concatenate([least, np.full((len(at), 1), -FAR_MM, np.float32)], axis=1)
    kept: Mask = np.any(maps.gap_mm <= margin[:, samples.region] + MARGIN_MM, axis=0)
    return replace(facing, samples=samples.taken(kept)), kept


def _region(
    *,
    name: str,
    asked: AskedExcursion,
    path: Path,
    surfaces: Opposed,
    facing: Facing,
    scheme: Scheme | None,
    told: Told,
    gaps: Array,
    judged: Array,
    normals: Array,
    cell: int,
    lowest: int,
    lowest_cell: int,
    area: float,
    doubt: Doubt | None,
    lift: float,
) -> RegionClearance:
    role = role_if_tooth(name, asked)
    series = tuple(
        Step(float(f), float(v), float(n))
        for f, v, n in zip(path.travel_mm, gaps, normals, strict=True)
    )
    if meets_nothing(gaps):
        return RegionClearance(
            name=name,
            role=role,
            state="none predicted",
            predicted="none predicted",
            verdict="scheme silent",
            vertical_mm=None,
            normal_mm=None,
            robust_mm=None,
            at_mm=None,
            at_travel_mm=float(path.travel_mm[-1]),
            gap_mm=None,
            told_at_mm=float(path.travel_mm[-1]),
            place=None,
            contact_area_mm2=0.0,
            doubt=None,
            pin_lift_mm=0.0,
            conditional=path.conditional,
            series=series,
        )
    state = state_of(told, doubt)
    low_x, low_y, low_z = (float(value) for value in facing.samples.points_mm[lowest_cell])
    return RegionClearance(
        name=name,
        role=role,
        state=state,
        predicted=told.predicted,
        verdict=verdict_of(told, state, scheme=scheme, role=role, tooth=name),
        vertical_mm=float(gaps[lowest]),
        normal_mm=float(normals[lowest]),
        robust_mm=float(judged[told.lowest]) if surfaces.robust else None,
        at_mm=(low_x, low_y, low_z),
        at_travel_mm=float(path.travel_mm[lowest]),
        gap_mm=float(judged[told.rests_on]),
        told_at_mm=float(path.travel_mm[told.rests_on]),
        place=surfaces.met(facing, cell, path.transforms[told.rests_on]),
        contact_area_mm2=area,
        doubt=doubt,
        pin_lift_mm=lift,
        conditional=path.conditional,
        series=series,
    )


def _doubts(
    asked: AskedExcursion,
    path: Path,
    surfaces: Opposed,
    facing: Facing,
    maps: GapMaps,
    told: Sequence[Told],
    front: FrontGuidance | None,
    band: float,
    draws: Draws,
) -> list[Doubt | None]:
    rests_on = [one.rests_on for one in told]
    chosen = candidates(gaps_mm=maps.gap_mm, samples=facing.samples, told=rests_on)
    drawn = follow_many(
        several=draws.settings, asked=asked, front=front, nominal=path, at=chosen.at
    )
    names = facing.samples.names
    # Drawn under the tooth's own name: one that is steeper is steeper in every excursion.
    changes = [
        ShapeChange(
            form,
            np.column_stack(
                [
                    draws.of(f"{form.name}.{name}", Measured(0.0, form.half_width.get(name, 0.0)))
                    for name in names
                ]
            ),
        )
        for form in surfaces.forms
    ]
    vertical = None
    if surfaces.vertical_sd_mm:
        sds = [surfaces.vertical_sd_mm.get(name, 0.0) for name in names]
        vertical = vertical_errors_mm(draws, sd_mm={"registration": sds})
    return doubts(
        field=facing.field,
        samples=facing.samples,
        chosen=chosen,
        transforms=drawn,
        nominal=path.transforms[chosen.at],
        told=rests_on,
        band_mm=band,
        changes=changes,
        settled=surfaces.settled,
        vertical_mm=vertical,
    )


def _pin_lifts(settings: ArticulatorSettings, facing: Facing, maps: GapMaps) -> Array:
    """How far each region lifts the pin at each position: overlap times pin over place."""
    ratio = settings.guided_point_mm[0] / np.maximum(facing.samples.points_mm[:, 0], 1.0)
    scaled = GapMaps(
        (maps.gap_mm * ratio.astype(np.float32)).astype(np.float32), maps.normal_mm, maps.outside
    )
    least, _ = minima(scaled, facing.samples)
    return np.asarray(np.maximum(-np.asarray(least, dtype=float), 0.0))


def role_if_tooth(name: str, asked: AskedExcursion) -> Role | None:
    """The role of a region that is named by a tooth number, else None."""
    return role_of(name, asked) if is_tooth(name) else None
