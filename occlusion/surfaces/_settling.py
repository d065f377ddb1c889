"""Two placed arches let down on each other until they rest: a vertical shift and two tilts.

The lower member is raised under a load at one place, as a cast held by hand, and may turn about
the two horizontal axes. It rests where it can rise no further there without an interference
anywhere. To first order that is a small linear programme: its solution touches at three places or
more, and these stand around the load, whose weights are the programme's duals. It is solved again
from where it led until nothing moves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.optimize import linprog
from scipy.spatial.transform import Rotation

from occlusion import frames
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

MOST_STEPS = 40

CELL_MM = 1.0
"""The lowest sample of each such cell is asked, instead of all."""

STEP_DEG = 2.0
"""Largest tilt of one step: gaps are linear in it to some hundredths of a millimetre. Less than
half the last one as soon as a step turns back."""

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
    lift_mm : float
        Vertical part at the load, positive up.
    tilt_deg : float
        Angle of the turn.
    contacts_mm : ndarray, shape (k, 3)
        Where they touch at rest, those that carry the load first; three or more.
    contact_regions : tuple of str
        The region of each contact, empty where it is in none.
    """

    transform: Array
    moved_mm: float
    lift_mm: float
    tilt_deg: float
    contacts_mm: Array
    contact_regions: tuple[str, ...]


def settle(
    field: HeightField,
    samples: Samples,
    *,
    load_mm: tuple[float, float] | None = None,
    most_mm: float = 2.0,
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
    points = samples.points_mm.astype(float)
    opposed = _gaps(field, samples, np.eye(4)) < FAR_MM
    if np.count_nonzero(opposed) < RESTS_ON:
        raise _no_rest("the arches do not lie over each other")
    middle = points[opposed].mean(axis=0)
    if load_mm is not None:
        middle[:2] = [check_hard("coordinate_mm", value, field="load_mm") for value in load_mm]
    levers = _levers(points - middle, field.view[2])
    motion, weights = np.zeros(3), np.zeros(len(points))
    column, row = (points[:, :2] // CELL_MM).astype(np.intp).T
    cells = column * (np.ptp(row) + 1) + row
    rows = np.empty(0, np.intp)
    last, reach = np.zeros(3), math.radians(STEP_DEG)
    for _ in range(MOST_STEPS):
        gaps = _gaps(field, samples, _transform(motion, middle))
        rows = np.union1d(rows, _lowest_of_each(cells, gaps))
        step, weights = _step(levers, gaps, rows, reach)
        if step[1:] @ last[1:] < 0.0:  # rocking over two contacts between a third here and there
            reach = 0.5 * float(np.abs(step[1:]).max())
        motion, last = motion + step, step
        if float(np.hypot(*motion[1:])) > math.radians(MOST_TILT_DEG):
            raise _no_rest("they tilt over without finding a third contact")
        if np.abs(levers @ step).max() < SETTLED_MM and gaps.min() > -SETTLED_MM:
            break
    else:
        raise _no_rest("they find no rest")
    gaps = _gaps(field, samples, _transform(motion, middle))
    lowest = float(gaps.min())
    motion[0] += min(lowest, 0.0) / field.view[2, 2]  # what the last step left, so that none is cut
    T = _transform(motion, middle)
    moved = frames.apply(T, points) - points
    counted = samples.region >= 0 if (samples.region >= 0).any() else opposed
    furthest = float(np.linalg.norm(moved[counted], axis=1).max())
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
        lift_mm=float(motion[0]),
        tilt_deg=math.degrees(float(np.hypot(*motion[1:]))),
        contacts_mm=at_rest[touching],
        contact_regions=tuple(names[samples.region[one]] for one in touching),
    )


def _gaps(field: HeightField, samples: Samples, T: Array) -> Array:
    return sample_gaps(field, samples.points_mm, T, member=samples.member).astype(float)


def _transform(motion: Array, middle: Array) -> Array:
    """The matrix of a lift and of turns about x and y through the load."""
    lift, about_x, about_y = motion
    R = Rotation.from_rotvec([about_x, about_y, 0.0]).as_matrix()
    return frames.transform(R, middle - R @ middle + np.array([0.0, 0.0, lift]))


def _levers(away_mm: Array, vertical: Array) -> Array:
    """What a lift and the two turns take from the gap at each sample, shape (m, 3)."""
    ways = np.stack(
        [
            np.broadcast_to([0.0, 0.0, 1.0], away_mm.shape),
            np.cross([1.0, 0.0, 0.0], away_mm),
            np.cross([0.0, 1.0, 0.0], away_mm),
        ],
        axis=-1,
    )
    return np.asarray(np.einsum("i,mij->mj", vertical, ways))


def _lowest_of_each(cells: Index, gaps: Array) -> Index:
    """The sample with the least gap of each cell."""
    order = np.lexsort((gaps, cells))
    first = np.flatnonzero(np.diff(cells[order], prepend=cells.min() - 1))
    return np.asarray(order[first])


def _step(levers: Array, gaps: Array, rows: Index, reach: float) -> tuple[Array, Array]:
    """Greatest rise at the load that leaves no gap negative, and the share each sample carries.

    Only ``rows`` are asked: those that were the lowest of their cell so far. What a step cuts
    elsewhere is among them in the next one.
    """
    near = rows[gaps[rows] < FAR_MM]
    bounds = [(-FAR_MM, FAR_MM), (-reach, reach), (-reach, reach)]
    answer = linprog([-1.0, 0.0, 0.0], A_ub=levers[near], b_ub=gaps[near], bounds=bounds)
    if answer.status != 0 or answer.x is None:
        raise _no_rest("they find no rest")
    weights = np.zeros(len(gaps))
    weights[near] = -answer.ineqlin.marginals
    return answer.x, weights


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
