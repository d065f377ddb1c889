"""A scan brought into the articulator's axes by points that are named on both."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from occlusion import frames
from occlusion.articulator import Member, choose
from occlusion.errors import MirroredScan
from occlusion.frames import Array
from occlusion.ranges import EngineWarning, check_hard, check_point
from occlusion.sources import cite
from occlusion.surfaces._named_points import NamedPoint, Point, checked_points
from occlusion.surfaces._reading_error import placing_error_mm, vertical_error_mm
from occlusion.surfaces._settling import Settled, settle
from occlusion.surfaces.meshes import Mesh

__all__ = [
    "Fit",
    "NamedPoint",
    "Registration",
    "Settled",
    "fit",
    "likely_error_mm",
    "register",
    "settle",
]

MIRROR_FACTOR = 3.0
MIRROR_MM = 0.3
"""A mirrored fit is believed when its residual is so many times smaller, and smaller by so much:
near-coplanar points fit either way within their reading error, of 0.1 mm as a rule."""

RESIDUAL_MM = 0.5
"""Five times a usual reading error: a point this far off is likely another one."""

BEHIND_MM = 2.0
"""How far the middle of a scan may lie beyond its points, towards the other arch."""


@dataclass(frozen=True)
class Fit:
    """The rigid motion that brings the points of a scan nearest to those of the articulator.

    Attributes
    ----------
    transform : ndarray, shape (4, 4)
        Carries the scan into articulator axes.
    residual_mm : dict of str to float
        What is left at each point. It shows a point that was taken for another; it does not
        measure the error at the teeth, which three points with no residual at all may have.
    rms_mm : float
        Root of the mean of their squares.
    """

    transform: Array
    residual_mm: dict[str, float]
    rms_mm: float


@dataclass(frozen=True)
class Registration(Fit):
    """A scan in articulator axes.

    Attributes
    ----------
    likely_error_mm : dict of str to float
        Standard deviation of the height at each place asked for.
    mesh : Mesh
        The scan, moved.
    warnings : tuple of EngineWarning
        Points that fit badly.
    points_mm : ndarray, shape (n, 3)
        The points on the articulator.
    reading_sd_mm : float
        Standard deviation of one coordinate of one reading.
    """

    likely_error_mm: dict[str, float]
    mesh: Mesh
    warnings: tuple[EngineWarning, ...]
    points_mm: Array
    reading_sd_mm: float

    def error_at(self, place_mm: Point) -> Array:
        """Standard deviations of x, y and z of the scan at a place."""
        place = check_point(place_mm, field="place_mm")
        found = placing_error_mm(self.points_mm, place, reading_sd_mm=self.reading_sd_mm)
        return np.asarray(found[0])


def register(
    mesh: Mesh,
    points: Sequence[NamedPoint],
    *,
    at_mm: Mapping[str, Point] | None = None,
    member: Member | None = None,
    reading_sd_mm: float = 0.1,
    field: str = "landmarks",
) -> Registration:
    """A scan brought into articulator axes by three or more named points.

    Parameters
    ----------
    mesh : Mesh
        As read.
    points : sequence of NamedPoint
        In any order; far apart is better than many.
    at_mm : mapping of str to point, optional
        Places, in articulator axes, where the likely error of the height is asked for.
    member : {"upper", "lower"}, optional
        Whose scan it is. Three points lie in one plane and fit a mirrored scan as well, turned
        over: only the side on which the rest of the scan lies shows that. Without it, three
        points are believed.
    reading_sd_mm : float
        Standard deviation of one coordinate of one reading.
    field : str, optional
        Name of the points in refusals.

    Raises
    ------
    NoSolution
        Fewer than three points, repeated points, or all near one line.
    MirroredScan
        The points fit a mirrored scan much better, or the scan comes to lie upside down.
    SidesLookSwapped
        A point named right, or by a tooth of the right, lies left; or the other way round.
    BadRequest, NotANumber, OutOfRange
    """
    fitted = fit(points, field=field)
    moved = moved_mesh(mesh, fitted.transform)
    if member is not None:
        choose(member, ("upper", "lower"), field="member", label="member")
        _check_side(moved, points, member, field)
    far = [f"{name} {mm:.2f} mm" for name, mm in fitted.residual_mm.items() if mm > RESIDUAL_MM]
    warnings = (
        EngineWarning(
            "points_fit_badly",
            f"The points of {mesh.source} fit with {fitted.rms_mm:.2f} mm left (root mean square); "
            f"far off: {', '.join(far)}. Confirm that they are the same places on both.",
            cite("practice"),
        ),
    )
    return Registration(
        fitted.transform,
        fitted.residual_mm,
        fitted.rms_mm,
        likely_error_mm(points, at_mm or {}, reading_sd_mm=reading_sd_mm, field=field),
        moved,
        warnings if far else (),
        np.array([point.articulator_mm for point in points], dtype=float),
        reading_sd_mm,
    )


def fit(points: Sequence[NamedPoint], *, field: str = "landmarks") -> Fit:
    """The rigid motion for points alone (Kabsch), with the refusals of ``register``."""
    scan, articulator = checked_points(points, field)
    R, t = frames.best_motion(scan, articulator)
    residual = np.linalg.norm(scan @ R.T + t - articulator, axis=1)
    rms = _rms(residual)
    mirrored = scan * (1.0, -1.0, 1.0)
    S, s = frames.best_motion(mirrored, articulator)
    other = _rms(np.linalg.norm(mirrored @ S.T + s - articulator, axis=1))
    if rms > MIRROR_FACTOR * other and rms > other + MIRROR_MM:
        raise MirroredScan(
            f"The points fit with {rms:.2f} mm left, and a mirrored scan with {other:.2f} mm. "
            "Export the scan without mirroring it, or exchange the points of right and left.",
            field=field,
            value=rms,
            limit=other,
        )
    names = [point.name for point in points]
    left = dict(zip(names, residual.tolist(), strict=True))
    return Fit(frames.transform(R, t), left, rms)


def likely_error_mm(
    points: Sequence[NamedPoint],
    at_mm: Mapping[str, Point],
    *,
    reading_sd_mm: float = 0.1,
    field: str = "landmarks",
) -> dict[str, float]:
    """Standard deviation of the height at each place, from that of one coordinate of one reading.

    Of this arch alone; a gap has that of both arches, as the root of the sum of squares.
    """
    _, articulator = checked_points(points, field)
    sd = check_hard("reading_sd_mm", reading_sd_mm)
    places = [check_point(place, field=f"at_mm.{name}") for name, place in at_mm.items()]
    found = vertical_error_mm(articulator, places, reading_sd_mm=sd)
    return dict(zip(at_mm, found.tolist(), strict=True))


def _check_side(mesh: Mesh, points: Sequence[NamedPoint], member: Member, field: str) -> None:
    """Refuse a scan that comes to lie between its points and the other arch."""
    heights = mesh.triangles_mm[..., 2]
    middle = (float(heights.min()) + float(heights.max())) / 2.0
    height = float(np.mean([point.articulator_mm[2] for point in points]))
    beyond = (middle - height) * (1.0 if member == "lower" else -1.0)
    if beyond > BEHIND_MM:
        raise MirroredScan(
            f"Placed by its points, the {member} scan lies {beyond:.1f} mm on the wrong side of "
            "them, upside down. Export the scan without mirroring it, or exchange the points of "
            "right and left.",
            field=field,
            value=beyond,
            limit=BEHIND_MM,
        )


def moved_mesh(mesh: Mesh, T: Array) -> Mesh:
    """The mesh in other axes; float32 is good to 1e-5 mm at 150 mm."""
    corners = mesh.triangles_mm.reshape(-1, 3)
    moved = np.empty_like(corners)
    for start in range(0, len(corners), 200_000):
        part = corners[start : start + 200_000].astype(float)
        moved[start : start + len(part)] = part @ T[:3, :3].T + T[:3, 3]
    moved.setflags(write=False)
    return replace(mesh, triangles_mm=moved.reshape(mesh.triangles_mm.shape))


def _rms(residual: Array) -> float:
    return math.sqrt(float((residual**2).mean()))
