"""A second opinion on the surface of a tooth: each height is searched for on its own.

Imports nothing from the engine. A cusp is a plain dictionary with ``tip`` (x, y, z), ``outward``
(unit vector in x and y to its outer side), ``inner``, ``outer``, ``mesial``, ``distal`` in
degrees, ``rho`` and ``edge``. Along a vertical line the distance to the cusp's surface changes
its sign once; the place is halved in.
"""

import math

import numpy as np


def incline_deg(cusp, mesial, dx, dy):
    """The incline of a cusp in a direction from its tip."""
    to_mesial = dx * mesial[0] + dy * mesial[1]
    to_outer = dx * cusp["outward"][0] + dy * cusp["outward"][1]

    def share(b):
        return 0.5 * (1.0 + b / math.sqrt(b**2 + 0.25))

    across = cusp["inner"] + share(to_outer) * (cusp["outer"] - cusp["inner"])
    along = cusp["distal"] + share(to_mesial) * (cusp["mesial"] - cusp["distal"])
    bearing = math.atan2(to_outer, to_mesial)
    return along * math.cos(bearing) ** 2 + across * math.sin(bearing) ** 2


def height_of_cusp(cusp, mesial, axis, member, x, y):
    """Where a vertical line meets one cusp."""
    tip = np.array(cusp["tip"], dtype=float)
    axis = np.array(axis, dtype=float)
    side = 1.0 if member == "lower" else -1.0
    # The nearest point of the edge, as seen from above; the edge lies across the axis.
    on_edge = (x - tip[0]) * mesial[0] + (y - tip[1]) * mesial[1]
    on_edge = min(max(on_edge, -cusp["edge"]), cusp["edge"])
    edge = np.array([*mesial, -(mesial[0] * axis[0] + mesial[1] * axis[1]) / axis[2]])
    foot = tip + on_edge * edge
    theta = math.radians(incline_deg(cusp, mesial, x - foot[0], y - foot[1]))

    def past(z):
        r = np.array([x, y, z]) - foot
        along = side * (r @ axis)
        away = np.linalg.norm(np.cross(r, axis))
        return along + math.tan(theta) * (math.hypot(away, cusp["rho"]) - cusp["rho"])

    low, high = (foot[2] - side * 200.0), (foot[2] + side * 200.0)
    for _halving in range(80):
        middle = (low + high) / 2.0
        low, high = (middle, high) if past(middle) < 0.0 else (low, middle)
    return (low + high) / 2.0


def height(cusps, mesial, axis, member, x, y):
    """Highest of the cusps of a lower, lowest of those of an upper tooth."""
    each = [height_of_cusp(cusp, mesial, axis, member, x, y) for cusp in cusps]
    return max(each) if member == "lower" else min(each)


def least_gap(upper, lower, places):
    """Least difference of two functions of x and y over places; nan where either is missing."""
    gaps = upper(*places.T) - lower(*places.T)
    return np.nanmin(gaps) if np.isfinite(gaps).any() else math.inf
