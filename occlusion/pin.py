"""The incisal pin: what opening it does, how far a high tooth lifts it, a wrong axis."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from occlusion import frames
from occlusion.articulator import ArticulatorSettings
from occlusion.errors import ImpossibleGeometry
from occlusion.frames import Array
from occlusion.guidance import opening_rad
from occlusion.ranges import check_hard, check_point, number

Point = tuple[float, float, float]


@dataclass(frozen=True)
class PinOpening:
    """What an opened pin does to lower points: how far each goes down and back."""

    hinge_deg: float
    drop_mm: dict[str, float]
    back_mm: dict[str, float]


@dataclass(frozen=True)
class ToothOpening:
    """What an opened pin does at one lower point: how far it goes, and the gaps that opens.

    Attributes
    ----------
    name : str
        The point.
    drop_mm, back_mm : float
        How far it goes down, and back.
    straight_line_mm : float
        The drop by the rule of three, for comparison.
    incline_deg : float
        Slope of the incline that the gaps are told for.
    gap_mm, normal_gap_mm : float
        What opens over a lower incline that falls forward: in z, and square to the incline.
    other_gap_mm, other_normal_gap_mm : float
        The same over one that rises forward. Negative: opening the pin drives it into the
        incline above.
    text : str
        Which of them is which.
    """

    name: str
    drop_mm: float
    back_mm: float
    straight_line_mm: float
    incline_deg: float
    gap_mm: float
    normal_gap_mm: float
    other_gap_mm: float
    other_normal_gap_mm: float
    text: str


@dataclass(frozen=True)
class PinRise:
    """How far upper tips that stand too low lift the pin.

    Attributes
    ----------
    pin_rise_mm : float
        Rise at the pin point, 0 when no tip stands below the rim.
    first_contact_index : int or None
        The tip that touches first; the first of equals.
    pin_rise_if_only_this_tip_mm, grind_to_close_mm : tuple of float
        Per tip, the rise if it alone stood too low, and the depth that brings the pin
        back to the table there. Depths are of denture teeth only.
    """

    pin_rise_mm: float
    first_contact_index: int | None
    pin_rise_if_only_this_tip_mm: tuple[float, ...]
    grind_to_close_mm: tuple[float, ...]


@dataclass(frozen=True)
class WrongAxis:
    """What is left when a record is opened about one axis and closed about another.

    ``residual_mm`` is a pure shift (x, z) of the whole lower member, ``residual_length_mm``
    its length 2 e sin(theta / 2), ``forward_shift_mm`` how far forward the watched point
    stands once it is closed to its old height.
    """

    theta_deg: float
    residual_mm: tuple[float, float]
    residual_length_mm: float
    forward_shift_mm: float


def open_pin(
    *, settings: ArticulatorSettings, opening_mm: float, points_mm: Mapping[str, Point]
) -> PinOpening:
    """Open the pin from closed and say what lower points do.

    Parameters
    ----------
    settings : ArticulatorSettings
        Only its pin point matters here; its own pin opening is not added.
    opening_mm : float
        How far the pin point goes down in z.
    points_mm : mapping of str to point
        Lower points by name.

    Raises
    ------
    OutOfRange, PinUnreachable
    """
    opened = replace(settings, pin_opening_mm=opening_mm)
    guided = np.array(opened.guided_point_mm)
    theta = float(opening_rad(guided, np.array(opened.pin_opening_mm)))
    drop, back = {}, {}
    for name, point in points_mm.items():
        moved = _turned(theta, np.array(check_point(point, field=name)))
        drop[name], back[name] = -float(moved[2]), -float(moved[0])
    return PinOpening(math.degrees(theta), drop, back)


def opening_at_teeth(
    *,
    settings: ArticulatorSettings,
    opening_mm: float,
    points_mm: Mapping[str, Point],
    incline_deg: float | Mapping[str, float] = 0.0,
) -> tuple[ToothOpening, ...]:
    """Drop and gap apart: opening also carries the lower member back, so they differ.

    Parameters
    ----------
    settings, opening_mm, points_mm
        As for ``open_pin``.
    incline_deg : float or mapping of str to float
        Slope of the incline at each point against the horizontal, 0 to 60; points that the
        mapping leaves out have none.

    Returns
    -------
    tuple of ToothOpening
        In the order of the points.

    Raises
    ------
    NotANumber, OutOfRange, PinUnreachable
    """
    slopes = (
        incline_deg if isinstance(incline_deg, Mapping) else dict.fromkeys(points_mm, incline_deg)
    )
    opened = open_pin(settings=settings, opening_mm=opening_mm, points_mm=points_mm)
    found = []
    for name, point in points_mm.items():
        slope = check_hard("cusp_angle_deg", slopes.get(name, 0.0), field=f"incline_deg.{name}")
        drop, back = opened.drop_mm[name], opened.back_mm[name]
        tan, cos = math.tan(math.radians(slope)), math.cos(math.radians(slope))
        found.append(
            ToothOpening(
                name=name,
                drop_mm=drop,
                back_mm=back,
                straight_line_mm=straight_line_mm(
                    opening_mm=opening_mm,
                    distance_mm=point[0],
                    pin_distance_mm=settings.guided_point_mm[0],
                ),
                incline_deg=slope,
                gap_mm=drop + back * tan,
                normal_gap_mm=(drop + back * tan) * cos,
                other_gap_mm=drop - back * tan,
                other_normal_gap_mm=(drop - back * tan) * cos,
                text=_which_is_which(name, drop, back, slope),
            )
        )
    return tuple(found)


def straight_line_mm(*, opening_mm: float, distance_mm: float, pin_distance_mm: float) -> float:
    """The rule of three: opening at a tooth from that at the pin, by distance from the axis.

    Source: pin_ratio (second molar, incisors and pin at 2, 4 and 6 inches: 1 to 2 to 3).
    """
    away = number(pin_distance_mm, field="pin_distance_mm")
    if away <= 0:
        raise ImpossibleGeometry(
            "The pin is not in front of the axis. Enter its distance from the axis.",
            field="pin_distance_mm",
            value=away,
        )
    opening = number(opening_mm, field="opening_mm")
    return opening * number(distance_mm, field="distance_mm") / away


def pin_rise(
    *, pin_point_mm: Point, lower_rim_z_mm: float, upper_tips_mm: Sequence[Point]
) -> PinRise:
    """Rise of the pin when upper tips meet a flat lower rim before the pin its table. Exact.

    The lower member is opened about the hinge axis by the angle at which the tip just
    touches the rim, x sin(a) + z cos(a) = rim; the rise is the drop of its pin point.

    Parameters
    ----------
    pin_point_mm : tuple of float
        The lower point under the pin.
    lower_rim_z_mm : float
        Height of the flat rim.
    upper_tips_mm : sequence of points
        Tips of the upper teeth at closed maximum intercuspation.

    Raises
    ------
    ImpossibleGeometry
        Pin or tip behind the hinge axis, or a tip that no opening frees.
    """
    pin = np.array(check_point(pin_point_mm, field="pin_point_mm"))
    if pin[0] <= 0:
        raise ImpossibleGeometry(
            "The pin point lies behind the hinge axis. Enter it with x pointing forward.",
            field="pin_point_mm.x",
            value=float(pin[0]),
        )
    rim = check_hard(
        "coordinate_mm", lower_rim_z_mm, field="lower_rim_z_mm", label="height of the lower rim"
    )
    rises, depths = [], []
    for index, tip in enumerate(upper_tips_mm):
        x, _, z = check_point(tip, field=f"upper_tips_mm.{index}")
        depths.append(round(max(0.0, rim - z), 9))
        rises.append(_rise(pin, x, z, rim, index) if z < rim else 0.0)
    highest = max(rises, default=0.0)
    return PinRise(
        pin_rise_mm=highest,
        first_contact_index=rises.index(highest) if highest > 0 else None,
        pin_rise_if_only_this_tip_mm=tuple(rises),
        grind_to_close_mm=tuple(depths),
    )


def wrong_axis(
    *,
    record_point_mm: tuple[float, float],
    record_mm: float,
    axis_error_mm: tuple[float, float],
    watched_point_mm: tuple[float, float],
) -> WrongAxis:
    """What a record of some thickness leaves when the mounted axis is not the true one.

    Parameters
    ----------
    record_point_mm, watched_point_mm : (x, z)
        Where the thickness was read, and the point that is watched, from the true axis.
    record_mm : float
        Vertical drop of the record point.
    axis_error_mm : (x, z)
        From the true axis to the mounted one.

    Raises
    ------
    PinUnreachable
        The record is thicker than the point can drop.
    """
    error = np.array([axis_error_mm[0], 0.0, axis_error_mm[1]])
    record = np.array([record_point_mm[0], 0.0, record_point_mm[1]])
    watched = np.array([watched_point_mm[0], 0.0, watched_point_mm[1]])
    theta = float(opening_rad(record, np.array(record_mm), field="record_mm"))
    residual = -_turned(-theta, error)
    displaced = watched + residual - error
    closing = float(opening_rad(displaced, np.array(residual[2]), field="record_mm"))
    forward = residual + _turned(closing, displaced)
    return WrongAxis(
        theta_deg=math.degrees(theta),
        residual_mm=(float(residual[0]), float(residual[2])),
        residual_length_mm=2.0 * math.hypot(*axis_error_mm) * abs(math.sin(theta / 2.0)),
        forward_shift_mm=float(forward[0]),
    )


def _which_is_which(name: str, drop: float, back: float, slope: float) -> str:
    shift = f"goes back {back:.2f}" if back >= 0 else f"comes forward {-back:.2f}"
    said = f"{name} goes down {drop:.2f} mm and {shift} mm: that is the drop."
    if slope == 0:
        return f"{said} On flat surfaces the gap is the drop."
    wide, narrow = (drop + sign * back * math.tan(math.radians(slope)) for sign in (1.0, -1.0))
    cos = math.cos(math.radians(slope))
    return (
        f"{said} The gap over a lower incline of {slope:g} deg that falls forward is {wide:.2f} mm "
        f"({wide * cos:.2f} square to it), over one that rises forward {narrow:.2f} mm "
        f"({narrow * cos:.2f} square to it)."
    )


def _turned(angle_rad: float, point_mm: Array) -> Array:
    """Movement of a point turned about the hinge axis."""
    return np.asarray(frames.about_y(angle_rad) @ point_mm - point_mm)


def _rise(pin: Array, x: float, z: float, rim: float, index: int) -> float:
    if x <= 0:
        raise ImpossibleGeometry(
            f"Upper tip {index} lies behind the hinge axis. Enter it with x pointing forward.",
            field=f"upper_tips_mm.{index}.x",
            value=x,
        )
    # The tip seen from the opened lower member: turned the other way, it rises to the rim.
    theta = -float(opening_rad(np.array([x, 0.0, z]), np.array(z - rim), field="upper_tips_mm"))
    moved: Any = _turned(theta, pin)
    return -float(moved[2])
