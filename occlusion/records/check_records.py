"""Condylar inclination and Bennett angle from check records.

A record holds the lower cast in a protrusive or lateral position. The rigid movement of
its points carries the condyles along their paths: down and forward in protrusion, which
tells the inclination; inward as well where the condyle is the balancing one, which tells
its Bennett angle. Angles are those of the straight path from closed to recorded position.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from occlusion.errors import BadRequest, ImpossibleGeometry, kind_of
from occlusion.frames import Array
from occlusion.ranges import EngineWarning, check_hard, check_point
from occlusion.records import _judged as judged
from occlusion.records._judged import KINDS, LEADER, SIDES, Reading
from occlusion.records.fit import LEAST_SPREAD_MM, Carried, carried_condyles, spread_mm
from occlusion.requests import take

BySide = dict[str, float | None]


@dataclass(frozen=True)
class CheckRecords:
    """Settings read off check records.

    Attributes
    ----------
    condylar_inclination_deg, bennett_deg : dict of str to float or None
        By condyle, ``"right"`` and ``"left"``; None where no record tells.
    immediate_side_shift_mm : dict of str to float or None
        None where it was not told apart from the Bennett angle, that is, taken as 0.
    inclination_from_lateral_deg : dict of str to float or None
        The same inclination, read off the lateral record in which the condyle leads.
    sd_deg : dict of str to dict of str to float or None
        Standard deviation of both angles from the reading error alone.
    side_shift_sd_mm : dict of str to float or None
        Standard deviation of the side shift.
    travel_mm : dict of str to float or None
        Forward advance of the condyle in each record: of the leading one, in protrusion of
        the one that went less far, and of the longest record where there are several.
    misfit_mm : dict of str to float or None
        How far the points of a record are from having moved as one body.
    assumptions, warnings
        What the answer rests on, and what looks wrong.
    """

    condylar_inclination_deg: BySide
    bennett_deg: BySide
    immediate_side_shift_mm: BySide
    inclination_from_lateral_deg: BySide
    sd_deg: dict[str, BySide]
    side_shift_sd_mm: BySide
    travel_mm: BySide
    misfit_mm: BySide
    assumptions: tuple[str, ...]
    warnings: tuple[EngineWarning, ...]


def settings_from_check_records(
    *,
    intercondylar_mm: float,
    landmarks_mm: Any,
    records: Mapping[str, Any],
    reading_sd_mm: float = 0.1,
) -> CheckRecords:
    """Condylar inclination and Bennett angle that check records tell.

    Inclination comes from the protrusive record, atan(-dz / dx) of each condyle, or from the
    lateral record in which the condyle leads where there is no protrusive one. The Bennett
    angle comes from that lateral record, atan(inward / dx). Against the axis plane.

    Parameters
    ----------
    intercondylar_mm : float
        Distance between the condyles.
    landmarks_mm : array_like, shape (m, 3)
        Three lower points or more at closed maximum intercuspation, in articulator axes.
    records : mapping
        ``"protrusive"``, ``"right"`` and ``"left"``, any of them missing or None: the same
        points, moved, shape (m, 3); or several records of one kind with unlike travel, shape
        (k, m, 3). Two travels of a lateral record tell side shift and Bennett angle apart.
    reading_sd_mm : float
        Standard deviation of each coordinate of a moved point.

    Raises
    ------
    BadRequest
        No record, fewer than three points, another number of points than landmarks.
    ImpossibleGeometry
        The landmarks lie on one line.
    SidesLookSwapped
        A right record goes to the left, or its other condyle leads.
    RecordTooShort
        A condyle advances less than 3 mm, or two travels differ too little.
    RecordsDisagree
        The points did not move as one body, or no articulator can be set that way.
    NotANumber, OutOfRange

    Notes
    -----
    Source: geometry. The least length follows the sensitivity worked out there: a reading
    error of 0.1 mm is about 5 deg at 2 mm and 2 deg at 5 mm.
    """
    width = check_hard("intercondylar_mm", intercondylar_mm)
    error = check_hard("reading_sd_mm", reading_sd_mm)
    closed = _points(landmarks_mm, field="landmarks_mm", count=None)
    _check_spread(closed)
    read = {
        kind: [
            carried_condyles(intercondylar_mm=width, landmarks_mm=closed, moved_mm=moved)
            for moved in moved_sets
        ]
        for kind, moved_sets in _records(records, count=len(closed)).items()
    }
    judged.refuse_broken(read, reading_sd_mm=error, count=len(closed))
    protrusive = {side: _inclination(read["protrusive"], side, error) for side in SIDES}
    # A condyle leads in the excursion to the other side, which bears the other name.
    lateral = {side: _inclination(read[LEADER[side]], side, error) for side in SIDES}
    shifted = {side: _sideways(read[LEADER[side]], side, error) for side in SIDES}
    inclination = {side: protrusive[side] or lateral[side] for side in SIDES}
    bennett = {side: shifted[side][0] for side in SIDES}
    shift = {side: shifted[side][1] for side in SIDES}
    warnings = [
        *judged.unusual_records(read, reading_sd_mm=error),
        *judged.disagreements(protrusive, lateral),
        *judged.unusual_angles("condylar_inclination_deg", inclination),
        *judged.unusual_angles("bennett_deg", bennett),
        *judged.sides_apart(inclination),
        *judged.negative_shifts(shift),
    ]
    return CheckRecords(
        condylar_inclination_deg=_values(inclination),
        bennett_deg=_values(bennett),
        immediate_side_shift_mm=_values(shift),
        inclination_from_lateral_deg=_values(lateral),
        sd_deg={"condylar_inclination_deg": _sds(inclination), "bennett_deg": _sds(bennett)},
        side_shift_sd_mm=_sds(shift),
        travel_mm={kind: judged.travel_mm(kind, read[kind]) for kind in KINDS},
        misfit_mm={
            kind: max((one.misfit_mm for one in read[kind]), default=None) for kind in KINDS
        },
        assumptions=judged.assumptions(
            from_lateral=[s for s in SIDES if protrusive[s] is None and lateral[s] is not None],
            told_shift=[s for s in SIDES if shift[s] is not None],
            untold_shift=[s for s in SIDES if bennett[s] is not None and shift[s] is None],
            reading_sd_mm=error,
        ),
        warnings=tuple(warnings),
    )


def _inclination(read: Sequence[Carried], side: str, error_mm: float) -> Reading | None:
    """Angle of the line through the closed position nearest to where the condyle went."""
    if not read:
        return None
    moves, covariances = _moves(read, side)
    x, down = moves[:, 0], -moves[:, 2]
    slope = float(x @ down / (x @ x))
    across = np.array([-slope, 0.0, -1.0])  # how far a condyle is off that line
    return _angle(slope, x / (x @ x), across, covariances, error_mm)


def _sideways(
    read: Sequence[Carried], side: str, error_mm: float
) -> tuple[Reading | None, Reading | None]:
    """Bennett angle, and from two travels the immediate side shift before it."""
    if not read:
        return None, None
    inward = 1.0 if side == "right" else -1.0
    moves, covariances = _moves(read, side)
    x, y = moves[:, 0], inward * moves[:, 1]
    if len(read) == 1:
        slope = float(y[0] / x[0])
        across = np.array([-slope, inward, 0.0])
        return _angle(slope, 1.0 / x, across, covariances, error_mm), None
    centred = x - x.mean()
    weights = centred / (centred @ centred)
    slope = float(weights @ y)
    across = np.array([-slope, inward, 0.0])
    at_zero = 1.0 / len(x) - x.mean() * weights
    shift = Reading(float(at_zero @ y), error_mm * _spread(at_zero, across, covariances))
    return _angle(slope, weights, across, covariances, error_mm), shift


def _angle(
    slope: float, weights: Array, across: Array, covariances: Array, error_mm: float
) -> Reading:
    sd = _spread(weights, across, covariances) / (1.0 + slope * slope)
    return Reading(math.degrees(math.atan(slope)), error_mm * math.degrees(sd))


def _spread(weights: Array, across: Array, covariances: Array) -> float:
    """Standard deviation of a weighted sum of how far each record is off its line."""
    variances = np.einsum("i,kij,j->k", across, covariances, across)
    return math.sqrt(float(weights**2 @ variances))


def _moves(read: Sequence[Carried], side: str) -> tuple[Array, Array]:
    moves, covariances = zip(*(one.of(side) for one in read), strict=True)
    return np.array(moves), np.array(covariances)


def _records(records: object, *, count: int) -> dict[str, list[Array]]:
    """The moved points of each kind of record, none where it is missing."""
    given = dict(records) if isinstance(records, Mapping) else records
    told = take(given, field="records", keys=dict.fromkeys(KINDS))
    found: dict[str, list[Array]] = {}
    for kind, value in told.items():
        name = f"records.{kind}"
        if value is None:
            found[kind] = []
        elif _depth(value) < 3:
            found[kind] = [_points(value, field=name, count=count)]
        else:
            found[kind] = [
                _points(one, field=f"{name}.{index}", count=count)
                for index, one in enumerate(value)
            ]
    if not any(found.values()):
        raise BadRequest(
            "No check record is given. Give a protrusive, a right or a left record.",
            field="records",
            limit=list(KINDS),
        )
    return found


def _depth(value: object) -> int:
    """How deep lists are nested, by their first entries."""
    depth = 0
    while isinstance(value, Sequence | np.ndarray) and not isinstance(value, str) and len(value):
        depth, value = depth + 1, value[0]
    return depth


def _points(value: object, *, field: str, count: int | None) -> Array:
    """Points as an array (m, 3): as many as landmarks, or three at least."""
    given = value.tolist() if isinstance(value, np.ndarray) else value
    if isinstance(given, str | bytes) or not isinstance(given, Sequence):
        raise BadRequest(
            f"Key {field} is {kind_of(value)}, not a list of points. Send [[x, y, z], ...].",
            field=field,
        )
    if count is None and len(given) < 3:
        raise BadRequest(
            f"{len(given)} landmarks are given. Give three or more lower points that do not lie "
            "on one line, for example the incisal point and a molar of each side.",
            field=field,
            value=len(given),
            limit=3,
        )
    if count is not None and len(given) != count:
        raise BadRequest(
            f"Key {field} holds {len(given)} points, the closed cast {count}. Give the same "
            "points in the same order.",
            field=field,
            value=len(given),
            limit=count,
        )
    return np.array(
        [
            check_point(point, field=f"{field}.{index}", label=f"point {index + 1} of {field}")
            for index, point in enumerate(given)
        ]
    )


def _check_spread(closed: Array) -> None:
    apart = spread_mm(closed)
    if apart < LEAST_SPREAD_MM:
        raise ImpossibleGeometry(
            f"The landmarks lie within {apart:.1f} mm of one straight line, which tells no turn "
            "about it. Give points that span a triangle, for example the incisal point and a "
            "molar of each side.",
            field="landmarks_mm",
            value=apart,
            limit=LEAST_SPREAD_MM,
        )


def _values(by_side: Mapping[str, Reading | None]) -> BySide:
    return {side: None if read is None else read.value for side, read in by_side.items()}


def _sds(by_side: Mapping[str, Reading | None]) -> BySide:
    return {side: None if read is None else read.sd for side, read in by_side.items()}
