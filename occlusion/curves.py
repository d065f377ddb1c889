"""Textbook formulas in the sagittal plane: triangle, Christensen angle, curves.

In this module the reference plane is the occlusal plane through the incisal point.
``height_mm`` is the perpendicular a from the incisal point to the hinge axis, the
``balkwill_deg`` angle phi is between it and the occlusal plane.
"""

from __future__ import annotations

import math

from occlusion.errors import ImpossibleGeometry, NoSolution
from occlusion.ranges import number

BONWILL_SIDE_MM = 101.6
"""Four inches, the classic side of the triangle (source: christensen_1959)."""

SPHERE_RADIUS_MM = 101.6
"""Four inches, the classic radius of the occlusal sphere (source: sphere)."""


def lateral_inclination_estimate_deg(*, condylar_inclination_deg: float) -> float:
    """The H/8 + 12 estimate of the lateral condylar angle; never a measurement.

    Source: lateral_estimate. Measured means lie well below it (ghodsi_2018: 10.1 deg where the
    estimate says 17.2).
    """
    return _number(condylar_inclination_deg, "condylar_inclination_deg") / 8.0 + 12.0


def bonwill_height_mm(*, side_mm: float = BONWILL_SIDE_MM) -> float:
    """Height of the equilateral triangle from the condyles to the incisal point."""
    return _positive(side_mm, "side_mm") * math.sqrt(3.0) / 2.0


def axis_position_mm(*, height_mm: float, balkwill_deg: float) -> tuple[float, float]:
    """How far the incisal point lies in front of the axis, and the axis above its plane.

    Source of the angle's usual size, 18 to 26 deg: christensen_1960.

    Parameters
    ----------
    height_mm : float
        Perpendicular from the incisal point to the hinge axis.
    balkwill_deg : float
        Angle between it and the occlusal plane.

    Returns
    -------
    tuple of float
        Forward a cos(phi) and height a sin(phi), in mm.
    """
    a, phi = _positive(height_mm, "height_mm"), _radians(balkwill_deg, "balkwill_deg")
    return a * math.cos(phi), a * math.sin(phi)


def christensen_angle_deg(
    *,
    condylar_inclination_deg: float,
    advance_mm: float,
    height_mm: float,
    balkwill_deg: float,
    incisal_table_deg: float = 0.0,
) -> float:
    """Angle that opens between two flat rims in protrusion; negative: they close behind.

    sin(beta - phi + gamma) = sin(beta - phi) + (p / a) sin(beta - iota) / cos(iota),
    exact. With a flat table this is the published formula (christensen_1958).

    Parameters
    ----------
    condylar_inclination_deg, incisal_table_deg : float
        Against the occlusal plane.
    advance_mm : float
        Horizontal advance p of the incisal point.
    height_mm, balkwill_deg : float
        The triangle.

    Raises
    ------
    NoSolution
        The incisal point cannot advance that far on these slopes.
    """
    beta = _radians(condylar_inclination_deg, "condylar_inclination_deg")
    iota = _radians(incisal_table_deg, "incisal_table_deg")
    phi = _radians(balkwill_deg, "balkwill_deg")
    a, p = _positive(height_mm, "height_mm"), _number(advance_mm, "advance_mm")
    target = math.sin(beta - phi) + p / a * math.sin(beta - iota) / math.cos(iota)
    return math.degrees(_arcsin(target, "advance_mm") - (beta - phi))


def christensen_distance_mm(
    *,
    angle_deg: float,
    behind_mm: float,
    advance_mm: float = 0.0,
    incisal_table_deg: float = 0.0,
) -> float:
    """Drop of the lower rim ``behind_mm`` behind the incisal point: p tan(iota) + d sin(gamma).

    With a flat table this is the separation of the rims (christensen_1958).
    """
    table = math.tan(_radians(incisal_table_deg, "incisal_table_deg"))
    opened = math.sin(_radians(angle_deg, "angle_deg"))
    return _number(advance_mm, "advance_mm") * table + _number(behind_mm, "behind_mm") * opened


def inclination_from_record_deg(*, drop_mm: float, advance_mm: float) -> float:
    """Condylar inclination from drop and advance of the condyle in a protrusive record."""
    advance = _positive(advance_mm, "advance_mm")
    return math.degrees(math.atan(_number(drop_mm, "drop_mm") / advance))


def inclination_from_rims_deg(
    *,
    separation_mm: float,
    behind_mm: float,
    advance_mm: float,
    height_mm: float,
    balkwill_deg: float,
) -> float:
    """Condylar inclination from the gap of flat rims, flat table: the inverse of Christensen.

    Parameters
    ----------
    separation_mm : float
        Gap between the rims.
    behind_mm : float
        Where it was read, behind the incisal point along the rim.
    advance_mm : float
        Horizontal advance of the incisal point. Under 3 mm the answer is worth little:
        0.1 mm of reading is then more than 4 deg.
    height_mm, balkwill_deg : float
        The triangle.

    Raises
    ------
    NoSolution
        The gap is larger than the distance at which it was read.
    """
    ratio = _number(separation_mm, "separation_mm") / _positive(behind_mm, "behind_mm")
    gamma = _arcsin(ratio, "separation_mm")
    phi, a = _radians(balkwill_deg, "balkwill_deg"), _positive(height_mm, "height_mm")
    p = _positive(advance_mm, "advance_mm")
    drop = a * (math.sin(phi) - math.sin(phi - gamma))
    advance = p + a * math.cos(phi) - a * math.cos(phi - gamma)
    return math.degrees(math.atan2(drop, advance))


def path_angle_exact_deg(
    *,
    condylar_inclination_deg: float,
    incisal_table_deg: float,
    behind_mm: float,
    height_mm: float,
    balkwill_deg: float,
) -> float:
    """Angle at which a tooth starts its protrusive path, on the occlusal plane. Exact.

    tan(path) = tan(iota) + d sin(beta - iota) / (a cos(iota) cos(beta - phi)), where d is
    the distance behind the incisal point.
    """
    beta = _radians(condylar_inclination_deg, "condylar_inclination_deg")
    iota = _radians(incisal_table_deg, "incisal_table_deg")
    phi = _radians(balkwill_deg, "balkwill_deg")
    a, d = _positive(height_mm, "height_mm"), _number(behind_mm, "behind_mm")
    below = a * math.cos(iota) * math.cos(beta - phi)
    if abs(below) < 1e-9:
        raise NoSolution(
            "The condylar path runs along the triangle's height, so no tooth has a path. Check "
            "condylar inclination and Balkwill angle.",
            field="balkwill_deg",
            value=balkwill_deg,
        )
    return math.degrees(math.atan(math.tan(iota) + d * math.sin(beta - iota) / below))


def path_angle_linear_deg(
    *,
    condylar_inclination_deg: float,
    incisal_table_deg: float,
    behind_mm: float,
    height_mm: float,
    balkwill_deg: float,
) -> float:
    """The textbook estimate of the same angle: in a straight line between the two ends.

    The tooth's share of the condylar end is d / (a cos(phi)) (source: swenson). It reads
    up to 1.75 deg too steep in the usual range; advise with the exact form.
    """
    forward, _ = axis_position_mm(height_mm=height_mm, balkwill_deg=balkwill_deg)
    share = _number(behind_mm, "behind_mm") / forward
    table = _number(incisal_table_deg, "incisal_table_deg")
    return table + share * (_number(condylar_inclination_deg, "condylar_inclination_deg") - table)


def sagitta_mm(*, chord_mm: float, radius_mm: float = SPHERE_RADIUS_MM) -> float:
    """Depth of the curve of radius R over a chord c: R - sqrt(R^2 - c^2 / 4)."""
    R, c = _positive(radius_mm, "radius_mm"), _number(chord_mm, "chord_mm")
    if abs(c) > 2.0 * R:
        raise ImpossibleGeometry(
            f"A chord of {c:g} mm does not fit a radius of {R:g} mm. Check both.",
            field="chord_mm",
            value=c,
            limit=2.0 * R,
        )
    return R - math.sqrt(R * R - c * c / 4.0)


def curve_slope_deg(*, distance_mm: float, radius_mm: float = SPHERE_RADIUS_MM) -> float:
    """Slope of the curve at a distance from its lowest point: asin(s / R)."""
    ratio = _number(distance_mm, "distance_mm") / _positive(radius_mm, "radius_mm")
    return math.degrees(_arcsin(ratio, "distance_mm"))


def _number(value: float, field: str) -> float:
    return number(value, field=field)


def _radians(value: float, field: str) -> float:
    return math.radians(_number(value, field))


def _positive(value: float, field: str) -> float:
    result = _number(value, field)
    if result <= 0:
        raise ImpossibleGeometry(
            f"{field} is {result:g}. Enter a value above 0.", field=field, value=result
        )
    return result


def _arcsin(value: float, field: str) -> float:
    if abs(value) > 1.0:
        raise NoSolution(
            f"These values have no solution: a sine of {value:.3f} would be needed. "
            f"Check {field.replace('_', ' ')}.",
            field=field,
            value=value,
            limit=1.0,
        )
    return math.asin(value)
