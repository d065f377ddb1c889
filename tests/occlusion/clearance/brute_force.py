"""Second opinion on a check: the least vertical gap of a tooth by plain search.

Given nothing but heights of both arches as functions of x and y, nan where there is nothing, and
a rotation and shift of the lower member. No grid of the other arch, no regions, no cells; imports
nothing of the engine.
"""

import numpy as np

COARSE = 0.2
FINEST = 1e-3
KEPT = 8
RIM = 0.1


def gaps(upper, lower, x, y, rotation, shift):
    """From upper places down to the moved lower arch, along the lower member's own vertical."""
    points = np.column_stack([x, y, upper(x, y)])
    seen = (points - shift) @ rotation
    gap = seen[:, 2] - lower(seen[:, 0], seen[:, 1])
    return np.where(np.isnan(gap), np.inf, gap)


def least_gap(upper, lower, box, rotation, shift):
    """The least gap over a box (x low, x high, y low, y high), infinite over nothing; and
    whether both surfaces go on for a tenth of a millimetre around it."""
    x, y = np.meshgrid(np.arange(box[0], box[1], COARSE), np.arange(box[2], box[3], COARSE))
    x, y = x.ravel(), y.ravel()
    found = gaps(upper, lower, x, y, rotation, shift)
    best = np.argsort(found)[:KEPT]
    x, y, step = x[best], y[best], COARSE / 2
    side = np.arange(-2, 3)
    dx, dy = (one.ravel() for one in np.meshgrid(side, side))
    while step > FINEST:
        around_x, around_y = x[:, None] + step * dx, y[:, None] + step * dy
        found = gaps(upper, lower, around_x.ravel(), around_y.ravel(), rotation, shift)
        found = found.reshape(len(x), -1)
        rows, least = np.arange(len(x)), found.argmin(axis=1)
        x, y, step = around_x[rows, least], around_y[rows, least], step / 2
    first = int(found.min(axis=1).argmin())
    rim_x, rim_y = x[first] + RIM * np.sign(dx), y[first] + RIM * np.sign(dy)
    inner = np.isfinite(gaps(upper, lower, rim_x, rim_y, rotation, shift)).all()
    return float(found.min()), bool(inner)
