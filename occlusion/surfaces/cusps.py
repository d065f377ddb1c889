"""Teeth as cusps: where the tips stand, how the inclines fall, and the surface that they make.

A cusp is a cone with a round tip, drawn along the tooth's own axis: at the distance d from the
axis through its tip it has fallen by tan(theta) (sqrt(d^2 + rho^2) - rho). theta goes from the
inner to the outer incline with b / sqrt(b^2 + 0.25), where b is the distance to the outer side,
and in the same way from the distal to the mesial slope; between the two it is their mean
weighted with the squares of the distances along. A lower tooth is the highest of its cusps, an
upper one the lowest. Grooves and ridges are the creases where one cusp takes over from another.

An axis that leans turns the whole tooth: an incline of 20 deg on a tooth that leans by 6 deg
stands at 26 deg on one side and 14 deg on the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from occlusion.articulator import Member
from occlusion.errors import ImpossibleGeometry
from occlusion.frames import Array
from occlusion.teeth import side_of

Floats = npt.NDArray[np.floating[Any]]
Mask = npt.NDArray[np.bool_]
Index = npt.NDArray[np.int16]
Material = Literal["denture", "natural"]
CuspSide = Literal["buccal", "lingual"]

TURN_MM = 0.5
"""Distance within which one incline gives way to the next at a tip (common practice, no source)."""

STEEPEST_DEG = 85.0
"""An incline and the lean of its tooth together: past this a height over a plane means nothing."""


@dataclass(frozen=True)
class CuspForm:
    """One cusp, or one incisal edge.

    Attributes
    ----------
    name : str
        "B", "L", "MB", "DB", "ML", "DL", "D", or "edge" and "tip" of a front tooth.
    side : {"buccal", "lingual"}
        Which row it stands in: its outer incline looks that way. Front teeth are buccal.
    u_mm, v_mm : float
        Place of the tip from the centre of the tooth, to mesial and to buccal.
    tip_z_mm : float
        Height of the tip in articulator axes.
    inner_deg, outer_deg, mesial_deg, distal_deg : float
        Inclines against the plane across the axis of the tooth.
    roundness_mm : float
        rho; the tip has the radius rho / tan(theta).
    half_edge_mm : float
        Half the length of an edge along the arch; 0 for a point.
    """

    name: str
    side: CuspSide
    u_mm: float
    v_mm: float
    tip_z_mm: float
    inner_deg: float
    outer_deg: float
    mesial_deg: float
    distal_deg: float
    roundness_mm: float
    half_edge_mm: float = 0.0


@dataclass(frozen=True)
class ToothForm:
    """One tooth of a set-up.

    Attributes
    ----------
    tooth : str
        ISO 3950 number.
    member : {"upper", "lower"}
    material : {"denture", "natural"}
    centre_mm : tuple of float
        x and y of the middle between the rows of cusps, or of the incisal edge.
    mesial : tuple of float
        Unit vector along the arch towards the midline, in x and y.
    axis : tuple of float
        Unit vector up along the tooth's axis, in articulator axes.
    md_mm, bl_mm : float
        Crown widths.
    rim_v_mm : float
        How far to buccal of the centre the middle of the crown lies, seen from above.
    cusps : tuple of CuspForm
    """

    tooth: str
    member: Member
    material: Material
    centre_mm: tuple[float, float]
    mesial: tuple[float, float]
    axis: tuple[float, float, float]
    md_mm: float
    bl_mm: float
    rim_v_mm: float
    cusps: tuple[CuspForm, ...]

    def __post_init__(self) -> None:
        lean_deg = math.degrees(math.acos(min(1.0, self.axis[2])))
        for cusp in self.cusps:
            steepest = max(cusp.inner_deg, cusp.outer_deg, cusp.mesial_deg, cusp.distal_deg)
            if steepest + lean_deg > STEEPEST_DEG:
                raise ImpossibleGeometry(
                    f"Tooth {self.tooth} leans by {lean_deg:.1f} deg with its place on the curve "
                    f"and its tilt, and has an incline of {steepest:g} deg: together more than "
                    f"{STEEPEST_DEG:g} deg. Enter a smaller tilt or incline, or a larger radius "
                    "of the curve.",
                    field=f"{self.tooth}.tilt_deg",
                    value=round(steepest + lean_deg, 1),
                    limit=STEEPEST_DEG,
                )

    @property
    def buccal(self) -> tuple[float, float]:
        """Unit vector out of the arch, across the mesial one."""
        x, y = self.mesial
        return (-y, x) if side_of(self.tooth) == "left" else (y, -x)

    @property
    def tips_mm(self) -> Array:
        """Tips in articulator axes, shape (cusps, 3)."""
        (mx, my), (bx, by), (x, y) = self.mesial, self.buccal, self.centre_mm
        return np.array(
            [
                (x + c.u_mm * mx + c.v_mm * bx, y + c.u_mm * my + c.v_mm * by, c.tip_z_mm)
                for c in self.cusps
            ]
        )

    @property
    def box_mm(self) -> tuple[float, float, float, float]:
        """x low, x high, y low, y high around the crown."""
        (mx, my), (bx, by) = self.mesial, self.buccal
        x = self.centre_mm[0] + self.rim_v_mm * bx
        y = self.centre_mm[1] + self.rim_v_mm * by
        across_x = (abs(self.md_mm * mx) + abs(self.bl_mm * bx)) / 2.0
        across_y = (abs(self.md_mm * my) + abs(self.bl_mm * by)) / 2.0
        return (x - across_x, x + across_x, y - across_y, y + across_y)

    def moved(self, up_mm: float) -> ToothForm:
        """The same tooth that much higher."""
        cusps = tuple(replace(c, tip_z_mm=c.tip_z_mm + up_mm) for c in self.cusps)
        return replace(self, cusps=cusps)

    def local(self, x_mm: Any, y_mm: Any, *, dtype: Any = np.float64) -> tuple[Floats, Floats]:
        """Places as distances to mesial and to buccal of the centre."""
        x = np.subtract(x_mm, self.centre_mm[0], dtype=np.float64).astype(dtype, copy=False)
        y = np.subtract(y_mm, self.centre_mm[1], dtype=np.float64).astype(dtype, copy=False)
        (mx, my), (bx, by) = self.mesial, self.buccal
        cast = np.dtype(dtype).type
        return x * cast(mx) + y * cast(my), x * cast(bx) + y * cast(by)

    def covers(self, u: Floats, v: Floats) -> Mask:
        """Whether places in the tooth's own axes lie within the crown seen from above."""
        along = u / u.dtype.type(self.md_mm / 2.0)
        across = (v - v.dtype.type(self.rim_v_mm)) / v.dtype.type(self.bl_mm / 2.0)
        # A rounded box: the superellipse of the fourth power. Squares are far faster than powers.
        along, across = along * along, across * across
        return np.asarray(along * along + across * across <= 1.0)

    def surface(self, u: Floats, v: Floats) -> tuple[Floats, Index]:
        """Heights at places in the tooth's own axes, and the cusp that makes each.

        Parameters
        ----------
        u, v : ndarray of float32 or float64, shape (n,)
            To mesial and to buccal, in mm; ``local`` gives them.

        Returns
        -------
        tuple of ndarray
            Heights in mm in articulator axes, and numbers of cusps, both of shape (n,).
        """
        each = self._each(u, v)
        owner = (each.argmax(axis=0) if self.member == "lower" else each.argmin(axis=0)).astype(
            np.int16
        )
        return np.take_along_axis(each, owner[None, :].astype(np.intp), axis=0)[0], owner

    def height(self, u: Floats, v: Floats) -> Floats:
        """Heights only, shape (n,)."""
        each = self._each(u, v)
        return np.asarray(each.max(axis=0) if self.member == "lower" else each.min(axis=0))

    def inclines(self, u: Floats, v: Floats, owner: Index) -> tuple[Mask, Mask, Mask]:
        """Whether places are on a lingual cusp, on its inner side, and on its distal half."""
        lingual = np.array([c.side == "lingual" for c in self.cusps])[owner]
        tip_u = np.array([c.u_mm for c in self.cusps])[owner]
        tip_v = np.array([c.v_mm for c in self.cusps])[owner]
        outward = np.where(lingual, tip_v - v, v - tip_v)
        return lingual, outward < 0.0, u < tip_u

    @cached_property
    def _columns(self) -> dict[str, Array]:
        """The cusps' numbers as columns, angles in radians: means and half differences."""
        rows: dict[str, list[float]] = {
            "u": [c.u_mm for c in self.cusps],
            "v": [c.v_mm for c in self.cusps],
            "z": [c.tip_z_mm for c in self.cusps],
            "rho": [c.roundness_mm for c in self.cusps],
            "edge": [c.half_edge_mm for c in self.cusps],
            "bl": [math.radians(c.outer_deg + c.inner_deg) / 2.0 for c in self.cusps],
            "bl_half": [
                (1.0 if c.side == "buccal" else -1.0) * math.radians(c.outer_deg - c.inner_deg) / 2
                for c in self.cusps
            ],
            "md": [math.radians(c.mesial_deg + c.distal_deg) / 2.0 for c in self.cusps],
            "md_half": [math.radians(c.mesial_deg - c.distal_deg) / 2.0 for c in self.cusps],
        }
        return {key: np.array(values)[:, None] for key, values in rows.items()}

    def _each(self, u: Floats, v: Floats) -> Floats:
        """Heights that each cusp would have alone, shape (cusps, n)."""
        kind = u.dtype.type
        c = {key: column.astype(u.dtype) for key, column in self._columns.items()}
        sign = 1.0 if self.member == "lower" else -1.0
        (mx, my), (bx, by) = self.mesial, self.buccal
        lean_u = self.axis[0] * mx + self.axis[1] * my
        lean_v = self.axis[0] * bx + self.axis[1] * by
        up = self.axis[2]

        along = u - c["u"]
        on_edge = np.clip(along, -c["edge"], c["edge"])
        du, dv = along - on_edge, v - c["v"]
        du2, dv2 = du * du, dv * dv
        d2 = du2 + dv2
        turn2 = kind(TURN_MM * TURN_MM)
        across = c["bl"] + c["bl_half"] * dv / np.sqrt(dv2 + turn2)
        theta = c["md"] + c["md_half"] * du / np.sqrt(du2 + turn2)
        theta += (across - theta) * (dv2 / (d2 + kind(1e-12)))
        t = np.tan(theta)
        # A round cone is one half of a two-sheeted hyperboloid, so a vertical line meets it where
        # a quadratic says: (1 + t^2) s^2 - 2 t rho s = t^2 |r|^2, s along the axis, r from the tip.
        t2 = t * t
        w = kind(sign * lean_u) * du + kind(sign * lean_v) * dv
        grown = t2 + kind(1.0)
        a = grown * kind(up * up) - t2
        b = kind(up) * (grown * w - t * c["rho"])
        constant = w * (grown * w - kind(2.0) * t * c["rho"]) - t2 * d2
        fall = (b + np.sqrt(np.maximum(b * b - a * constant, kind(0.0)))) / a
        return np.asarray(c["z"] - kind(lean_u / up) * on_edge - kind(sign) * fall)


def heights(forms: Iterable[ToothForm], x_mm: Array, y_mm: Array) -> Array:
    """The surface of several teeth of one arch at places in articulator axes; nan beside them.

    Parameters
    ----------
    forms : iterable of ToothForm
        Teeth of one arch.
    x_mm, y_mm : ndarray, shape (n,)
        Places from above.
    """
    z = np.full(x_mm.shape, np.nan)
    for form in forms:
        low_x, high_x, low_y, high_y = form.box_mm
        near = np.flatnonzero(
            (x_mm >= low_x) & (x_mm <= high_x) & (y_mm >= low_y) & (y_mm <= high_y)
        )
        if not near.size:
            continue
        u, v = form.local(x_mm[near], y_mm[near])
        over = form.covers(u, v)
        near, own = near[over], form.height(u[over], v[over])
        z[near] = np.fmax(z[near], own) if form.member == "lower" else np.fmin(z[near], own)
    return z


def neighbours(form: ToothForm, others: Sequence[ToothForm], *, reach_mm: float) -> list[ToothForm]:
    """Those of the others whose boxes come that near to the tooth's."""
    low_x, high_x, low_y, high_y = form.box_mm
    near = []
    for other in others:
        box = other.box_mm
        if (
            box[0] <= high_x + reach_mm
            and box[1] >= low_x - reach_mm
            and box[2] <= high_y + reach_mm
            and box[3] >= low_y - reach_mm
        ):
            near.append(other)
    return near
