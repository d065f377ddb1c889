"""Reading errors carried through the gap of every region, by seeded draws.

One set of draws serves all regions and all excursions, so that what moves together stays
together. Whole maps are not drawn: of each region the deepest cells of a coarse grid are
kept, at a few positions and wherever a region is told; a test holds the difference.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from occlusion.articulator import Member
from occlusion.clearance.model import Doubt
from occlusion.clearance.opposed import FormGap, FormReading
from occlusion.frames import Array
from occlusion.surfaces.gaps import FAR_MM, sample_gaps
from occlusion.surfaces.heightfield import HeightField
from occlusion.surfaces.samples import Samples

Floats = npt.NDArray[np.float32]
Indices = npt.NDArray[np.intp]

COARSE_MM = 0.2
"""Of each square of this size only the deepest cell is kept."""

KEPT = 30
"""Squares of each region that are kept: percentiles are then good to 0.01 mm (computed)."""

EVENLY = 6
"""Positions that are drawn besides those that are told."""


@dataclass(frozen=True)
class ShapeChange:
    """A form reading that may be off, and how far it is in each draw.

    ``offsets`` is (draws, regions), in the units of the reading.
    """

    form: FormReading
    offsets: Array


def effects_of(
    changes: Sequence[ShapeChange], points: Floats, transforms: Array, member: Member
) -> list[Array]:
    """Change of the gap of some samples for one unit of each form reading, each (m,).

    ``transforms`` is (m, 4, 4), one for each sample, so that all positions are asked at once.
    """
    places = points[:, :2].astype(float)
    as_read: dict[FormGap, Array] = {}
    found = []
    for form in (change.form for change in changes):
        if form.as_read not in as_read:  # one for all forms as a rule, and it costs as much
            as_read[form.as_read] = form.as_read(member, places, transforms)
        before, after = as_read[form.as_read], form.larger(member, places, transforms)
        both = np.isfinite(before) & np.isfinite(after)
        found.append(np.where(both, after, 0.0) - np.where(both, before, 0.0))
    return found


@dataclass(frozen=True)
class Candidates:
    """Samples that may decide a region, at each of the positions that are drawn."""

    at: Indices
    samples: tuple[Indices, ...]
    regions: tuple[Indices, ...]


def candidates(*, gaps_mm: Floats, samples: Samples, told: Sequence[int]) -> Candidates:
    """The cells to draw: at evenly spaced positions, and at those that are told."""
    n = gaps_mm.shape[0]
    even = np.linspace(0, n - 1, min(EVENLY, n)).round().astype(int)
    at = np.unique(np.concatenate([even, np.asarray(told, dtype=int)]))
    order, starts = _squares(samples)
    square = np.repeat(np.arange(starts.size), np.diff(np.append(starts, order.size)))
    owner = samples.region[order[starts]].astype(np.int64)
    kept, owners = [], []
    for index in at if order.size else ():
        gap = gaps_mm[index][order]
        least = np.minimum.reduceat(gap, starts)
        deepest = np.flatnonzero(gap == least[square])
        deepest = deepest[np.diff(square[deepest], prepend=-1) > 0]  # of equals the first
        by_depth = np.lexsort((least, owner))
        chosen = by_depth[(_rank(owner[by_depth]) < KEPT) & (least[by_depth] < FAR_MM)]
        kept.append(order[deepest[chosen]])
        owners.append(owner[chosen])
    return Candidates(at if order.size else at[:0], tuple(kept), tuple(owners))


def _squares(samples: Samples) -> tuple[Indices, Indices]:
    """The samples of regions, square by square, and where each square starts."""
    i, j = np.floor(samples.points_mm[:, :2] / COARSE_MM).astype(np.int64).T
    inside = np.flatnonzero(samples.region >= 0)
    order = inside[np.lexsort((j[inside], i[inside], samples.region[inside]))]
    key = np.stack([samples.region[order], i[order], j[order]])
    new = np.ones(order.size, dtype=bool)
    new[1:] = (key[:, 1:] != key[:, :-1]).any(axis=0)
    return order, np.flatnonzero(new)


def doubts(
    *,
    field: HeightField,
    samples: Samples,
    chosen: Candidates,
    transforms: Array,
    nominal: Array,
    told: Sequence[int],
    band_mm: float,
    changes: Sequence[ShapeChange] = (),
    settled: frozenset[str] = frozenset(),
    vertical_mm: Array | None = None,
) -> list[Doubt | None]:
    """Spread of each region's gap.

    Parameters
    ----------
    field, samples : HeightField, Samples
        The surfaces as read.
    chosen : Candidates
        What to draw.
    transforms : ndarray, shape (draws, k, 4, 4)
        Drawn positions of the lower member, one per chosen position.
    nominal : ndarray, shape (k, 4, 4)
        The same as read.
    told : sequence of int
        Position of each region's told gap, as an index of the whole path.
    band_mm : float
        Overlap that still counts as contact.
    changes : sequence of ShapeChange
        Form readings that may be off.
    settled : frozenset of str
        Regions that are set into contact whatever their form.
    vertical_mm : ndarray, shape (draws, regions), optional
        Further vertical errors, such as those of a registration.
    """
    draws, regions = transforms.shape[0], len(samples.names)
    least = np.full((draws, regions), FAR_MM)
    shown = np.full((draws, regions), np.nan)
    anew = np.zeros((draws, regions)) if vertical_mm is None else vertical_mm.copy()
    if changes:
        anew += _settled_anew(field, samples, changes, settled, draws)
    sizes = [cells.size for cells in chosen.samples]
    every = samples.points_mm[np.concatenate([*chosen.samples, np.empty(0, np.intp)])]
    effects = effects_of(changes, every, np.repeat(nominal, sizes, axis=0), samples.member)
    ends = np.cumsum(sizes)
    for k, index in enumerate(chosen.at):
        cells, owners = chosen.samples[k], chosen.regions[k]
        if not cells.size:
            continue
        gaps = sample_gaps(
            field, samples.points_mm[cells], transforms[:, k], member=samples.member
        ).astype(float)
        for change, effect in zip(changes, effects, strict=True):
            gaps += change.offsets[:, owners] * effect[ends[k] - cells.size : ends[k]]
        present, lowest = _lowest(gaps, owners)
        lowest = lowest + anew[:, present]
        least[:, present] = np.minimum(least[:, present], lowest)
        for column, region in enumerate(present):
            if told[region] == index:
                shown[:, region] = lowest[:, column]
    return [_doubt(shown[:, r], least[:, r], band_mm) for r in range(regions)]


def _settled_anew(
    field: HeightField,
    samples: Samples,
    changes: Sequence[ShapeChange],
    settled: frozenset[str],
    draws: int,
) -> Array:
    """What brings each settled region back into contact in each draw, shape (draws, regions).

    A tooth of another form was set to touch all the same, and perhaps elsewhere: its own
    forms move the contact, so that nothing is left of them in centric.
    """
    shut = np.eye(4)
    gaps_mm = sample_gaps(field, samples.points_mm, shut[None], member=samples.member)
    around = candidates(gaps_mm=gaps_mm, samples=samples, told=[0])
    back = np.zeros((draws, len(samples.names)))
    if not around.at.size or not around.samples[0].size:
        return back
    cells, owners = around.samples[0], around.regions[0]
    points = samples.points_mm[cells]
    as_read = sample_gaps(field, points, shut, member=samples.member)
    gaps = np.repeat(as_read[None].astype(float), draws, axis=0)
    still = np.repeat(shut[None], len(points), axis=0)
    for change, effect in zip(
        changes, effects_of(changes, points, still, samples.member), strict=True
    ):
        gaps += change.offsets[:, owners] * effect
    present, lowest = _lowest(gaps, owners)
    _, before = _lowest(as_read[None].astype(float), owners)
    sets = np.array([samples.names[region] in settled for region in present])
    back[:, present] = np.where(sets, before - lowest, 0.0)
    return back


def _lowest(gaps: Array, owners: Indices) -> tuple[Indices, Array]:
    """Regions in order, and the least gap of each in every draw."""
    starts = np.flatnonzero(np.r_[True, owners[1:] != owners[:-1]])
    return owners[starts], np.minimum.reduceat(gaps, starts, axis=1)


def _doubt(shown: Array, least: Array, band_mm: float) -> Doubt | None:
    seen = shown[np.isfinite(shown) & (shown < FAR_MM / 2)]
    if not seen.size:
        return None
    low, high = np.percentile(seen, [5.0, 95.0])
    return Doubt(
        sd_mm=float(seen.std()),
        p05_mm=float(low),
        p95_mm=float(high),
        p_interference=float(np.mean(least < -band_mm)),
    )


def _rank(groups: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """Place of each entry within its run of equal groups."""
    starts = np.flatnonzero(np.r_[True, groups[1:] != groups[:-1]])
    lengths = np.diff(np.r_[starts, groups.size])
    return np.asarray(np.arange(groups.size) - np.repeat(starts, lengths), dtype=np.int64)
