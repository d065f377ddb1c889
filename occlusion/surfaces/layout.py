"""Where the teeth stand: two arches laid out from widths, on the compensating curve.

The lower buccal tips and incisal edges stand along the half-ellipse of the textbook's lower
arch through the incisal point. The upper ones stand along a line ``OVERJET_MM`` outside it, so
that upper lingual tips come over lower fossae and lower buccal tips under upper ones. Each arch
is filled from the midline with its own widths; the upper widths are counted along the line of
the contact points, which lie inside the tips. The wider upper front teeth then leave each back
tooth between two of the other arch, the lower ones half a premolar further forward.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from occlusion.articulator import Member, Point
from occlusion.curves import sagitta_mm
from occlusion.errors import ImpossibleGeometry
from occlusion.frames import Array, about_y
from occlusion.surfaces.calliper import CalliperTooth, CompensatingCurve
from occlusion.surfaces.cusps import ToothForm
from occlusion.surfaces.textbook import measures_of
from occlusion.teeth import HALF_WIDTH_TO_DEPTH, QUADRANTS, crown, is_anterior, side_of

OVERJET_MM = 3.0
"""How far the upper line lies outside the lower one: about half the distance of the tips of an
upper back tooth, which stands with its fossa over the lower buccal cusps (common practice, no
source)."""

INTERLOCK_MM = 0.65
"""How far the tips of upper back teeth stand under the curve before anything settles, the lower
ones on it: natural arches of the textbook then nearly meet and nowhere cross (computed)."""

EDGE_ROOM_MM = 0.5
"""How much higher upper front edges stand than their facets ask: lower edges are round and stand
on a bend, so that natural arches of the textbook would cross at the canines (computed)."""

CONTACTS_MM = 1.4
"""How far outside the lower line the upper widths are counted: with the textbook's widths each
lower buccal cusp then stands under an upper fossa or between two teeth, each upper lingual cusp
over a lower one (computed)."""

LOWEST_BEHIND_MM = 29.0
"""How far behind the incisal point the curve is lowest, so that the incisal point and the
lower second molars of the textbook arch stand at one height (computed)."""

BEYOND_MM = 40.0
"""How far the lines go straight on behind their quarter of an ellipse."""


@dataclass(frozen=True)
class Sphere:
    """The sphere of a compensating curve, with its lowest point in the median plane."""

    radius_mm: float
    lowest_x_mm: float
    lowest_z_mm: float

    def height(self, x_mm: float, y_mm: float) -> float:
        """Height of the sphere over a place, in articulator axes.

        Raises
        ------
        ImpossibleGeometry
            The place lies beside the sphere.
        """
        away = self._away(x_mm, y_mm)
        return self.lowest_z_mm + sagitta_mm(chord_mm=2.0 * away, radius_mm=self.radius_mm)

    def axis(self, x_mm: float, y_mm: float) -> Array:
        """Unit vector from the sphere to its middle, up."""
        self._away(x_mm, y_mm)
        x, y = (x_mm - self.lowest_x_mm) / self.radius_mm, y_mm / self.radius_mm
        return np.array([-x, -y, math.sqrt(1.0 - x * x - y * y)])

    def _away(self, x_mm: float, y_mm: float) -> float:
        away = math.hypot(x_mm - self.lowest_x_mm, y_mm)
        if away >= self.radius_mm:
            raise ImpossibleGeometry(
                f"A tooth stands {away:.0f} mm beside the lowest point of the compensating curve, "
                f"whose radius is {self.radius_mm:g} mm. Enter a larger radius, or a lowest point "
                "nearer to the teeth.",
                field="curve.radius_mm",
                value=self.radius_mm,
                limit=round(away, 1),
            )
        return away


def sphere_of(
    curve: CompensatingCurve, *, incisal_point_mm: Point, tilt_deg: float = 0.0
) -> Sphere:
    """The sphere that a curve stands for.

    Parameters
    ----------
    curve : CompensatingCurve
        Radius, and lowest point if it has one.
    incisal_point_mm : tuple of float
        It lies on the sphere when the curve has no lowest point of its own.
    tilt_deg : float
        How much the plane that the settings are read against falls forward: the incisal point
        and the second molars then stand at one height over that plane.
    """
    if curve.lowest_mm is not None:
        return Sphere(curve.radius_mm, *curve.lowest_mm)
    R = curve.radius_mm
    middle = np.array([-LOWEST_BEHIND_MM, 0.0, math.sqrt(R * R - LOWEST_BEHIND_MM**2)])
    x, _y, z = about_y(math.radians(tilt_deg)) @ middle
    return Sphere(R, incisal_point_mm[0] + float(x), incisal_point_mm[2] + float(z) - R)


@dataclass(frozen=True)
class Spot:
    """A place along an arch and the direction to mesial there, in x and y."""

    x_mm: float
    y_mm: float
    mesial: tuple[float, float]

    def inward(self, distance_mm: float, *, left: bool) -> tuple[float, float]:
        """A place that far to lingual of it."""
        mx, my = self.mesial
        bx, by = (-my, mx) if left else (my, -mx)
        return (self.x_mm - distance_mm * bx, self.y_mm - distance_mm * by)


def spots(
    member: Member,
    *,
    incisal_point_mm: Point,
    widths_mm: Mapping[str, float] | None = None,
    tilt_deg: float = 0.0,
) -> dict[str, Spot]:
    """Where the buccal tips or incisal edges of an arch stand, in the middle of each width.

    Parameters
    ----------
    member : {"upper", "lower"}
        The arch to lay out.
    incisal_point_mm : tuple of float
        Front of the lower line.
    widths_mm : mapping of str to float, optional
        Mesiodistal widths that replace the textbook's, of both arches: the lower ones say how
        large the lines are.
    tilt_deg : float
        How much the plane that the lines lie in falls forward.

    Returns
    -------
    dict of str to Spot
        All sixteen teeth.
    """
    given = widths_mm or {}
    x0, y0, _z0 = incisal_point_mm
    flat = math.cos(math.radians(tilt_deg))
    found = {}
    for side, outward in ((0, -1.0), (1, 1.0)):
        lower = [f"{QUADRANTS['lower'][side]}{n}" for n in range(1, 9)]
        own = [f"{QUADRANTS[member][side]}{n}" for n in range(1, 9)]
        quarter = sum(given.get(t, crown(t).mesiodistal_mm) for t in lower)
        widths = np.array([given.get(t, crown(t).mesiodistal_mm) for t in own])
        middles = np.cumsum(widths) - widths / 2.0
        upper = member == "upper"
        back, out, along = _line(quarter, CONTACTS_MM if upper else 0.0, middles)
        if upper:
            back = back - (OVERJET_MM - CONTACTS_MM) * along[:, 1]
            out = out + (OVERJET_MM - CONTACTS_MM) * along[:, 0]
        for tooth, b, o, (back_along, out_along) in zip(own, back, out, along, strict=True):
            mx, my = flat * float(back_along), -outward * float(out_along)
            length = math.hypot(mx, my)
            found[tooth] = Spot(
                x_mm=x0 - flat * float(b),
                y_mm=y0 + outward * float(o),
                mesial=(mx / length, my / length),
            )
    return found


def laid_out(
    teeth: Sequence[CalliperTooth],
    *,
    places: Mapping[str, Spot],
    sphere: Sphere,
    tilt_deg: float = 0.0,
) -> tuple[ToothForm, ...]:
    """Teeth of one arch in their places, before any settles.

    Parameters
    ----------
    teeth : sequence of CalliperTooth
        The teeth that there are.
    places : mapping of str to Spot
        As ``spots`` lays them out.
    sphere : Sphere
        Lower tips stand on it, those of upper back teeth ``INTERLOCK_MM`` below it, and upper
        front edges where their facets meet lower ones. Back teeth stand along its radius.
    tilt_deg : float
        Front teeth stand across the plane that falls forward by this.

    Raises
    ------
    ImpossibleGeometry
        A tooth lies beside the sphere, or leans so far that an incline overhangs.
    """
    return tuple(_form(tooth, places[tooth.tooth], sphere, tilt_deg) for tooth in teeth)


def _form(tooth: CalliperTooth, spot: Spot, sphere: Sphere, tilt_deg: float) -> ToothForm:
    measures = measures_of(tooth)
    left = side_of(tooth.tooth) == "left"
    given = tooth.centre_mm
    x, y = given[:2] if given is not None else spot.inward(measures.line_v_mm, left=left)
    if is_anterior(tooth.tooth):
        axis = about_y(math.radians(tilt_deg)) @ np.array([0.0, 0.0, 1.0])
    else:
        axis = sphere.axis(x, y)
    axis = _leaning(axis, spot.mesial, measures.tilt_deg)
    form = ToothForm(
        tooth=tooth.tooth,
        member=tooth.member,
        material=tooth.material,
        centre_mm=(x, y),
        mesial=spot.mesial,
        axis=(float(axis[0]), float(axis[1]), float(axis[2])),
        md_mm=measures.md_mm,
        bl_mm=measures.bl_mm,
        rim_v_mm=measures.rim_v_mm,
        cusps=measures.cusps,
    )
    lift = measures.tip_height_mm
    if given is not None and len(given) == 3:
        # With a height of its own, the tooth keeps the form that the curve would give it.
        lift += given[2] - sphere.height(x, y)
    elif tooth.member == "upper":
        lift -= _overbite(form, sphere) if is_anterior(tooth.tooth) else INTERLOCK_MM
    tilt = math.tan(math.radians(measures.tilt_deg))
    return replace(
        form,
        cusps=tuple(
            replace(
                cusp,
                tip_z_mm=sphere.height(tip[0], tip[1]) + cusp.tip_z_mm - tilt * cusp.u_mm + lift,
            )
            for cusp, tip in zip(form.cusps, form.tips_mm.tolist(), strict=True)
        ),
    )


def _overbite(form: ToothForm, sphere: Sphere) -> float:
    """How far under the curve an upper edge stands whose facet meets the lower edge behind it."""
    (edge,) = form.cusps
    (x, y), (bx, by) = form.centre_mm, form.buccal
    behind = sphere.height(x - OVERJET_MM * bx, y - OVERJET_MM * by)
    facet = math.tan(math.radians(edge.inner_deg))
    fall = facet * (math.hypot(OVERJET_MM, edge.roundness_mm) - edge.roundness_mm)
    return fall - EDGE_ROOM_MM + sphere.height(x, y) - behind


def _leaning(axis: Array, mesial: tuple[float, float], tilt_deg: float) -> Array:
    """The axis leant to mesial by an angle, which lifts the distal end of the tooth."""
    if tilt_deg == 0.0:
        return axis
    forward = np.array([*mesial, 0.0])
    forward -= (forward @ axis) * axis
    forward /= np.linalg.norm(forward)
    tilt = math.radians(tilt_deg)
    return np.asarray(math.cos(tilt) * axis + math.sin(tilt) * forward)


def _line(quarter_mm: float, outside_mm: float, middles_mm: Array) -> tuple[Array, Array, Array]:
    """Places that far along a line around a quarter of the lower ellipse, back and out.

    The third result is the direction along the line, away from the midline, back and out.
    """
    shape = HALF_WIDTH_TO_DEPTH["lower"]
    angle = np.linspace(0.0, math.pi / 2.0, 4001)
    steps = np.hypot(np.diff(np.cos(angle)), shape * np.diff(np.sin(angle)))
    depth = quarter_mm / float(steps.sum())
    along = np.column_stack([np.sin(angle), shape * np.cos(angle)])
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    back = depth * (1.0 - np.cos(angle)) - outside_mm * along[:, 1]
    out = shape * depth * np.sin(angle) + outside_mm * along[:, 0]
    back, out = np.append(back, back[-1] + BEYOND_MM), np.append(out, out[-1])
    along = np.vstack([along, along[-1]])
    walked = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(back), np.diff(out)))])
    direction = np.column_stack([np.interp(middles_mm, walked, along[:, k]) for k in (0, 1)])
    return np.interp(middles_mm, walked, back), np.interp(middles_mm, walked, out), direction
