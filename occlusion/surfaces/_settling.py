"""Two placed arches let down on each other until they rest.

The lower member is raised under a load at one place, as a cast held by hand, and may turn about
the two horizontal axes. It rests where it can rise no further there without an interference
anywhere. To first order that is a small linear programme: its solution touches at three places or
more, and these stand around the load, whose weights are the programme's duals. It is solved again
from where it led until nothing moves.

Cusps that are placed beside their fossae would hold such arches apart. Where a slide is allowed
the member may also shift sideways and turn about the vertical, as far as the points may be off,
and so finds the deepest rest. Friction keeps it where it was placed if a slide gains nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.optimize import linprog
from scipy.spatial.transform import Rotation

from occlusion import frames
from occlusion.articulator import Member
from occlusion.errors import NoSolution
from occlusion.frames import Array
from occlusion.ranges import check_hard
from occlusion.surfaces.gaps import FAR_MM, sample_gaps
from occlusion.surfaces.heightfield import HeightField
from occlusion.surfaces.samples import Samples

Index = npt.NDArray[np.intp]

TOUCHING_MM = 0.01
"""A gap up to here is a contact: a tenth of the pitch, and ten times what is left of the steps."""

SEPARATE_MM = 3.0
"""Contacts nearer than this to each other are one. Common practice, no source."""

RESTS_ON = 3

MOST_CONTACTS = 30
"""More are not listed: two for each pair of teeth."""

SETTLED_MM = 1e-3
"""Steps that move no tooth further than this are the last."""

MOST_STEPS = 60

CELL_MM = 1.0
"""The lowest sample of each such cell is asked, instead of all."""

TILTS, SLIDES = slice(1, 3), slice(3, 6)
"""Parts of a motion, after its lift."""

STEP_DEG = 2.0
"""Largest tilt of one step: gaps are linear in it to some hundredths of a millimetre. Less than
half the last one as soon as a step turns back."""

STEP_MM = 0.1
"""Largest slide of one step: a cell of the surfaces. Shortened in the same way."""

FRICTION = 0.05
"""What a slide has to raise the lower member by, for each millimetre: 3 deg (common practice, no
source)."""

MOST_TILT_DEG = 5.0
"""More than this is no reading error: 1 mm over the width of an arch is 1.2 deg."""


@dataclass(frozen=True)
class Settled:
    """How the lower member came to rest.

    Attributes
    ----------
    transform : ndarray, shape (4, 4)
        Carries the lower member, as it was placed, to where it rests; the upper one stays.
    moved_mm : float
        How far that is at the tooth that moves most.
    moved_at_mm : tuple of float
        Where that is, as it was placed.
    lift_mm : float
        Vertical part at the load, positive up.
    tilt_deg : float
        Angle of the turn about the horizontal axes.
    slide_mm, twist_deg : float
        Horizontal part at the load, and angle of the turn about the vertical; 0 where no slide
        was allowed.
    contacts_mm : ndarray, shape (k, 3)
        Where they touch at rest, those that carry the load first; three or more.
    contact_regions : tuple of str
        The region of each contact, empty where it is in none.
    """

    transform: Array
    moved_mm: float
    moved_at_mm: tuple[float, float, float]
    lift_mm: float
    tilt_deg: float
    slide_mm: float
    twist_deg: float
    contacts_mm: Array
    contact_regions: tuple[str, ...]


def settle(
    field: HeightField,
    samples: Samples,
    *,
    load_mm: tuple[float, float] | None = None,
    most_mm: float = 2.0,
    slide_mm: float = 0.0,
) -> Settled:
    """Let two placed arches close until they touch at three separate places.

    Parameters
    ----------
    field : HeightField
        One arch as it was placed.
    samples : Samples
        The other arch.
    load_mm : tuple of float, optional
        x and y of the load; by default the middle of all samples that look up something, which
        for a whole arch lies between the premolars.
    most_mm : float
        A correction larger than this is refused.
    slide_mm : float
        How far the member may slide forward, sideways, and by a turn about the vertical in the
        mean of its samples; 0: straight up and tilts only.

    Returns
    -------
    Settled
        No sample is left with an interference.

    Raises
    ------
    NoSolution
        The arches do not lie over each other, find no rest on three separate places, or only far
        from where they were placed.
    """
    most_mm = check_hard("settling_mm", most_mm)
    slide_mm = check_hard("settling_slide_mm", slide_mm)
    points = samples.points_mm.astype(float)
    opposed = _gaps(field, samples, np.eye(4)) < FAR_MM
    if np.count_nonzero(opposed) < RESTS_ON:
        raise _no_rest("the arches do not lie over each other")
    middle = points[opposed].mean(axis=0)
    if load_mm is not None:
        middle[:2] = [check_hard("coordinate_mm", value, field="load_mm") for value in load_mm]
    arm = float(np.hypot(*(points[opposed] - middle)[:, :2].T).mean())
    weights = np.zeros(len(points))
    column, row = (points[:, :2] // CELL_MM).astype(np.intp).T
    cells = column * (np.ptp(row) + 1) + row
    rows = np.empty(0, np.intp)
    motion, last = np.zeros(6), np.zeros(6)
    reach = np.array([FAR_MM, *[math.radians(STEP_DEG)] * 2, *[STEP_MM] * 3])
    T = np.eye(4)
    for _ in range(MOST_STEPS):
        gaps = _gaps(field, samples, T)
        rows = np.union1d(rows, _lowest_of_each(cells, gaps))
        near = rows[gaps[rows] < FAR_MM]
        levers = _levers(field, points[near], T, middle + motion[[3, 4, 0]], arm, samples.member)
        step, carried = _step(levers, gaps[near], motion, reach, slide_mm)
        weights[:] = 0.0
        weights[near] = carried
        for some in (TILTS, SLIDES):
            if step[some] @ last[some] < 0.0:  # rocking over two contacts between a third here
                reach[some] = 0.5 * float(np.abs(step[some]).max())  # and there
        motion, last, before = motion + step, step, T
        if float(np.hypot(*motion[TILTS])) > math.radians(MOST_TILT_DEG):
            raise _no_rest("they tilt over without finding a third contact")
        T = _transform(motion, middle, arm)
        stepped = np.abs(frames.apply(T, points) - frames.apply(before, points)).max()
        if stepped < SETTLED_MM and gaps.min() > -SETTLED_MM:
            break
    else:
        raise _no_rest("they find no rest")
    gaps = _gaps(field, samples, T)
    lowest = float(gaps.min())
    motion[0] += min(lowest, 0.0) / field.view[2, 2]  # what the last step left, so that none is cut
    T = _transform(motion, middle, arm)
    moved = frames.apply(T, points) - points
    counted = np.flatnonzero(samples.region >= 0 if (samples.region >= 0).any() else opposed)
    ways = np.linalg.norm(moved[counted], axis=1)
    furthest, place = float(ways.max()), points[counted[ways.argmax()]]
    if furthest > most_mm:
        raise NoSolution(
            f"The arches rest on each other only {furthest:.2f} mm from where their points place "
            f"them, and {most_mm:g} mm are allowed. Read the points again, on both casts.",
            field="landmarks",
            value=furthest,
            limit=most_mm,
        )
    touching = _separate(points, gaps - min(lowest, 0.0), weights)
    if len(touching) < RESTS_ON:
        raise _no_rest(f"they touch at {len(touching)} separate places only")
    at_rest = points + moved if samples.member == "lower" else points
    names = (*samples.names, "")
    return Settled(
        transform=T,
        moved_mm=furthest,
        moved_at_mm=(float(place[0]), float(place[1]), float(place[2])),
        lift_mm=float(motion[0]),
        tilt_deg=math.degrees(float(np.hypot(*motion[TILTS]))),
        slide_mm=float(np.hypot(*motion[3:5])),
        twist_deg=math.degrees(abs(float(motion[5])) / arm),
        contacts_mm=at_rest[touching],
        contact_regions=tuple(names[samples.region[one]] for one in touching),
    )


def _gaps(field: HeightField, samples: Samples, T: Array) -> Array:
    return sample_gaps(field, samples.points_mm, T, member=samples.member).astype(float)


def _transform(motion: Array, middle: Array, arm: float) -> Array:
    """The matrix of a lift, turns about x and y, slides along both and a turn about z.

    All turns go through the load. The last counts in millimetres at the arm's length.
    """
    lift, about_x, about_y, forward, left, around = motion
    R = Rotation.from_rotvec([about_x, about_y, around / arm]).as_matrix()
    return frames.transform(R, middle - R @ middle + np.array([forward, left, lift]))


def _levers(
    field: HeightField, points: Array, T: Array, load: Array, arm: float, member: Member
) -> Array:
    """What each part of a motion takes from the gap at some samples, shape (m, 6)."""
    seen = frames.across(T, member)
    x, y, _ = (frames.apply(seen, points) @ field.view.T).T
    _z, _ok, along_x, along_y = field.look_up(*field.cells(x, y))
    normal = np.column_stack([-along_x, -along_y, np.ones(len(x))]).astype(float) @ field.view
    if member == "upper":
        normal, away = normal @ T[:3, :3].T, points - load
    else:
        away = frames.apply(T, points) - load
    e_x, e_y, e_z = np.eye(3)
    ways = [
        np.broadcast_to(e_z, away.shape),
        np.cross(e_x, away),
        np.cross(e_y, away),
        np.broadcast_to(e_x, away.shape),
        np.broadcast_to(e_y, away.shape),
        np.cross(e_z, away) / arm,
    ]
    return np.stack([(normal * way).sum(axis=1) for way in ways], axis=1)


def _lowest_of_each(cells: Index, gaps: Array) -> Index:
    """The sample with the least gap of each cell."""
    order = np.lexsort((gaps, cells))
    first = np.flatnonzero(np.diff(cells[order], prepend=cells.min() - 1))
    return np.asarray(order[first])


def _step(
    levers: Array, gaps: Array, motion: Array, reach: Array, slide_mm: float
) -> tuple[Array, Array]:
    """Greatest rise at the load that leaves no gap negative, and the share each sample carries.

    Only some samples are asked: those that were the lowest of their cell so far. What a step
    cuts elsewhere is among them in the next one. Three further unknowns are how far the member
    has slid each way from where it was placed: that is what friction counts.
    """
    low, high = -reach, reach.copy()
    low[SLIDES] = np.maximum(low[SLIDES], -slide_mm - motion[SLIDES])
    high[SLIDES] = np.minimum(high[SLIDES], slide_mm - motion[SLIDES])
    slid, one = np.eye(6)[SLIDES], np.eye(3)
    answer = linprog(
        [-1.0, 0.0, 0.0, 0.0, 0.0, 0.0, *[FRICTION] * 3],
        A_ub=np.block([[levers, np.zeros((len(levers), 3))], [slid, -one], [-slid, -one]]),
        b_ub=np.concatenate([gaps, -motion[SLIDES], motion[SLIDES]]),
        bounds=[*zip(low, high, strict=True), *[(0.0, slide_mm)] * 3],
    )
    if answer.status != 0 or answer.x is None:
        raise _no_rest("they find no rest")
    return answer.x[:6], -answer.ineqlin.marginals[: len(gaps)]


def _separate(points: Array, gaps: Array, weights: Array) -> list[int]:
    """Samples that touch, none near another: those that carry the load first, then the closest."""
    left = np.flatnonzero(gaps <= TOUCHING_MM)
    left = left[np.lexsort((gaps[left], -weights[left]))]
    found: list[int] = []
    while left.size and len(found) < MOST_CONTACTS:
        found.append(int(left[0]))
        left = left[np.linalg.norm(points[left] - points[found[-1]], axis=1) >= SEPARATE_MM]
    return found


def _no_rest(why: str) -> NoSolution:
    return NoSolution(
        f"The arches cannot be settled on each other: {why}. Read the points again, on both "
        "casts, and confirm that both scans show the whole arch.",
        field="landmarks",
    )
