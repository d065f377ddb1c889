"""Surfaces whose heights are known in closed form: as functions of x and y, and as triangles."""

import math

import numpy as np


def grid_of(height, bounds, spacing):
    """A function of x and y as a soup of triangles wound upward, shape (n, 3, 3)."""
    x_low, x_high, y_low, y_high = bounds
    xs = np.linspace(x_low, x_high, round((x_high - x_low) / spacing) + 1)
    ys = np.linspace(y_low, y_high, round((y_high - y_low) / spacing) + 1)
    x, y = np.meshgrid(xs, ys, indexing="ij")
    corners = np.stack([x, y, height(x, y)], axis=-1)
    a, b, c, d = corners[:-1, :-1], corners[1:, :-1], corners[1:, 1:], corners[:-1, 1:]
    soup = np.concatenate(
        [np.stack(three, axis=2).reshape(-1, 3, 3) for three in _halves(a, b, c, d)]
    )
    return soup[np.isfinite(soup).all(axis=(1, 2))].astype(np.float32)


def _halves(a, b, c, d):
    return (a, b, c), (a, c, d)


def sphere(centre, radius, *, rings=60):
    """A whole sphere of triangles wound outward."""
    polar, around = (
        np.linspace(0.0, math.pi, rings + 1),
        np.linspace(0.0, 2 * math.pi, 2 * rings + 1),
    )
    p, a = np.meshgrid(polar, around, indexing="ij")
    corners = np.stack([np.sin(p) * np.cos(a), np.sin(p) * np.sin(a), np.cos(p)], axis=-1)
    corners = np.asarray(centre) + radius * corners
    a, b, c, d = corners[:-1, :-1], corners[1:, :-1], corners[1:, 1:], corners[:-1, 1:]
    soup = np.concatenate(
        [np.stack(three, axis=2).reshape(-1, 3, 3) for three in _halves(a, b, c, d)]
    )
    size = np.linalg.norm(np.cross(soup[:, 1] - soup[:, 0], soup[:, 2] - soup[:, 0]), axis=1)
    return soup[size > 1e-12].astype(np.float32)


def cap(centre, radius):
    """Upper half of a sphere as a function; nan beside it."""
    x0, y0, z0 = centre

    def height(x, y):
        inside = radius**2 - (x - x0) ** 2 - (y - y0) ** 2
        return np.where(inside >= 0.0, z0 + np.sqrt(np.maximum(inside, 0.0)), np.nan)

    return height


def cone(tip, slope_deg):
    """A cone that falls away from its tip at one slope."""
    x0, y0, z0 = tip
    slope = math.tan(math.radians(slope_deg))
    return lambda x, y: z0 - slope * np.hypot(x - x0, y - y0)


def plane(point, along_x, along_y):
    """A plane through a point that rises so much along x and along y."""
    x0, y0, z0 = point
    return lambda x, y: z0 + along_x * (x - x0) + along_y * (y - y0)


def ridge(x0, z0, *, radius, front_deg, back_deg):
    """A ridge along y: a round edge between two flanks that fall away at their slopes."""
    front, back = math.radians(front_deg), math.radians(back_deg)

    def height(x, y):
        d = x - x0
        ahead, behind = radius * math.sin(front), -radius * math.sin(back)
        edge = z0 - radius + np.sqrt(np.maximum(radius**2 - np.clip(d, behind, ahead) ** 2, 0.0))
        fall = np.maximum(d - ahead, 0.0) * math.tan(front)
        fall += np.maximum(behind - d, 0.0) * math.tan(back)
        return edge - fall + 0.0 * y

    return height


def cusps(tips, slope_deg, *, rounded=0.5):
    """The highest of several cusps, each a cone with a round tip."""
    slope = math.tan(math.radians(slope_deg))

    def height(x, y):
        each = [
            z - slope * (np.sqrt((x - x0) ** 2 + (y - y0) ** 2 + rounded**2) - rounded)
            for x0, y0, z in tips
        ]
        return np.max(each, axis=0)

    return height


def two_arches(seed, *, teeth=3):
    """Cusps of a lower and an upper side that nearly meet: two functions and their bounds."""
    draw = np.random.default_rng(seed)
    places = [(38.0 + 9.0 * n + draw.uniform(-0.5, 0.5), -26.0 + 2.0 * n) for n in range(teeth)]
    lower = [
        (x + dx, y + dy, -32.0 + draw.uniform(-0.15, 0.15))
        for x, y in places
        for dx in (-2.0, 2.0)
        for dy in (-2.6, 2.6)
    ]
    upper = [
        (x + dx, y + dy, 32.0 + 1.0 - draw.uniform(0.0, 0.3))
        for x, y in places
        for dx in (0.0, 4.0)
        for dy in (0.0, 5.0)
    ]
    below, above = cusps(lower, 24.0), cusps(upper, 20.0)
    bounds = (32.0, 32.0 + 9.0 * teeth + 4.0, -32.0, -15.0)
    return below, (lambda x, y: -above(x, y)), bounds
