"""Check records written by the second opinion: where its rigid body puts the landmarks.

Nothing here asks the engine for a movement.
"""

import math

import numpy as np
from scipy.spatial.transform import Rotation

from tests.occlusion.second_opinion import Bench, Move, solve

#: Incisal point and both second molars of the test geometry.
LANDMARKS = ((80.0, 0.0, -32.0), (35.0, -28.0, -32.0), (35.0, 28.0, -32.0))

#: The articulator of the worked example: unlike sides, a table of 10 deg without wings.
EXAMPLE = Bench(
    inclination_right=35.0,
    inclination_left=28.0,
    bennett_right=8.0,
    bennett_left=14.0,
    table=10.0,
)
KINDS = ("protrusive", "right", "left")


def written(bench, travels=(5.0, 4.0, 4.0), landmarks=LANDMARKS):
    """The three records of an articulator, at a forward travel each."""
    return {
        kind: recorded(bench, kind, travel, landmarks)
        for kind, travel in zip(KINDS, travels, strict=True)
    }


def recorded(bench, kind, travel, landmarks=LANDMARKS):
    """Where one position has the landmarks."""
    body = solve(bench, Move(kind, travel))
    return [tuple(np.asarray(point) + body.moves(point)) for point in landmarks]


def carried_by_rotations(landmarks, moved, y):
    """Movement of the condyle at y, by the best fit of another library."""
    landmarks, moved = np.asarray(landmarks), np.asarray(moved)
    middle, there = landmarks.mean(axis=0), moved.mean(axis=0)
    turn, _ = Rotation.align_vectors(moved - there, landmarks - middle)
    condyle = np.array([0.0, y, 0.0])
    return there + turn.apply(condyle - middle) - condyle


def slope_deg(forward, other):
    return math.degrees(math.atan2(other, forward))
