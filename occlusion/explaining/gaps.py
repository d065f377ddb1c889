"""Gaps that count for marks: as entered, with a setting changed, and with a tooth higher.

A mark of a movement leaves the place of the centric contact, where every tooth that is set
touches: gaps count from a third of the travel on. An interference that is over before that
counts where it is deepest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from occlusion import frames
from occlusion.articulator import ArticulatorSettings
from occlusion.clearance import AskedExcursion, Facing, Opposed, follow
from occlusion.clearance.check import near_samples
from occlusion.clearance.judge import Told, meets_nothing
from occlusion.clearance.paths import Path, follow_many
from occlusion.errors import BadRequest, OcclusionError
from occlusion.explaining.causes import Cause
from occlusion.explaining.model import Movement
from occlusion.frames import Array
from occlusion.front import FrontGuidance
from occlusion.schemes import Predicted
from occlusion.surfaces.arches import Arches
from occlusion.surfaces.cusps import ToothForm, heights
from occlusion.surfaces.gaps import minima, sample_gaps, vertical_maps
from occlusion.surfaces.samples import Samples
from occlusion.teeth import other_arch

Indices = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

COUNTS_FROM = 1.0 / 3.0
"""Part of the travel from which on a mark is one of the movement (common practice, no source)."""

POSITIONS = 6
"""Positions at which changes are computed; between them gaps bend little."""

COARSE_MM = 0.2
"""Changes are computed on samples this far apart, and set off against all of them."""

MARGIN_MM = 0.8
"""A sample this much further off than the least of its tooth stays so whatever is changed."""

READING_SD_MM = 0.05
"""What foil, wax and eye add to the gap of a mark (common practice, no source)."""


@dataclass(frozen=True)
class Watched:
    """The teeth of one facing in one movement, and the samples that may decide about them.

    ``gaps_mm`` (k, m) are their gaps as entered; ``owner`` (k, m) says for each position over
    which of the opposing teeth a sample lies, -1 over none; ``lowered`` (k, teeth) is what all
    samples read below the coarse ones.
    """

    facing: Facing
    at: Indices
    path: Path
    samples: Samples
    starts: Indices
    gaps_mm: npt.NDArray[np.float32]
    owner: npt.NDArray[np.int16]
    lowered: Array

    def moved_to(self, transforms: Array) -> Array:
        """Least gap of each tooth, (n, k, teeth), at positions (n, k, 4, 4)."""
        gaps = sample_gaps(
            self.facing.field, self.samples.points_mm, transforms, member=self.samples.member
        )
        return self._least(gaps)

    def higher(self, by_mm: Array) -> Array:
        """The same as entered, with so much (n, k, m) off the gap of each sample."""
        return self._least(self.gaps_mm - by_mm)

    @property
    def as_entered(self) -> Array:
        """Least gap of each tooth, (k, teeth)."""
        return self._least(self.gaps_mm)

    def _least(self, gaps: npt.NDArray[np.floating]) -> Array:
        least = np.minimum.reduceat(gaps, self.starts, axis=-1)
        return np.asarray(least, dtype=float) + self.lowered


@dataclass(frozen=True)
class Moved:
    """One movement: what is predicted of its teeth, and what may be asked about them.

    ``nominal`` (k, teeth) are the gaps as entered, ``counts`` (k, teeth) says which positions
    count for a tooth, ``seen`` (teeth,) whether anything stands opposite; ``sd`` (teeth,) is the
    deviation of a gap from what is read of cusps and marks.
    """

    movement: Movement
    asked: AskedExcursion
    watched: tuple[Watched, ...]
    nominal: Array
    counts: Mask
    seen: Mask
    predicted: tuple[Predicted, ...]
    opposite: tuple[str | None, ...]
    sd: Array


@dataclass(frozen=True)
class Changed:
    """Changes (n,) of one cause, and of each movement the gaps (n, k, teeth) with them."""

    by: Array
    gaps_mm: dict[Movement, Array]


class Gaps:
    """The gaps of a set-up in some movements, as entered and with one thing changed."""

    def __init__(
        self,
        *,
        settings: ArticulatorSettings,
        arches: Arches,
        surfaces: Opposed,
        front: FrontGuidance | None,
        asked: Sequence[AskedExcursion],
        movements: Sequence[Movement],
        band_mm: float,
    ) -> None:
        self.settings = settings
        self.arches = arches
        self.surfaces = surfaces
        self.front = front
        self.names = surfaces.names
        self.band_mm = band_mm
        self._shut: dict[int, Watched] = {}
        self._changed: dict[str, Changed | None] = {}
        by_kind = {one.kind: one for one in asked}
        self.moved = tuple(
            self._moved(movement, by_kind.get("protrusive" if movement == "centric" else movement))
            for movement in movements
        )
        self.x_mm = np.concatenate([_middles(one) for one in surfaces.facings])

    def at(self, cause: Cause) -> Changed | None:
        """The gaps with a cause changed, worked out once.

        None where the instrument cannot follow even a small change.
        """
        if cause.name not in self._changed:
            self._changed[cause.name] = self._at(cause)
        return self._changed[cause.name]

    def _at(self, cause: Cause) -> Changed | None:
        nodes = cause.nodes()
        if cause.tooth is not None:
            return Changed(
                nodes, {one.movement: self._higher(one, cause, nodes) for one in self.moved}
            )
        while nodes.size > 2:
            try:
                several = [cause.applied(self.settings, float(by)) for by in nodes]
                return Changed(nodes, {one.movement: self._set(one, several) for one in self.moved})
            except OcclusionError:  # beyond what table or path can be
                nodes = nodes[np.abs(nodes) < np.abs(nodes).max()]
        return None

    def _set(self, moved: Moved, several: Sequence[ArticulatorSettings]) -> Array:
        return np.concatenate(
            [
                one.moved_to(
                    follow_many(
                        several=several,
                        asked=moved.asked,
                        front=self.front,
                        nominal=one.path,
                        at=one.at,
                    )
                )
                for one in moved.watched
            ],
            axis=-1,
        )

    def _higher(self, moved: Moved, cause: Cause, nodes: Array) -> Array:
        """Gaps with one tooth that much nearer to its antagonists.

        A tooth of the denture stands off the height that it was set to. Any other was read so
        wrongly: what was set against it went with it.
        """
        parts, tooth = [], str(cause.tooth)
        for one in moved.watched:
            opposing = self.arches.forms(other_arch(one.samples.member))
            names = [form.tooth for form in opposing]
            own = np.array([name == tooth for name in one.samples.names])
            gaps = one.as_entered - nodes[:, None, None] * own
            if tooth in names and (over := one.owner == names.index(tooth)).any():
                gaps = gaps + one.higher(nodes[:, None, None] * over) - one.as_entered
                if cause.chosen is None:
                    gaps = gaps + self._set_anew(one.facing, tooth, nodes)[:, None, :]
            parts.append(gaps)
        return np.concatenate(parts, axis=-1)

    def _set_anew(self, facing: Facing, tooth: str, nodes: Array) -> Array:
        """How far each settled tooth follows a natural antagonist, (n, teeth)."""
        closed = self._closed(facing)
        names = [form.tooth for form in self.arches.forms(other_arch(facing.samples.member))]
        over = closed.owner == names.index(tooth)
        back = (closed.as_entered - closed.higher(nodes[:, None, None] * over))[:, 0]
        settles = [name in self.surfaces.settled for name in facing.samples.names]
        return np.where(settles, back, 0.0)

    def _closed(self, facing: Facing) -> Watched:
        key = id(facing)
        if key not in self._shut:
            still = Path(np.eye(4)[None], np.zeros(1), None)
            self._shut[key] = self._watch(facing, facing.samples, still, np.zeros(1, np.intp))
        return self._shut[key]

    def _moved(self, movement: Movement, asked: AskedExcursion | None) -> Moved:
        if asked is None:
            raise BadRequest(
                f"There is a pass in {movement}, and that movement was not asked for. Give it with "
                "the excursions.",
                field="excursions",
                value=movement,
            )
        whole = follow(settings=self.settings, asked=asked, front=self.front)
        path = whole
        if movement == "centric":
            path = Path(whole.transforms[:1], whole.travel_mm[:1], None)
        told, seen, opposite, nears = [], [], [], []
        for facing in self.surfaces.facings:
            near, _kept = near_samples(facing, path)
            nears.append(near.samples)
            maps = vertical_maps(near.field, near.samples, path.transforms)
            least, cells = minima(maps, near.samples)
            for r in range(least.shape[1]):
                gaps = least[:, r].astype(float)
                one = Told.of(gaps, band_mm=self.band_mm)
                told.append(one)
                seen.append(not meets_nothing(gaps))
                cell = int(cells[one.rests_on, r])
                opposite.append(
                    self.surfaces.met(near, cell, path.transforms[one.rests_on])
                    if cell >= 0
                    else None
                )
        at, counts = _positions(path, told)
        watched = tuple(
            self._watch(facing, near, whole, at)
            for facing, near in zip(self.surfaces.facings, nears, strict=True)
        )
        nominal = np.concatenate([one.as_entered for one in watched], axis=-1)
        return Moved(
            movement=movement,
            asked=asked,
            watched=watched,
            nominal=nominal,
            counts=counts,
            seen=np.array(seen),
            predicted=tuple(one.predicted for one in told),
            opposite=tuple(opposite),
            sd=np.hypot(READING_SD_MM, self._form_sd(watched, nominal, counts)),
        )

    def _watch(self, facing: Facing, whole: Samples, path: Path, at: Indices) -> Watched:
        transforms = path.transforms[at]
        every = sample_gaps(facing.field, whole.points_mm, transforms, member=whole.member)
        least = _least(every, whole)
        coarse = np.flatnonzero(_coarse(whole))
        near = (every[:, coarse] <= least[:, whole.region[coarse]] + MARGIN_MM).any(axis=0)
        # Of each tooth at least one sample stays, so that every tooth has a column.
        first = [int(whole.of(name)[0]) for name in whole.names]
        chosen = np.unique(np.concatenate([coarse[near], first]))
        chosen = chosen[np.argsort(whole.region[chosen], kind="stable")]
        samples = whole.taken(chosen)
        starts = np.flatnonzero(np.diff(samples.region, prepend=-1))
        lowered = least - np.minimum.reduceat(every[:, chosen], starts, axis=1)
        return Watched(
            facing=facing,
            at=at,
            path=path,
            samples=samples,
            starts=starts,
            gaps_mm=every[:, chosen],
            owner=_owners(samples, transforms, self.arches.forms(other_arch(samples.member))),
            lowered=np.minimum(lowered, 0.0).astype(float),
        )

    def _form_sd(self, watched: Sequence[Watched], nominal: Array, counts: Mask) -> Array:
        """Deviation of each tooth's gap because cusps may be steeper or flatter, (teeth,)."""
        rests = np.where(counts, nominal, np.inf).argmin(axis=0)
        found, first = [], 0
        for one in watched:
            names = one.samples.names
            which = rests[first : first + len(names)]
            first += len(names)
            moved = self._effects(one, which)
            still = self._effects(self._closed(one.facing), np.zeros(len(names), int))
            settles = np.array([name in self.surfaces.settled for name in names])
            found.append(np.sqrt(((moved - np.where(settles, still, 0.0)) ** 2).sum(axis=0)))
        return np.concatenate(found)

    def _effects(self, one: Watched, which: Indices) -> Array:
        """One deviation of each form at the deciding sample of each tooth, (forms, teeth)."""
        transforms = one.path.transforms[one.at]
        ends = np.append(one.starts[1:], len(one.samples))
        cells = np.array(
            [
                a + int(one.gaps_mm[k, a:b].argmin())
                for a, b, k in zip(one.starts, ends, which, strict=True)
            ]
        )
        places = one.samples.points_mm[cells, :2].astype(float)
        found = []
        for form in self.surfaces.forms:
            before = form.as_read(one.samples.member, places, transforms[which])
            after = form.larger(one.samples.member, places, transforms[which])
            both = np.isfinite(before) & np.isfinite(after)
            widths = np.array([form.half_width.get(name, 0.0) for name in one.samples.names])
            step = np.where(both, after, 0.0) - np.where(both, before, 0.0)
            found.append(step * widths / np.sqrt(3.0))
        return np.array(found).reshape(-1, len(cells))


def _positions(path: Path, told: Sequence[Told]) -> tuple[Indices, Mask]:
    """Positions that are looked at, and which of them count for each tooth."""
    n, end = len(path.travel_mm), float(path.travel_mm[-1])
    first = int(np.argmax(path.travel_mm >= COUNTS_FROM * end - 1e-9))
    even = np.unique(np.linspace(first, n - 1, min(POSITIONS, n - first)).round().astype(int))
    early = [one.lowest for one in told if one.predicted == "interference" and one.lowest < first]
    at = np.unique([*even, *early])
    counts = np.array([[k >= first or k == one.lowest for one in told] for k in at])
    return at, counts


def _least(gaps: npt.NDArray[np.float32], samples: Samples) -> Array:
    """Least gap of each tooth at each position."""
    order = np.argsort(samples.region, kind="stable")
    order = order[samples.region[order] >= 0]
    starts = np.flatnonzero(np.diff(samples.region[order], prepend=-1))
    return np.asarray(np.minimum.reduceat(gaps[:, order], starts, axis=1), dtype=float)


def _coarse(samples: Samples) -> Mask:
    """Samples of a coarser grid."""
    every = max(1, round(COARSE_MM / float(np.sqrt(samples.cell_mm2))))
    pitch = float(np.sqrt(samples.cell_mm2))
    i, j = np.floor(samples.points_mm[:, :2] / pitch + 0.5).astype(np.int64).T
    return np.asarray((i % every == 0) & (j % every == 0) & (samples.region >= 0))


def _owners(
    samples: Samples, transforms: Array, opposing: Sequence[ToothForm]
) -> npt.NDArray[np.int16]:
    """Over which opposing tooth each sample lies, (k, m); -1 over none."""
    T = frames.across(transforms, samples.member)
    q = np.einsum("kij,mj->kmi", T[:, :3, :3], samples.points_mm) + T[:, None, :3, 3]
    x, y = q[..., 0].ravel(), q[..., 1].ravel()
    sign = 1.0 if samples.member == "upper" else -1.0
    best, owner = np.full(x.shape, -np.inf), np.full(x.shape, -1, np.int16)
    for number, form in enumerate(opposing):
        z = sign * heights([form], x, y)
        higher = ~np.isnan(z) & (z > best)
        best[higher], owner[higher] = z[higher], number
    return owner.reshape(q.shape[:2])


def _middles(facing: Facing) -> Array:
    """How far forward of the axis each tooth stands."""
    samples = facing.samples
    return np.array([samples.points_mm[samples.of(name), 0].mean() for name in samples.names])
