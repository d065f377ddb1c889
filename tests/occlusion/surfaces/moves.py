"""Positions of the lower member for tests of surfaces."""

import numpy as np

from occlusion import motion
from tests.occlusion.bench import excursion_of, settings_of, symmetric
from tests.occlusion.second_opinion import Move

#: One set of settings whose sides and angles all matter.
BENCH = symmetric(30.0, 10.0, bennett=15.0, wing=20.0)


def along(kind, *, bench=BENCH, travel=3.0, steps=6, blend=0.0):
    """Transforms from maximum intercuspation to the end of an excursion."""
    move = Move(kind, travel, blend=blend)
    return motion.lower_positions(
        settings=settings_of(bench), excursion=excursion_of(move), steps=steps
    ).transforms


def end(kind, **rest):
    """The last of them."""
    return along(kind, **rest)[-1]


def shifted(x=0.0, y=0.0, z=0.0):
    """A shift alone."""
    matrix = np.eye(4)
    matrix[:3, 3] = x, y, z
    return matrix


def turned(axis, angle_deg, about=(0.0, 0.0, 0.0)):
    """A turn about a line along x, y or z through a point."""
    first, second = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[axis]
    cos, sin = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    matrix = np.eye(4)
    matrix[first, first] = matrix[second, second] = cos
    matrix[first, second], matrix[second, first] = -sin, sin
    return shifted(*about) @ matrix @ shifted(*(-np.asarray(about)))
