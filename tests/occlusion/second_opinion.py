"""Second opinion on the movement of the lower member: constraints only, no closed form.

Six unknowns, a Cayley-Rodrigues vector and a shift, and six conditions: both condyles on
their superior walls, the leading one on its medial wall, how far it has travelled, where
the trailing one stays, and the guided point on the table. Newton's method with exact
derivatives from a complex step, followed from the closed position in small strides, so
that the root is the one that can be reached from there.

This file imports nothing of the engine, shares no formula with it, and keeps its own
names for the settings. Axes: x forward, y to the patient's left, z up, origin midway
between the condyles; millimetres and degrees.
"""

import math
from dataclasses import dataclass

import numpy as np

STRIDES = 3
ROUNDS = 40
FARTHEST_TURN = 1.0  # a Cayley-Rodrigues vector of this length is a quarter turn
CLOSE_ENOUGH = 1e-13
STEP = 1e-30


@dataclass(frozen=True)
class Bench:
    """An articulator as set on the bench. Sides are condyles, wings are excursions."""

    intercondylar: float = 110.0
    inclination_right: float = 0.0
    inclination_left: float = 0.0
    bennett_right: float = 0.0
    bennett_left: float = 0.0
    shift_right: float = 0.0
    shift_left: float = 0.0
    table: float = 0.0
    wing_right: float = 0.0
    wing_left: float = 0.0
    table_on: str = "upper"
    pin: tuple = (80.0, 0.0, -32.0)
    opening: float = 0.0
    tilt: float = 0.0  # the reference plane falls forward by this


@dataclass(frozen=True)
class Move:
    """One position. ``kind`` is protrusive, right or left, ``along`` horizontal or path."""

    kind: str
    travel: float
    along: str = "horizontal"
    blend: float = 0.0
    shift_done: float = 1.0


@dataclass(frozen=True)
class Found:
    """A position of the lower member that meets all six conditions."""

    rotation: np.ndarray
    shift: np.ndarray

    def moves(self, point):
        """Movement of a lower point."""
        return self.rotation @ np.asarray(point, float) + self.shift - point

    def seen_from_lower(self, point):
        """Movement of an upper point seen from the lower member."""
        return self.rotation.T @ (np.asarray(point, float) - self.shift) - point

    @property
    def hinge(self):
        """Turn about the condylar line, in degrees, when yaw comes last and roll before it."""
        return math.degrees(math.atan2(-self.rotation[2, 0], self.rotation[2, 2]))


class NotFound(Exception):
    """No position meets the conditions, or Newton's method did not settle."""


def solve(bench, move):
    """The position of the lower member at the end of a move."""
    fits = []
    for toward in (-1.0, 1.0):  # the wing to the right and the one to the left
        try:
            state = _follow(bench, move, toward)
        except NotFound:
            continue
        if toward * _sideways(bench, state) >= -1e-11:
            fits.append(state)
    if not fits:
        raise NotFound(f"No position for {move} on {bench}.")
    first, last = fits[0], fits[-1]
    if np.abs(first - last).max() > 1e-9:
        raise NotFound(f"Two positions for {move} on {bench}.")
    return Found(*_body(first))


def _follow(bench, move, toward):
    """Newton's method along a growing share of travel, side shift and opening."""
    state = np.zeros(6)
    for stride in range(1, STRIDES + 1):
        share = stride / STRIDES
        # A path length says nothing about its direction at its very start: begin forward.
        state[3] = max(state[3], 0.5 * share * move.travel)
        state = _newton(state, _Conditions(bench, move, toward, share))
    return state


def _newton(state, conditions):
    for _ in range(ROUNDS):
        left = conditions(state.astype(complex))
        slopes = np.empty((6, 6))
        for index in range(6):
            nudged = state.astype(complex)
            nudged[index] += 1j * STEP
            slopes[:, index] = conditions(nudged).imag / STEP
        try:
            step = np.linalg.solve(slopes, left.real)
        except np.linalg.LinAlgError as error:
            raise NotFound("The conditions do not settle the position.") from error
        state = state - step
        if np.abs(state[:3]).max() > FARTHEST_TURN:
            break
        if np.abs(step).max() < CLOSE_ENOUGH * (1.0 + np.abs(state).max()):
            return state
    raise NotFound("Newton's method did not settle.")


class _Conditions:
    """The six conditions of a share of a move, each zero when it is met."""

    def __init__(self, bench, move, toward, share):
        self.bench, self.toward = bench, toward
        leads_left = move.kind != "left"
        self.side = 1.0 if leads_left else -1.0
        self.blend = 1.0 if move.kind == "protrusive" else move.blend
        half = bench.intercondylar / 2.0
        left, right = np.array([0.0, half, 0.0]), np.array([0.0, -half, 0.0])
        self.half = half
        self.lead, self.trail = (left, right) if leads_left else (right, left)
        tilt = math.radians(bench.tilt)
        self.along_plane = np.array([math.cos(tilt), 0.0, -math.sin(tilt)])
        self.off_plane = np.array([math.sin(tilt), 0.0, math.cos(tilt)])
        paths = [
            (bench.inclination_right, bench.bennett_right, bench.shift_right),
            (bench.inclination_left, bench.bennett_left, bench.shift_left),
        ]
        inclination, bennett, shift = paths[leads_left]
        other = paths[not leads_left][0]
        self.lead_wall, self.trail_wall = self._wall(inclination), self._wall(other)
        self.medial_slope = _tan(bennett)
        self.shift = shift * share * move.shift_done
        self.travel, self.along = move.travel * share, move.along
        # In protrusion the condyle with the longer way goes the travel, up or down.
        longer = abs(other + bench.tilt) > abs(inclination + bench.tilt)
        self.measured_by_trail = self.blend == 1.0 and longer
        self.opened = _opened(bench.pin, bench.opening * share)

    def _wall(self, inclination):
        """Normal of the superior wall of a condylar path."""
        return self.off_plane + _tan(inclination) * self.along_plane

    def __call__(self, state):
        rotation, shift = _body(state)
        lead, trail = rotation @ self.lead + shift, rotation @ self.trail + shift
        half = self.blend / 2.0
        across = self.side * ((1.0 - half) * lead[1] + half * trail[1])
        medial = self.half - self.shift - self.medial_slope * (self.along_plane @ lead)
        return np.array(
            [
                self.lead_wall @ lead,
                self.trail_wall @ trail,
                trail[0] - self.blend * lead[0],
                across - (1.0 - self.blend) * medial,
                self._travelled(trail if self.measured_by_trail else lead),
                _off_table(self.bench, rotation, shift, self.opened, self.toward),
            ]
        )

    def _travelled(self, condyle):
        if self.along == "horizontal" or self.travel == 0.0:
            return condyle[0] - self.travel
        sideways = (1.0 - self.blend) * self.medial_slope * (self.along_plane @ condyle)
        return condyle[0] ** 2 + condyle[2] ** 2 + sideways**2 - self.travel**2


def _body(state):
    """Rotation by the Cayley-Rodrigues formula, and shift."""
    vector, shift = state[:3], state[3:]
    a, b, c = vector
    skew = np.array([[0.0 * a, -c, b], [c, 0.0 * a, -a], [-b, a, 0.0 * a]])
    size = vector @ vector
    turned = (1.0 - size) * np.eye(3) + 2.0 * np.outer(vector, vector) + 2.0 * skew
    return turned / (1.0 + size), shift


def _opened(pin, opening):
    """Where the pin point stands once it is ``opening`` lower, as far from the axis as before."""
    x, y, z = pin
    forward = x * x + z * z - (z - opening) ** 2
    if forward <= 0.0:
        raise NotFound("The pin does not open that far.")
    return np.array([math.sqrt(forward), y, z - opening])


def _slid(bench, rotation, shift, opened):
    """How far the pin point has slid on the table, seen from the member that carries it."""
    pin = np.array(bench.pin)
    if bench.table_on == "upper":
        return rotation @ pin + shift - opened
    return pin - rotation.T @ (opened - shift)


def _off_table(bench, rotation, shift, opened, toward):
    """Distance from the plane of the table and of the wing on the side ``toward``."""
    tilt = math.radians(bench.tilt)
    wing = bench.wing_left if toward > 0 else bench.wing_right
    x, y, z = _slid(bench, rotation, shift, opened)
    along = math.cos(tilt) * x - math.sin(tilt) * z
    above = math.sin(tilt) * x + math.cos(tilt) * z
    return above + _tan(bench.table) * along + toward * _tan(wing) * y


def _sideways(bench, state):
    rotation, shift = _body(state)
    return _slid(bench, rotation, shift, _opened(bench.pin, bench.opening))[1]


def _tan(degrees):
    return math.tan(math.radians(degrees))
