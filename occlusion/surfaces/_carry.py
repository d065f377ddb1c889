"""How the samples of one arch get into the axes of the other arch's field."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from occlusion import frames
from occlusion.articulator import Member
from occlusion.errors import BadRequest
from occlusion.frames import Array
from occlusion.surfaces._raster import Array32
from occlusion.surfaces.heightfield import HeightField

SAMPLES_AT_ONCE = 16_384
"""Samples of a block: its temporary arrays stay in the nearest caches."""


@dataclass(frozen=True)
class Carried:
    """How samples get into the axes of a field: q = A p + b, one for each position.

    Attributes
    ----------
    A, b : ndarray, shapes (n, 3, 3) and (n, 3)
    points_mm : ndarray, shape (m, 3)
        The samples in the axes of the view, p.
    """

    A: Array
    b: Array
    points_mm: Array


def carried(
    field: HeightField, points_mm: npt.ArrayLike, transforms: npt.ArrayLike, *, member: Member
) -> Carried:
    """Samples of one member on their way into the field of the other.

    Parameters
    ----------
    field : HeightField
        The opposing arch.
    points_mm : array_like, shape (m, 3)
        In articulator axes, at closed maximum intercuspation.
    transforms : array_like, shape (n, 4, 4) or (4, 4)
        Positions of the lower member.
    member : {"upper", "lower"}
        The member that carries the samples. The lower field moves with the lower member, so
        that upper samples are seen from it; the upper field stands.

    Raises
    ------
    BadRequest
        Samples and field belong to one arch.
    NotANumber, ImpossibleGeometry
        A position is no rigid movement.
    """
    if member == field.member:
        raise BadRequest(
            f"Samples and field both belong to the {member} arch. Compare the samples of one "
            "arch with the field of the other.",
            field="member",
            value=member,
        )
    T = frames.check_rigid(transforms, field="transforms").reshape(-1, 4, 4)
    view = field.view
    T = frames.across(T, member)
    return Carried(
        A=view @ T[..., :3, :3] @ view.T,
        b=T[..., :3, 3] @ view.T,
        points_mm=np.asarray(points_mm, dtype=float).reshape(-1, 3) @ view.T,
    )


def in_cells(field: HeightField, way: Carried, middle: Array) -> tuple[Array32, Array32]:
    """What carries points counted from ``middle`` to cells and height, (n, 3, 3) and (n, 3, 1).

    Short numbers are enough once what is large has been taken out.
    """
    A, b = way.A.copy(), way.A @ middle + way.b
    A[:, :2] /= field.pitch_mm
    b[:, 0] = (b[:, 0] - field.x0_mm) / field.pitch_mm
    b[:, 1] = (b[:, 1] - field.y0_mm) / field.pitch_mm
    return A.astype(np.float32), b[:, :, None].astype(np.float32)
