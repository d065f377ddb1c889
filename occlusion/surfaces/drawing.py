"""Teeth drawn over a grid: the heights of an arch, and which tooth and incline owns each cell."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from occlusion.articulator import Member
from occlusion.errors import OpenOrEmptyMesh
from occlusion.ranges import check_hard
from occlusion.surfaces.cusps import Index, ToothForm
from occlusion.surfaces.heightfield import BELOW_EVERYTHING_MM, HeightField
from occlusion.surfaces.samples import INCLINES, Samples


@dataclass(frozen=True)
class Drawing:
    """An arch over a grid whose cells stand on multiples of the pitch.

    Attributes
    ----------
    z_mm : ndarray of float32, shape (nx, ny)
        Heights; where there is no tooth, past everything.
    tooth, incline : ndarray of int16, shape (nx, ny)
        Number in ``names`` and in ``INCLINES``; -1 where there is no tooth.
    """

    z_mm: npt.NDArray[np.float32]
    tooth: Index
    incline: Index
    names: tuple[str, ...]
    member: Member
    x0_mm: float
    y0_mm: float
    pitch_mm: float


def drawn(forms: Sequence[ToothForm], *, member: Member, pitch_mm: float) -> Drawing:
    """An arch drawn tooth by tooth, each within its own box only.

    Raises
    ------
    OpenOrEmptyMesh
        There are no teeth.
    NotANumber, OutOfRange
        For the pitch.
    """
    pitch = check_hard("pitch_mm", pitch_mm)
    if not forms:
        raise OpenOrEmptyMesh(
            f"The {member} arch has no teeth, so there is no surface. Enter its teeth.",
            field=f"calliper.{member}",
        )
    boxes = np.array([form.box_mm for form in forms])
    low_i, low_j = (math.floor(float(boxes[:, k].min()) / pitch) for k in (0, 2))
    high_i, high_j = (math.ceil(float(boxes[:, k].max()) / pitch) for k in (1, 3))
    shape = (high_i - low_i + 1, high_j - low_j + 1)
    sign = np.float32(1.0 if member == "lower" else -1.0)
    first = np.full(shape, -np.inf, dtype=np.float32)
    tooth = np.full(shape, -1, dtype=np.int16)
    incline = np.full(shape, -1, dtype=np.int16)
    for number, (form, box) in enumerate(zip(forms, boxes, strict=True)):
        i = np.arange(math.floor(box[0] / pitch), math.ceil(box[1] / pitch) + 1)
        j = np.arange(math.floor(box[2] / pitch), math.ceil(box[3] / pitch) + 1)
        u, v = form.local((i * pitch)[:, None], (j * pitch)[None, :], dtype=np.float32)
        at_i, at_j = np.nonzero(form.covers(u, v))
        u, v = u[at_i, at_j], v[at_i, at_j]
        z, owner = form.surface(u, v)
        z = sign * z
        at_i, at_j = at_i + (i[0] - low_i), at_j + (j[0] - low_j)
        met = z > first[at_i, at_j]
        cells = (at_i[met], at_j[met])
        first[cells] = z[met]
        tooth[cells] = number
        incline[cells] = _incline(form, u[met], v[met], owner[met])
    floor = first[tooth >= 0].min() - np.float32(BELOW_EVERYTHING_MM)
    return Drawing(
        z_mm=sign * np.maximum(first, floor),
        tooth=tooth,
        incline=incline,
        names=tuple(form.tooth for form in forms),
        member=member,
        x0_mm=low_i * pitch,
        y0_mm=low_j * pitch,
        pitch_mm=pitch,
    )


def field_from(drawing: Drawing) -> HeightField:
    """The heights of a drawing."""
    inside = drawing.tooth >= 0
    z_mm = drawing.z_mm.copy()
    for array in (z_mm, inside):
        array.setflags(write=False)
    return HeightField(z_mm, inside, drawing.x0_mm, drawing.y0_mm, drawing.pitch_mm, drawing.member)


def samples_from(drawing: Drawing) -> Samples:
    """The owned cells of a drawing as points; regions are the teeth, inclines are told."""
    i, j = np.nonzero(drawing.tooth >= 0)
    points = np.empty((i.size, 3), dtype=np.float32)
    points[:, 0] = drawing.x0_mm + i * drawing.pitch_mm
    points[:, 1] = drawing.y0_mm + j * drawing.pitch_mm
    points[:, 2] = drawing.z_mm[i, j]
    return Samples(
        member=drawing.member,
        points_mm=points,
        region=drawing.tooth[i, j],
        names=drawing.names,
        incline=drawing.incline[i, j],
        cell_mm2=drawing.pitch_mm**2,
    )


def _incline(form: ToothForm, u: Any, v: Any, owner: Index) -> Index:
    """Numbers in ``INCLINES``."""
    lingual, inner, distal = form.inclines(u, v, owner)
    return _NUMBERS[lingual.astype(np.intp), inner.astype(np.intp), distal.astype(np.intp)]


_NUMBERS = np.array(
    [
        [
            [INCLINES.index(f"{cusp} {side} {half}") for half in ("mesial", "distal")]
            for side in ("outer", "inner")
        ]
        for cusp in ("buccal", "lingual")
    ],
    dtype=np.int16,
)
"""By lingual cusp, inner side and distal half."""
