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

from occlusion import frames
from occlusion.articulator import Member
from occlusion.clearance.model import Doubt
from occlusion.clearance.opposed import FormReading
from occlusion.frames import Array
from occlusion.surfaces.gaps import FAR_MM, sample_gaps
from occlusion.surfaces.heightfield import HeightField
from occlusion.surfaces.samples import Samples

Floats = npt.NDArray[np.float32]
Indices = npt.NDArray[np.intp]

COARSE_MM = 0.4
"""Of each square of this size only the deepest cell is kept."""

KEPT = 20
"""Squares of each region that are kept."""

DRAWS_AT_ONCE = 200
"""So many draws of a hundred or two cells stay within the nearest caches."""

EVENLY = 6
"""Positions that are drawn besides those that are told."""


@dataclass(frozen=True)
class ShapeChange:
    """A form reading that may be off, and how far it is in each draw.

    ``offsets`` is (draws, regions), in the units of the reading.
    """

    form: FormReading
    offsets: Array

    def effect(self, points: Floats, transform: Array, member: Member) -> Array:
        """Change of the gap of some samples for one unit, at one position."""
        places = points[:, :2].astype(float)
        before = self.form.as_read(member, places, transform)
        after = self.form.larger(member, places, transform)
        both = np.isfinite(before) & np.isfinite(after)
        return np.asarray(np.where(both, after, 0.0) - np.where(both, before, 0.0))


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
    square = np.floor(samples.points_mm[:, :2] / COARSE_MM).astype(np.int64)
    square -= square.min(axis=0)
    cell = (square[:, 0] * (square[:, 1].max() + 1) + square[:, 1]).astype(np.int64)
    inside = np.flatnonzero(samples.region >= 0)
    kept, owners = [], []
    for index in at:
        gap = gaps_mm[index][inside]
        region = samples.region[inside].astype(np.int64)
        order = np.lexsort((gap, cell[inside], region))
        grouped = np.stack([region[order], cell[inside][order]])
        first = np.ones(order.size, dtype=bool)
        first[1:] = (grouped[:, 1:] != grouped[:, :-1]).any(axis=0)
        deepest = order[first]
        by_depth = deepest[np.lexsort((gap[deepest], region[deepest]))]
        rank = _rank(region[by_depth])
        chosen = by_depth[rank < KEPT]
        chosen = chosen[gap[chosen] < FAR_MM]
        kept.append(inside[chosen])
        owners.append(region[chosen])
    return Candidates(at, tuple(kept), tuple(owners))


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
    for k, index in enumerate(chosen.at):
        cells, owners = chosen.samples[k], chosen.regions[k]
        if not cells.size:
            continue
        points = samples.points_mm[cells]
        gaps = _at_once(field, points, transforms[:, k], samples.member)
        for change in changes:
            effect = change.effect(points, nominal[k], samples.member)
            gaps += change.offsets[:, owners] * effect
        present, lowest = _lowest(gaps, owners)
        lowest = lowest + anew[:, present]
        least[:, present] = np.minimum(least[:, present], lowest)
        for column, region in enumerate(present):
            if told[region] == index:
                shown[:, region] = lowest[:, column]
    return [_doubt(shown[:, r], least[:, r], band_mm) for r in range(regions)]


def _at_once(field: HeightField, points: Floats, transforms: Array, member: Member) -> Array:
    """Gaps (draws, m) of a few points at very many positions, in one look-up each thousand."""
    T = frames.inverse(transforms) if member == "upper" else transforms
    view = field.view
    A, b = view @ T[:, :3, :3], T[:, :3, 3] @ view.T
    found = np.empty((len(T), len(points)))
    for start in range(0, len(T), DRAWS_AT_ONCE):
        part = slice(start, start + DRAWS_AT_ONCE)
        q = points.astype(float) @ A[part].transpose(0, 2, 1) + b[part, None, :]
        surface, inside = field.at(q[..., 0], q[..., 1])
        found[part] = np.where(inside, field.sign * (q[..., 2] - surface), FAR_MM)
    return found


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
    cells, owners = around.samples[0], around.regions[0]
    back = np.zeros((draws, len(samples.names)))
    if not cells.size:
        return back
    points = samples.points_mm[cells]
    as_read = sample_gaps(field, points, shut, member=samples.member)
    gaps = np.repeat(as_read[None].astype(float), draws, axis=0)
    for change in changes:
        effect = change.effect(points, shut, samples.member)
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
