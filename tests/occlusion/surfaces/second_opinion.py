"""Second opinion on surfaces: rays and nearest points against every triangle, one by one.

The mesh of the moving member is really moved, and nothing is a grid. Slow and plain; imports
nothing of the engine.
"""

import numpy as np

NOTHING = np.inf


def moved(soup, transform):
    """The triangles where a rigid movement takes them."""
    matrix = np.asarray(transform, float)
    return np.asarray(soup, float) @ matrix[:3, :3].T + matrix[:3, 3]


def way_along(soup, start, direction):
    """Signed ways from a point to every triangle that the line through it meets, shortest first.

    The line meets a triangle if it passes all three edges on the same side.
    """
    start, direction = np.asarray(start, float), np.asarray(direction, float)
    corners = np.asarray(soup, float) - start
    volumes = np.stack(
        [
            np.linalg.det(
                np.stack([corners[:, k], corners[:, (k + 1) % 3], 0 * corners[:, 0] + direction], 1)
            )
            for k in range(3)
        ],
        axis=1,
    )
    total = volumes.sum(axis=1)
    met = ((volumes >= 0).all(axis=1) | (volumes <= 0).all(axis=1)) & (np.abs(total) > 1e-12)
    if not met.any():
        return np.array([])
    share = volumes[met] / total[met, None]
    # The volume over an edge belongs to the corner opposite to it.
    points = sum(share[:, k, None] * corners[met, (k + 2) % 3] for k in range(3))
    return np.sort(points @ direction / (direction @ direction))


def gap(lower, upper_point, transform, vertical=(0.0, 0.0, 1.0)):
    """From an upper point down to the moved lower mesh, along a vertical of the lower member."""
    down = -np.asarray(transform, float)[:3, :3] @ np.asarray(vertical, float)
    ways = way_along(moved(lower, transform), upper_point, down)
    return ways[0] if len(ways) else NOTHING


def gap_from_below(upper, lower_point, transform):
    """From a moved lower point up to the upper mesh, along the upper member's vertical."""
    matrix = np.asarray(transform, float)
    point = matrix[:3, :3] @ np.asarray(lower_point, float) + matrix[:3, 3]
    ways = way_along(upper, point, (0.0, 0.0, 1.0))
    return ways[0] if len(ways) else NOTHING


def swept_height(lower, x, y, transforms):
    """The highest that the moved lower mesh gets on a vertical of the upper member."""
    tops = [way_along(moved(lower, one), (x, y, 0.0), (0.0, 0.0, 1.0)) for one in transforms]
    return max((ways[-1] for ways in tops if len(ways)), default=-NOTHING)


def nearest(soup, point):
    """Distance from a point to the nearest of the triangles: in the face, or on an edge."""
    corners = np.asarray(soup, float) - np.asarray(point, float)
    sides = np.roll(corners, -1, axis=1) - corners
    along = -(corners * sides).sum(axis=2) / (sides**2).sum(axis=2)
    feet = corners + np.clip(along, 0.0, 1.0)[..., None] * sides
    best = np.linalg.norm(feet, axis=2).min()
    normal = np.cross(sides[:, 0], sides[:, 1])
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    foot = (corners[:, 0] * normal).sum(axis=1)[:, None] * normal
    turns = np.cross(sides, foot[:, None] - corners)
    over = ((turns * normal[:, None]).sum(axis=2) >= 0.0).all(axis=1)
    return min(best, np.linalg.norm(foot[over], axis=1).min(initial=NOTHING))
