"""One arch as heights over a regular grid: rastered from triangles or from a function.

A lower arch keeps its highest surface seen from above, an upper arch its lowest seen from
below: what can meet first. What hangs under the height of contour is filled up by that, which
may show a collision too many along a vertical closing and never one too few.

A field may be seen along a tilted vertical (``view``): walls steeper than about 70 deg are
read badly from above, so the front is rastered from above and in front of it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from occlusion.articulator import Member, choose
from occlusion.errors import NotANumber, OpenOrEmptyMesh, OutOfRange
from occlusion.frames import ROUND_OFF, Array
from occlusion.ranges import check_hard
from occlusion.surfaces._raster import Array32, Bounds, Mask, covered, extent, seen

BELOW_EVERYTHING_MM = 10.0
"""How far the floor value of an empty cell lies past the last height of its field."""

MOST_NODES = 16_000_000
"""Nodes of a grid at most: an arch of 100 x 100 mm at 0.05 mm has a quarter of them."""

SILHOUETTE_CELLS = 2
"""Cells left out along the rim of a tilted view, where heights are of neither side."""


@dataclass(frozen=True)
class HeightField:
    """Heights over a regular grid of x and y, in the axes of a view.

    Attributes
    ----------
    z_mm : ndarray of float32, shape (nx, ny)
        Cell [i, j] stands at x0 + i * pitch, y0 + j * pitch. Never infinite: where the field
        is empty it holds a floor value past everything.
    inside : ndarray of bool, shape (nx, ny)
        Where there is a surface.
    x0_mm, y0_mm, pitch_mm : float
        Place of cell [0, 0] and distance of the cells.
    member : {"upper", "lower"}
        Lower: the highest surface from above. Upper: the lowest surface from below.
    view : ndarray, shape (3, 3)
        Rotation: view coordinates = view @ articulator coordinates.
    """

    z_mm: Array32
    inside: Mask
    x0_mm: float
    y0_mm: float
    pitch_mm: float
    member: Member
    view: Array = field(default_factory=lambda: np.eye(3))

    @property
    def sign(self) -> float:
        """+1 for a lower arch, whose antagonist is above it, -1 for an upper one."""
        return 1.0 if self.member == "lower" else -1.0

    def at(self, x_mm: Any, y_mm: Any) -> tuple[Array32, Mask]:
        """Heights between the cells, bilinear.

        Parameters
        ----------
        x_mm, y_mm : array_like
            Places in the axes of the view, of one shape.

        Returns
        -------
        tuple of ndarray
            Heights in mm, and whether all four cells around the place are inside.
        """
        z, ok, _along_x, _along_y = self.look_up(*self.cells(x_mm, y_mm), slopes=False)
        return z, ok

    def slope_cos(self, x_mm: Any, y_mm: Any) -> Array32:
        """Cosine of the slope of the surface at places in the axes of the view."""
        _z, _ok, along_x, along_y = self.look_up(*self.cells(x_mm, y_mm))
        return cos_of(along_x, along_y)

    def look_up(
        self, u: Array32, v: Array32, *, slopes: bool = True
    ) -> tuple[Array32, Mask, Array32, Array32]:
        """Heights, mask and slopes along x and y at places counted in cells from [0, 0].

        A slope is that between the neighbours of a cell: that within a cell would be off by half
        a cell, always to one side. It is zero where it is not asked for.
        """
        nx, ny = self.z_mm.shape
        heights, whole = self._padded
        # One empty cell stands around the field, so that no place is read beside the array.
        u = np.clip(u + np.float32(1.0), np.float32(0.0), np.float32(nx))
        v = np.clip(v + np.float32(1.0), np.float32(0.0), np.float32(ny))
        i, j = u.astype(np.int32), v.astype(np.int32)
        u -= i
        v -= j
        cell = i * np.int32(ny + 2) + j
        z, ok = _between(heights, cell, ny + 2, u, v), whole.take(cell)
        if not slopes:
            return z, ok, np.float32(0.0) * z, np.float32(0.0) * z
        along_x, along_y = (_between(rise, cell, ny + 2, u, v) for rise in self._rises)
        return z, ok, along_x, along_y

    def nodes_mm(self) -> Array:
        """Every cell that is inside as a point in the axes of the view, shape (m, 3)."""
        i, j = np.nonzero(self.inside)
        return np.column_stack(
            [
                self.x0_mm + i * self.pitch_mm,
                self.y0_mm + j * self.pitch_mm,
                self.z_mm[i, j].astype(float),
            ]
        )

    def cells(self, x_mm: Any, y_mm: Any) -> tuple[Array32, Array32]:
        """Places in the axes of the view, counted in cells from [0, 0]."""
        u = (np.asarray(x_mm, dtype=float) - self.x0_mm) / self.pitch_mm
        v = (np.asarray(y_mm, dtype=float) - self.y0_mm) / self.pitch_mm
        return u.astype(np.float32), v.astype(np.float32)

    @cached_property
    def _padded(self) -> tuple[Array32, Mask]:
        """Heights with an empty cell all around, and whether the four cells from here are in."""
        floor = self.z_mm[~self.inside]
        heights = np.pad(
            self.z_mm, 1, constant_values=floor[0] if floor.size else _floor(self.z_mm, self.sign)
        )
        inside = self.inside
        whole = np.zeros(heights.shape, dtype=bool)
        whole[1:-2, 1:-2] = inside[:-1, :-1] & inside[1:, :-1] & inside[:-1, 1:] & inside[1:, 1:]
        return np.ascontiguousarray(heights.ravel()), whole.ravel()

    @cached_property
    def _rises(self) -> tuple[Array32, Array32]:
        """Slopes along x and along y at each cell, padded as the heights are."""
        return _rise(self.z_mm, self.inside, self.pitch_mm), np.ascontiguousarray(
            _rise(self.z_mm.T, self.inside.T, self.pitch_mm)
            .reshape(self.z_mm.shape[1] + 2, -1)
            .T.ravel()
        )


def height_field(
    triangles_mm: npt.ArrayLike,
    *,
    member: Member,
    pitch_mm: float = 0.1,
    view: Array | None = None,
    bounds_mm: Bounds | None = None,
) -> HeightField:
    """The field of a triangle soup: of all triangles over a cell, the one met first.

    Parameters
    ----------
    triangles_mm : array_like, shape (n, 3, 3)
        Corners in articulator axes. Neither winding nor shared corners matter.
    member : {"upper", "lower"}
        Which surface is met first.
    pitch_mm : float
        Distance of the cells.
    view : ndarray, shape (3, 3), optional
        Rotation into the axes of a tilted view, as ``tilted_view`` gives it. Two cells along
        its silhouette are left out.
    bounds_mm : tuple of float, optional
        x low, x high, y low, y high in the axes of the view; by default the whole mesh.

    Returns
    -------
    HeightField

    Raises
    ------
    OpenOrEmptyMesh
        No triangle lies over a cell.
    NotANumber
        The corners are not n x 3 x 3 finite numbers.
    OutOfRange
        The grid would be too large.
    """
    choose(member, ("upper", "lower"), field="member", label="member")
    pitch_mm = check_hard("pitch_mm", pitch_mm)
    triangles = np.asarray(triangles_mm, dtype=np.float32)
    if triangles.ndim != 3 or triangles.shape[1:] != (3, 3):
        raise NotANumber(
            "The triangles are not a list of three corners with x, y and z each. Give corners in "
            "millimetres, in articulator axes.",
            field="triangles_mm",
        )
    if not len(triangles):
        raise _empty()
    turn = None if view is None else check_view(view)
    if bounds_mm is None:
        bounds_mm = extent(triangles, turn)
    low_i, low_j, nx, ny = _grid(bounds_mm, pitch_mm)
    sign = np.float32(1.0 if member == "lower" else -1.0)
    highest = np.full(nx * ny, -np.inf, dtype=np.float32)
    for chunk in seen(triangles, turn):
        for cell, z in covered(chunk, pitch_mm, (low_i, low_j, nx, ny)):
            np.maximum.at(highest, cell, sign * z)
    inside = np.isfinite(highest).reshape(nx, ny)
    z_mm = (sign * highest).reshape(nx, ny)
    if turn is not None:
        inside = ndimage.binary_erosion(
            inside, np.ones((3, 3), dtype=bool), iterations=SILHOUETTE_CELLS
        )
    return _made(z_mm, inside, low_i * pitch_mm, low_j * pitch_mm, pitch_mm, member, turn)


def field_of(
    height: Callable[[Array, Array], npt.ArrayLike],
    *,
    member: Member,
    bounds_mm: Bounds,
    pitch_mm: float = 0.1,
) -> HeightField:
    """The field of a function of x and y.

    Parameters
    ----------
    height : callable
        Heights in mm at arrays x and y of one shape; nan where there is nothing.
    member : {"upper", "lower"}
        The arch that the surface belongs to.
    bounds_mm : tuple of float
        x low, x high, y low, y high.
    pitch_mm : float
        Distance of the cells.

    Raises
    ------
    OpenOrEmptyMesh
        There is nothing anywhere.
    OutOfRange
        The grid would be too large.
    """
    choose(member, ("upper", "lower"), field="member", label="member")
    pitch_mm = check_hard("pitch_mm", pitch_mm)
    low_i, low_j, nx, ny = _grid(bounds_mm, pitch_mm)
    x, y = np.meshgrid(
        (low_i + np.arange(nx)) * pitch_mm, (low_j + np.arange(ny)) * pitch_mm, indexing="ij"
    )
    z_mm = np.broadcast_to(np.asarray(height(x, y), dtype=np.float32), x.shape).copy()
    return _made(
        z_mm, np.isfinite(z_mm), low_i * pitch_mm, low_j * pitch_mm, pitch_mm, member, None
    )


def tilted_view(*, member: Member, tilt_deg: float = 30.0, towards_deg: float = 0.0) -> Array:
    """Rotation into a view from in front of the teeth, shape (3, 3).

    Parameters
    ----------
    member : {"upper", "lower"}
        A lower arch is looked at from above, an upper one from below.
    tilt_deg : float
        How far the eye moves down from the vertical, towards labial. Past about 40 deg the
        silhouette reaches the incisal edge (computed on a ridge with flanks of 75 and 60 deg).
    towards_deg : float
        Where labial is: 0 forward, 90 to the patient's left.
    """
    tilt = math.radians(tilt_deg if member == "lower" else -tilt_deg)
    cos, sin = math.cos(math.radians(towards_deg)), math.sin(math.radians(towards_deg))
    about = np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]])
    down = np.array(
        [
            [math.cos(tilt), 0.0, -math.sin(tilt)],
            [0.0, 1.0, 0.0],
            [math.sin(tilt), 0.0, math.cos(tilt)],
        ]
    )
    return np.asarray(about @ down @ about.T)


def check_view(view: Any) -> Array:
    """The matrix, if it is a rotation.

    Raises
    ------
    NotANumber
    """
    turn = np.asarray(view, dtype=float)
    if (
        turn.shape != (3, 3)
        or not np.isfinite(turn).all()
        or np.abs(turn @ turn.T - np.eye(3)).max() > ROUND_OFF
        or np.linalg.det(turn) < 0
    ):
        raise NotANumber(
            "The view is not a rotation of 3 x 3 numbers. Give one as tilted_view makes it.",
            field="view",
        )
    return turn


def cos_of(along_x: Array32, along_y: Array32) -> Array32:
    """Cosine of the slope of a surface that rises so much along x and along y."""
    return np.asarray(1.0 / np.sqrt(1.0 + along_x * along_x + along_y * along_y), np.float32)


def _grid(bounds_mm: Bounds, pitch_mm: float) -> tuple[int, int, int, int]:
    """First cell and number of cells along x and y; cells stand on multiples of the pitch."""
    x_low, x_high, y_low, y_high = (float(value) for value in bounds_mm)
    if not all(map(math.isfinite, (x_low, x_high, y_low, y_high))):
        raise NotANumber(
            "The surface holds a place that is not a finite number. Repair the file, or give "
            "finite bounds.",
            field="bounds_mm",
        )
    low_i, low_j = math.floor(x_low / pitch_mm + 1e-6), math.floor(y_low / pitch_mm + 1e-6)
    nx = math.ceil(x_high / pitch_mm - 1e-6) - low_i + 1
    ny = math.ceil(y_high / pitch_mm - 1e-6) - low_j + 1
    if nx < 2 or ny < 2:
        raise _empty()
    if nx * ny > MOST_NODES:
        raise OutOfRange(
            f"A grid of {nx} x {ny} cells is too large. Crop the surface, or choose a pitch "
            f"coarser than {pitch_mm:g} mm.",
            field="pitch_mm",
            value=pitch_mm,
            limit=MOST_NODES,
        )
    return low_i, low_j, nx, ny


def _between(values: Array32, cell: Any, row: int, u: Array32, v: Array32) -> Array32:
    """Bilinear values between a cell, the next ones along x and y, and the one beyond."""
    first = values.take(cell)
    dx = values.take(cell + np.int32(row)) - first
    dy = values.take(cell + np.int32(1)) - first
    twist = values.take(cell + np.int32(row + 1)) - first - dx - dy
    return np.asarray(first + u * (dx + twist * v) + v * dy)


def _rise(z_mm: Array32, inside: Mask, pitch_mm: float) -> Array32:
    """Slope along the first axis at each cell, from its neighbours that are inside."""
    both = inside[1:] & inside[:-1]
    step = np.where(both, np.diff(z_mm, axis=0), np.float32(0.0))
    before, after = ((1, 0), (0, 0)), ((0, 1), (0, 0))
    count = np.pad(both, before).astype(np.float32) + np.pad(both, after)
    rise = (np.pad(step, before) + np.pad(step, after)) / np.maximum(count, 1) / pitch_mm
    return np.asarray(np.pad(rise, 1, mode="edge").ravel(), dtype=np.float32)


def _floor(z_mm: Array32, sign: float) -> np.float32:
    extreme = z_mm.min() if sign > 0 else z_mm.max()
    return np.float32(extreme - sign * BELOW_EVERYTHING_MM)


def _made(
    z_mm: Array32,
    inside: Mask,
    x0_mm: float,
    y0_mm: float,
    pitch_mm: float,
    member: Member,
    view: Array | None,
) -> HeightField:
    """A field whose empty cells hold the floor value."""
    if not inside.any():
        raise _empty()
    floor = _floor(z_mm[inside], 1.0 if member == "lower" else -1.0)
    z_mm = np.where(inside, z_mm, floor)
    for array in (z_mm, inside):
        array.setflags(write=False)
    return HeightField(
        z_mm, inside, x0_mm, y0_mm, pitch_mm, member, np.eye(3) if view is None else view
    )


def _empty() -> OpenOrEmptyMesh:
    return OpenOrEmptyMesh(
        "No part of the surface lies over the grid. Give a surface that is wider than a cell, "
        "in millimetres, in articulator axes.",
        field="surface",
    )
