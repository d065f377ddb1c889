"""What is refused of check records, what is only remarked, and what the answer rests on."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from occlusion.errors import RecordsDisagree, RecordTooShort, SidesLookSwapped
from occlusion.ranges import LIMITS, SIDES_DIFFER_DEG, EngineWarning, usual
from occlusion.records.fit import Carried
from occlusion.sources import cite

KINDS = ("protrusive", "right", "left")
SIDES = ("right", "left")

LEADER = {"right": "left", "left": "right"}
"""The balancing condyle, which leads, of each lateral record."""

LEAST_TRAVEL_MM = 3.0
"""A shorter record is refused: its reading error alone is over 3 deg (source: geometry)."""

ROUNDING_MM = 0.005
"""How much coordinates that were rounded when typed may take off a travel."""

LEAST_STEP_MM = 1.0
"""Two travels nearer than this tell no side shift (common practice, no source)."""

DISAGREE_DEG = 3.0
"""Protrusive and lateral inclination may differ by this beyond their reading errors (common
practice, no source)."""

OFF_PATH_MM = 1.0
"""A condyle that is this far from where the movement should have it is remarked upon (common
practice, no source)."""

FARTHEST_TURN_DEG = 20.0
"""No check record turns the jaw further (common practice, no source). Three points exchanged
or mirrored often fit as one body after all, but turned by half a circle."""

MISFIT_REMARKED = 3.0
MISFIT_REFUSED_MM = 1.0
"""Remarked: a misfit of 3 reading errors. Refused: 1 mm and 10 of them, a mistyped or exchanged
point (common practice, no source)."""


class Reading(NamedTuple):
    """A value and its standard deviation."""

    value: float
    sd: float


def travel_mm(kind: str, read: Sequence[Carried]) -> float | None:
    """Forward advance of the longest record of a kind."""
    return max((_advance_mm(kind, one) for one in read), default=None)


def _advance_mm(kind: str, one: Carried) -> float:
    if kind == "protrusive":
        return float(min(one.right_mm[0], one.left_mm[0]))
    return float(one.of(LEADER[kind])[0][0])


def refuse_broken(
    read: Mapping[str, Sequence[Carried]], *, reading_sd_mm: float, count: int
) -> None:
    """Refuse records that no reading of them can mend.

    Raises
    ------
    RecordsDisagree, SidesLookSwapped, RecordTooShort
    """
    for kind, several in read.items():
        for one in several:
            _refuse_no_body(kind, one, reading_sd_mm)
            if kind != "protrusive":
                _refuse_wrong_side(kind, one, reading_sd_mm, count)
            _refuse_short(kind, one)
        _refuse_equal_travels(kind, several)


def _refuse_no_body(kind: str, one: Carried, reading_sd_mm: float) -> None:
    if one.misfit_mm > max(MISFIT_REFUSED_MM, 10.0 * reading_sd_mm):
        raise RecordsDisagree(
            f"The points of the {kind} record did not move as one body: they are off by "
            f"{one.misfit_mm:.1f} mm. Check that the same points were read in the same order, "
            "and each sign.",
            field=f"records.{kind}",
            value=one.misfit_mm,
            limit=MISFIT_REFUSED_MM,
        )
    if one.turn_deg > FARTHEST_TURN_DEG:
        raise RecordsDisagree(
            f"The points of the {kind} record turn the jaw by {one.turn_deg:.0f} deg, as exchanged "
            "points or an exchanged sign would. Check that the same points were read in the same "
            "order, and that y is positive to the patient's left.",
            field=f"records.{kind}",
            value=one.turn_deg,
            limit=FARTHEST_TURN_DEG,
        )


def _refuse_wrong_side(kind: str, one: Carried, reading_sd_mm: float, count: int) -> None:
    toward = -1.0 if kind == "right" else 1.0
    sideways = toward * float(one.teeth_mm[1])
    if sideways < -2.0 * reading_sd_mm / math.sqrt(count):
        raise SidesLookSwapped(
            f"The {kind} record carries the lower teeth {-sideways:.1f} mm to the {LEADER[kind]}. "
            "Exchange the two lateral records, or check the sign of y: it is positive to the "
            "patient's left.",
            field=f"records.{kind}",
            value=float(one.teeth_mm[1]),
        )
    lead, trail = LEADER[kind], kind
    named, other = (_off_axis_mm(one, side) for side in (trail, lead))
    if named > 3.0 * _off_axis_sd(one, trail, reading_sd_mm) and other < named / 2.0:
        raise SidesLookSwapped(
            f"In the {kind} record the {trail} condyle has left the axis by {named:.1f} mm and the "
            f"{lead} one by {other:.1f} mm, as in an excursion to the {lead}. Check which record "
            "this is, and the sign of y.",
            field=f"records.{kind}",
            value=named,
        )


def _refuse_short(kind: str, one: Carried) -> None:
    advance = _advance_mm(kind, one)
    if advance < LEAST_TRAVEL_MM - ROUNDING_MM:
        condyle = "a condyle" if kind == "protrusive" else f"the {LEADER[kind]} condyle"
        raise RecordTooShort(
            f"In the {kind} record {condyle} goes only {advance:.1f} mm forward. Take a record of "
            f"{LEAST_TRAVEL_MM:g} mm or more, better 5 to 6: a shorter one tells no angle.",
            field=f"records.{kind}",
            value=advance,
            limit=LEAST_TRAVEL_MM,
        )


def _refuse_equal_travels(kind: str, several: Sequence[Carried]) -> None:
    travels = [_advance_mm(kind, one) for one in several]
    if kind != "protrusive" and len(travels) > 1 and np.ptp(travels) < LEAST_STEP_MM:
        raise RecordTooShort(
            f"The {kind} records are of {min(travels):.1f} to {max(travels):.1f} mm travel, too "
            "near each other to tell side shift from Bennett angle. Give one of them, or two that "
            f"are {LEAST_STEP_MM:g} mm or more apart.",
            field=f"records.{kind}",
            value=float(np.ptp(travels)),
            limit=LEAST_STEP_MM,
        )


def unusual_records(
    read: Mapping[str, Sequence[Carried]], *, reading_sd_mm: float
) -> list[EngineWarning]:
    """Records that fit badly, or that are not the movement they are named by."""
    found = []
    for kind, several in read.items():
        for one in several:
            if one.misfit_mm > max(MISFIT_REMARKED * reading_sd_mm, 0.01):
                found.append(
                    EngineWarning(
                        f"{kind}_record_misfit",
                        f"The points of the {kind} record are {one.misfit_mm:.2f} mm off a rigid "
                        f"movement, more than a reading error of {reading_sd_mm:g} mm explains. "
                        "Read them again.",
                        cite("practice"),
                    )
                )
            found += _deviating(one, reading_sd_mm) if kind == "protrusive" else []
            found += _not_lateral(kind, one, reading_sd_mm) if kind != "protrusive" else []
    return found


def _deviating(one: Carried, reading_sd_mm: float) -> list[EngineWarning]:
    right, left = float(one.right_mm[0]), float(one.left_mm[0])
    explained = reading_sd_mm * math.sqrt(one.right_covariance[0, 0] + one.left_covariance[0, 0])
    if abs(right - left) <= OFF_PATH_MM + explained:
        return []
    return [
        EngineWarning(
            "protrusive_record_deviates",
            f"In the protrusive record the right condyle goes {right:.1f} mm forward, the left "
            f"{left:.1f} mm: the jaw deviates to the {'right' if left > right else 'left'}. Each "
            "angle is still that of its own condyle.",
            cite("practice"),
        )
    ]


def _not_lateral(kind: str, one: Carried, reading_sd_mm: float) -> list[EngineWarning]:
    off = _off_axis_mm(one, kind)
    if off <= OFF_PATH_MM + _off_axis_sd(one, kind, reading_sd_mm):
        return []
    forward = float(one.of(kind)[0][0])
    return [
        EngineWarning(
            f"{kind}_record_not_lateral",
            f"In the {kind} record the working condyle leaves the axis by {off:.1f} mm "
            f"({forward:.1f} mm forward). An articulator keeps it on the axis: the Bennett angle "
            "is worth less than its reading error says.",
            cite("practice"),
        )
    ]


def _off_axis_mm(one: Carried, side: str) -> float:
    move, _ = one.of(side)
    return float(np.hypot(move[0], move[2]))


def _off_axis_sd(one: Carried, side: str, reading_sd_mm: float) -> float:
    _, covariance = one.of(side)
    return reading_sd_mm * math.sqrt(float(covariance[0, 0] + covariance[2, 2]))


def disagreements(
    protrusive: Mapping[str, Reading | None], lateral: Mapping[str, Reading | None]
) -> list[EngineWarning]:
    """Inclinations of one condyle that two records tell differently."""
    found = []
    for side in SIDES:
        one, other = protrusive[side], lateral[side]
        if one is None or other is None:
            continue
        explained = math.hypot(one.sd, other.sd)
        if abs(one.value - other.value) > DISAGREE_DEG + explained:
            found.append(
                EngineWarning(
                    f"records_disagree_{side}",
                    f"The protrusive record gives the {side} condyle {one.value:.1f} deg, the "
                    f"{LEADER[side]} record {other.value:.1f} deg; reading errors explain about "
                    f"{explained:.1f} deg. The protrusive value is given. Take both records again.",
                    cite("practice"),
                )
            )
    return found


def unusual_angles(name: str, angles: Mapping[str, Reading | None]) -> list[EngineWarning]:
    """Angles outside the usual or the possible.

    Raises
    ------
    RecordsDisagree
        One that reading errors cannot bring within the hard limits.
    """
    limit, found = LIMITS[name], []
    for side in SIDES:
        read = angles[side]
        if read is None:
            continue
        outside = max(limit.hard_low - read.value, read.value - limit.hard_high)
        if outside > max(3.0 * read.sd, 1e-6):
            raise RecordsDisagree(
                f"The records give a {side} {limit.label} of {read.value:.1f} deg, which no "
                f"articulator can be set to ({limit.hard_low:g} to {limit.hard_high:g} deg). Check "
                "the axes and the order of the points, then take the records again.",
                field=f"records.{_record_of(name, side)}",
                value=read.value,
                limit=limit.hard,
            )
        if outside > 1e-6:
            nearest = min(max(read.value, limit.hard_low), limit.hard_high)
            found.append(
                EngineWarning(
                    f"{name.rsplit('_', 1)[0]}_{side}_beyond_setting",
                    f"The {side} {limit.label} comes out at {read.value:.1f} deg with a reading "
                    f"error of {read.sd:.1f} deg. Set {nearest:g} deg, or take the record again.",
                    cite("practice"),
                )
            )
            continue
        remark = usual(name, round(read.value, 1), side=side)
        found += [remark] if remark else []
    return found


def _record_of(name: str, side: str) -> str:
    return LEADER[side] if name == "bennett_deg" else "protrusive"


def sides_apart(inclination: Mapping[str, Reading | None]) -> list[EngineWarning]:
    """A right and a left inclination far from each other."""
    right, left = inclination["right"], inclination["left"]
    if right is None or left is None or abs(right.value - left.value) <= SIDES_DIFFER_DEG:
        return []
    return [
        EngineWarning(
            "sides_differ",
            f"Right and left condylar inclination differ by {abs(right.value - left.value):.1f} "
            f"deg, more than {SIDES_DIFFER_DEG:g}. Confirm the record of both sides.",
            cite("sides_differ_2013"),
        )
    ]


def negative_shifts(shift: Mapping[str, Reading | None]) -> list[EngineWarning]:
    """Side shifts that two travels put below 0."""
    return [
        EngineWarning(
            f"immediate_side_shift_{side}_below_0",
            f"The immediate side shift of the {side} condyle comes out at {read.value:.2f} mm with "
            f"a reading error of {read.sd:.2f} mm. Take it as 0.",
            cite("taylor_2016"),
        )
        for side in SIDES
        if (read := shift[side]) is not None and read.value < -1e-6
    ]


def assumptions(
    *,
    from_lateral: Sequence[str],
    told_shift: Sequence[str],
    untold_shift: Sequence[str],
    reading_sd_mm: float,
) -> tuple[str, ...]:
    """What the answer rests on."""
    told = [
        "Angles are against the axis plane, of the straight line from the closed to the recorded "
        "position of each condyle; travel is its forward advance.",
        f"Each coordinate of a moved point is read to a standard deviation of {reading_sd_mm:g} "
        "mm; the closed points and the hinge axis count as exact.",
    ]
    told += [
        f"There is no protrusive record: the {side} inclination is read from the {LEADER[side]} "
        "record, which tells it less well."
        for side in from_lateral
    ]
    told += [
        f"The immediate side shift of the {side} condyle is taken as 0: records of one travel "
        "cannot tell it from the Bennett angle."
        for side in untold_shift
    ]
    told += [
        f"Side shift and Bennett angle of the {side} condyle are told apart by a line through "
        "records of several travels."
        for side in told_shift
    ]
    return tuple(told)
