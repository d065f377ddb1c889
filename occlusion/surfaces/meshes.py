"""Scans of teeth, read from STL and PLY files: a skin of triangles, or a refusal.

A scan of an arch is a shell, open at its base. The rule for what else may be open: seen from the
side of the other arch, no hole of more than ``HOLE_MM2`` may lie in the teeth, that is, less than
``TEETH_MM`` below the highest place within ``AROUND_MM``. A hole deep in the palate or in a side
wall is let pass, and so are slits without area, which reduced scans are full of. Which side faces
the other arch follows from the shell itself: its triangles' areas add up to a vector that points
away from the base. A shell without a base is told from a closed model with a hole by the area of
its rim, ``RIM_MM2``; in a closed model a hole counts on every side. A file of separate triangles,
of which most edges stand alone, is no surface at all.
"""

from __future__ import annotations

import io
import os
from collections.abc import Callable
from dataclasses import dataclass
from typing import BinaryIO

import numpy as np

from occlusion.errors import OpenOrEmptyMesh, TooManyTriangles, UnitSuspect
from occlusion.frames import Array
from occlusion.ranges import LIMITS
from occlusion.surfaces import _ply, _shell, _stl
from occlusion.surfaces._bytes import (
    BLOCK,
    EXPORT_AGAIN,
    MOST_BYTES,
    MOST_TRIANGLES,
    Floats,
    Foreign,
    opened,
    received,
)

HOLE_MM2 = 1.0
"""A hole of this area hides a contact. Common practice, no source."""

TEETH_MM = 8.0
AROUND_MM = 20.0
"""A hole lies in the teeth unless something this near stands so much higher: a cusp is 3 mm high,
and the side of the other arch is known to some 10 deg, but a palate is deeper than 10 mm. Common
practice, no source."""

RIM_MM2 = 100.0
"""The base of a horseshoe has 600 mm2 and more, a hole where a tooth was not seen less."""

ALONE_SHARE = 0.5
"""Open edges among all: a patch of two triangles has 0.67, a grid of 4 x 4 squares 0.17."""

MOST_OPEN_EDGES = 200_000
MOST_HOLES = 200
"""A scan of a million triangles has some thousand open edges, and a rim or two."""

INSIDE_OUT_SHARE = 0.02
"""Negative volume, as a part of the box around the scan, at which the winding is turned. A shell is
taken to stand up from its rim: an imprint, whose rim stands higher, is turned wrongly, which
changes nothing but the share of undercuts. Parts that differ from the rest are not looked for."""


@dataclass(frozen=True)
class Mesh:
    """Triangles of one surface, wound so that they face outward.

    Attributes
    ----------
    triangles_mm : ndarray of float32, shape (n, 3, 3)
        Corners of each triangle, read-only.
    source : str
        Where it comes from, for sentences.
    turned : bool
        Whether the file had it inside out.
    """

    triangles_mm: Floats
    source: str
    turned: bool = False


def read_mesh(path: str | os.PathLike[str], *, field: str = "surface") -> Mesh:
    """The surface in a file, in millimetres.

    Binary and ASCII STL, ASCII and binary PLY of both byte orders; the content decides, not the
    name. What a head promises is held against the size of the file before anything is made for it.

    Parameters
    ----------
    path : str or path
        An ordinary file.
    field : str, optional
        Name of the value in refusals.

    Raises
    ------
    BadRequest
        ``path`` is no path.
    OpenOrEmptyMesh
        There is no such file, it is no mesh, is cut off, has coordinates that are not finite, or
        no surface that is closed enough (see the module's description).
    TooManyTriangles
        More than 2,000,000, or a file of more than 256 MB.
    UnitSuspect
        No side of the box around it is 20 to 200 mm long.
    """
    with opened(path, field=field) as file:
        return _guarded(file, lambda: _read(file))


def read_mesh_stream(stream: BinaryIO, *, name: str, field: str = "surface") -> Mesh:
    """The surface in an open binary stream that can be rewound, such as an upload.

    ``name`` is what to call it in sentences; refusals are those of ``read_mesh``.
    """
    try:
        file = received(stream, name=name, field=field)
    except (OSError, ValueError):
        raise OpenOrEmptyMesh(
            f"The file cannot be read from its beginning. {EXPORT_AGAIN}", field=field
        ) from None
    return _guarded(file, lambda: _read(file))


def mesh_of(triangles_mm: object, *, source: str, field: str = "surface") -> Mesh:
    """The same checks for triangles that are at hand, (n, 3, 3) in millimetres."""
    file = Foreign(io.BytesIO(), 0, source, field)
    return _checked(file, np.array(triangles_mm, np.float32).reshape(-1, 3, 3))


def _guarded(file: Foreign, read: Callable[[], Mesh]) -> Mesh:
    """What a file does to its reader, said as a refusal."""
    try:
        return read()
    except OSError:
        raise file.broken("cannot be read to its end.") from None
    except MemoryError:
        raise TooManyTriangles(
            f"{file.name} needs more memory than this machine has. Reduce it to 200,000 triangles.",
            field=file.field,
            limit=MOST_TRIANGLES,
        ) from None


def _read(file: Foreign) -> Mesh:
    if file.size > MOST_BYTES:
        raise TooManyTriangles(
            f"{file.name} has {file.size / 2**20:.0f} MB. Reduce it, or export it as binary STL: "
            f"{MOST_BYTES // 2**20} MB are the most.",
            field=file.field,
            value=file.size,
            limit=MOST_BYTES,
        )
    head = file.stream.read(_stl.HEAD)
    file.stream.seek(0)
    if _stl.is_binary(head, file.size):
        return _checked(file, _stl.read_binary(file))
    if head[:5].strip() == b"ply" or head.startswith(b"ply\n"):
        return _checked(file, _ply.read_ply(file))
    if head.lstrip()[:5].lower() == b"solid":
        return _checked(file, _stl.read_ascii(file))
    raise _no_mesh(file, head)


def _no_mesh(file: Foreign, head: bytes) -> OpenOrEmptyMesh:
    if not head:
        return file.broken("is empty.")
    if head.startswith((b"PK\x03\x04", b"\x1f\x8b")):
        return file.broken("is packed. Unpack it, or send the scan itself.")
    count = _stl.promised(head)
    room = max(0, file.size - _stl.HEAD) / _stl.RECORD.itemsize
    return file.broken(
        f"is no mesh that can be read, or is cut off: as binary STL it would promise {count:,} "
        f"triangles and have room for {room:,.1f}.",
        value=count,
        limit=int(room),
    )


def _checked(file: Foreign, triangles: Floats) -> Mesh:
    """The mesh, if it is one skin of an arch's size."""
    if not len(triangles):
        raise file.broken("holds no triangles.")
    low, high = _box(file, triangles)
    _check_extent(file, float((high - low).max()))
    alone = _shell.open_edges(triangles)
    if alone.size > min(ALONE_SHARE * 3 * len(triangles), MOST_OPEN_EDGES):
        raise file.broken(
            f"is a heap of separate triangles: {alone.size / len(triangles) / 3:.0%} of its edges "
            "belong to one triangle only. Let the scanner's program make one surface of it.",
            value=alone.size,
            limit=MOST_OPEN_EDGES,
        )
    loops = _shell.openings(triangles, alone, least_mm2=HOLE_MM2)
    _check_holes(file, triangles, loops)
    triangles = _without_slivers(file, triangles)
    turned = _shell.volume_mm3(triangles, loops) < -INSIDE_OUT_SHARE * float(np.prod(high - low))
    if turned:
        triangles = np.ascontiguousarray(triangles[:, ::-1])
    triangles.setflags(write=False)
    return Mesh(triangles, file.name, turned)


def _box(file: Foreign, triangles: Floats) -> tuple[Array, Array]:
    """Lowest and highest corner of the box around it, in double precision."""
    with np.errstate(invalid="ignore"):  # a signalling NaN would warn before it is refused
        low = np.array([triangles[..., axis].min() for axis in range(3)], float)
        high = np.array([triangles[..., axis].max() for axis in range(3)], float)
    if not (np.isfinite(low).all() and np.isfinite(high).all()):
        raise file.broken("has corners that are no finite numbers.")
    return low, high


def _check_extent(file: Foreign, extent_mm: float) -> None:
    limit = LIMITS["scan_extent_mm"]
    if limit.hard_low <= extent_mm <= limit.hard_high:
        return
    if extent_mm == 0.0:
        raise file.broken("is a single point.")
    guess = next(
        (words for low, high, words in _UNITS if low <= extent_mm <= high), "in another unit"
    )
    raise UnitSuspect(
        f"{file.name} is {extent_mm:.4g} mm long, and an arch is {limit.hard_low:g} to "
        f"{limit.hard_high:g} mm: it may be {guess}. Export it again in millimetres.",
        field=file.field,
        value=extent_mm,
        limit=limit.hard,
    )


_UNITS = (
    (0.02, 0.2, "in metres"),
    (0.8, 3.9, "in inches"),
    (3.9, 20.0, "in centimetres, or a part of an arch"),
    (2e4, 2e5, "in micrometres"),
)


def _check_holes(file: Foreign, triangles: Floats, loops: list[_shell.Opening]) -> None:
    """Refuse holes in the occlusal surface; the module's description has the rule."""
    total = np.sum([loop.area_mm2 for loop in loops], axis=0) if loops else np.zeros(3)
    is_shell = bool(loops) and loops[0].size_mm2 >= RIM_MM2
    if len(loops) > MOST_HOLES:
        raise file.broken(f"has {len(loops):,} openings.", value=len(loops), limit=MOST_HOLES)
    for loop in loops[1:] if is_shell else loops:
        if is_shell:
            up = -total / np.linalg.norm(total)
            place = loop.edges_mm.reshape(-1, 3).mean(axis=0)
            if loop.area_mm2 @ up <= HOLE_MM2:
                continue
            top = _shell.highest_around_mm(triangles, place, up, radius_mm=AROUND_MM)
            if top - place @ up > TEETH_MM:
                continue
        raise file.broken(
            f"has a hole of {loop.size_mm2:.1f} mm2 in the teeth. Scan that place again, or close "
            "it in the scanner's program.",
            value=loop.size_mm2,
            limit=HOLE_MM2,
        )


def _without_slivers(file: Foreign, triangles: Floats) -> Floats:
    """The triangles that have an area; few of an honest mesh have none."""
    keep = np.empty(len(triangles), bool)
    for start in range(0, len(triangles), BLOCK):
        a, b, c = np.moveaxis(triangles[start : start + BLOCK].astype(float), 1, 0)
        keep[start : start + BLOCK] = np.cross(b - a, c - a).any(axis=1)
    kept = int(keep.sum())
    if 2 * kept < len(triangles):
        raise file.broken(
            f"is degenerate: {len(triangles) - kept:,} of its {len(triangles):,} triangles have "
            "no area."
        )
    return triangles if kept == len(triangles) else triangles[keep]
