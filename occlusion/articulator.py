"""The settings of an articulator as frozen values, checked when they are made.

Condylar inclination, Bennett angle and side shift are named by condyle and act when
that condyle is the balancing one. Wings are named by the excursion in which they guide.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Literal, get_args

from occlusion import frames
from occlusion.errors import BadRequest, ImpossibleGeometry, NegativeTravel, kind_of
from occlusion.ranges import check_hard, check_point, number, sentence

Point = tuple[float, float, float]
Member = Literal["upper", "lower"]
Kind = Literal["protrusive", "right", "left"]
Along = Literal["horizontal", "path"]


@dataclass(frozen=True, kw_only=True)
class ReferencePlane:
    """The plane that angles are read against.

    ``tilt_deg`` is how much the plane falls forward of the engine's horizontal: 0 for
    the axis plane of the articulator, positive when its front end is the lower one.
    """

    name: str = "axis plane"
    tilt_deg: float = 0.0

    def __post_init__(self) -> None:
        if not isinstance(self.name, str) or not self.name.strip():
            raise BadRequest(
                "The reference plane has no name. Name the plane that the angles are read against.",
                field="reference_plane.name",
                value=self.name if isinstance(self.name, str) else None,
            )
        _check(self, "plane_tilt_deg", "tilt_deg", "reference_plane.tilt_deg")

    @property
    def key(self) -> tuple[str, float]:
        return (self.name, self.tilt_deg)


@dataclass(frozen=True, kw_only=True)
class CondylarSide:
    """One condylar path. ``plane`` None: read against the plane of the settings."""

    inclination_deg: float
    bennett_deg: float = 0.0
    immediate_side_shift_mm: float = 0.0
    plane: ReferencePlane | None = None

    def __post_init__(self) -> None:
        _check(self, "condylar_inclination_deg", "inclination_deg")
        _check(self, "bennett_deg")
        _check(self, "immediate_side_shift_mm")

    def in_axes(self, *, tilt_deg: float) -> tuple[float, float]:
        """Inclination and Bennett angle against the engine's axes, in degrees."""
        return (
            frames.turn_sagittal_deg(self.inclination_deg, tilt_deg=tilt_deg),
            frames.turn_lateral_deg(
                self.bennett_deg, sagittal_deg=self.inclination_deg, tilt_deg=tilt_deg
            ),
        )

    def converted(self, *, read_against: ReferencePlane, to: ReferencePlane) -> CondylarSide:
        """The same path with its angles read against another plane."""
        turned = read_against.tilt_deg - to.tilt_deg
        inclination, bennett = self.in_axes(tilt_deg=turned)
        return replace(self, inclination_deg=inclination, bennett_deg=bennett, plane=to)


@dataclass(frozen=True, kw_only=True)
class IncisalTable:
    """The incisal table. ``plane`` None: read against the plane of the settings."""

    sagittal_deg: float
    wing_right_excursion_deg: float = 0.0
    wing_left_excursion_deg: float = 0.0
    mounted_on: Member
    plane: ReferencePlane | None = None

    def __post_init__(self) -> None:
        _check(self, "incisal_table_deg", "sagittal_deg")
        for side in ("right", "left"):
            _check(
                self,
                "lateral_wing_deg",
                f"wing_{side}_excursion_deg",
                f"lateral_wing_deg.{side}",
                f"lateral wing of the {side} excursion",
            )
        choose(self.mounted_on, get_args(Member), field="table.mounted_on", label="table member")

    def in_axes(self, *, tilt_deg: float) -> tuple[float, float, float]:
        """Sagittal angle, right and left wing against the engine's axes, in degrees."""
        right, left = (
            frames.turn_lateral_deg(wing, sagittal_deg=self.sagittal_deg, tilt_deg=tilt_deg)
            for wing in (self.wing_right_excursion_deg, self.wing_left_excursion_deg)
        )
        return frames.turn_sagittal_deg(self.sagittal_deg, tilt_deg=tilt_deg), right, left

    def converted(self, *, read_against: ReferencePlane, to: ReferencePlane) -> IncisalTable:
        """The same table with its angles read against another plane."""
        sagittal, right, left = self.in_axes(tilt_deg=read_against.tilt_deg - to.tilt_deg)
        return replace(
            self,
            sagittal_deg=sagittal,
            wing_right_excursion_deg=right,
            wing_left_excursion_deg=left,
            plane=to,
        )


@dataclass(frozen=True, kw_only=True)
class ArticulatorSettings:
    """Every setting that moves the lower member.

    Parameters
    ----------
    intercondylar_mm : float
        Distance between the condyles.
    right, left : CondylarSide
        Condylar paths, named by condyle.
    table : IncisalTable
        The table and the member that carries it.
    incisal_point_mm : tuple of float
        Lower incisal point in articulator axes, at maximum intercuspation.
    pin_point_mm : tuple of float, optional
        Where the pin meets the table; None means the incisal point.
    pin_opening_mm : float
        How far the pin point has been lowered about the hinge axis.
    reference_plane : ReferencePlane
        The plane that all angles are read against.
    """

    intercondylar_mm: float
    right: CondylarSide
    left: CondylarSide
    table: IncisalTable
    incisal_point_mm: Point
    pin_point_mm: Point | None = None
    pin_opening_mm: float = 0.0
    reference_plane: ReferencePlane = field(default_factory=ReferencePlane)

    def __post_init__(self) -> None:
        _check(self, "intercondylar_mm")
        _check(self, "pin_opening_mm")
        _set(self, "incisal_point_mm", _guided(self.incisal_point_mm, "incisal"))
        if self.pin_point_mm is not None:
            _set(self, "pin_point_mm", _guided(self.pin_point_mm, "pin"))
        for name in ("right", "left", "table"):
            plane = getattr(self, name).plane
            if plane is not None:
                frames.same_plane(self.reference_plane.key, plane.key, field=f"{name}.plane")

    @property
    def guided_point_mm(self) -> Point:
        """The point that the table guides: the pin point, else the incisal point."""
        return self.incisal_point_mm if self.pin_point_mm is None else self.pin_point_mm


@dataclass(frozen=True, kw_only=True)
class Excursion:
    """One movement out of maximum intercuspation.

    Parameters
    ----------
    kind : {"protrusive", "right", "left"}
        Named by the side that the lower jaw moves to.
    blend : float
        0 is the lateral excursion itself, 1 is protrusion, between them a blend.
    travel_mm : float
        How far the leading (balancing) condyle travels. In protrusion the condyle with
        the steeper path counts, so that neither goes further than this.
    travel_along : {"horizontal", "path"}
        Forward advance of that condyle, or length of its path in space including the
        progressive side shift. The immediate side shift comes before it and does not count.
    """

    kind: Kind
    blend: float = 0.0
    travel_mm: float
    travel_along: Along

    def __post_init__(self) -> None:
        choose(self.kind, get_args(Kind), field="excursion", label="excursion")
        choose(self.travel_along, get_args(Along), field="travel_along", label="travel")
        _check(self, "blend")
        if number(self.travel_mm, field="travel_mm", label="travel") < 0:
            raise NegativeTravel(
                f"Travel is {self.travel_mm:g} mm. Enter 0 mm or more; the engine knows nothing "
                "of movements backward from maximum intercuspation.",
                field="travel_mm",
                value=self.travel_mm,
                limit=(0.0, 15.0),
            )
        _check(self, "travel_mm")
        if self.kind == "protrusive" and self.blend not in (0.0, 1.0):
            raise BadRequest(
                f"Blend is {self.blend:g} in a protrusive excursion. Leave it out, or choose "
                "right or left: a blend lies between a lateral excursion and protrusion.",
                field="blend",
                value=self.blend,
            )

    @property
    def is_protrusion(self) -> bool:
        return self.kind == "protrusive" or self.blend == 1.0


def choose(value: object, allowed: Iterable[str], *, field: str, label: str) -> str:
    """One of the words allowed.

    Raises
    ------
    BadRequest
    """
    words = tuple(allowed)
    if isinstance(value, str) and value in words:
        return value
    raise BadRequest(
        f"{sentence(label)} is {kind_of(value)}. Choose one of: {', '.join(words)}.",
        field=field,
        value=value if isinstance(value, str) else None,
        limit=list(words),
    )


def _guided(value: object, which: str) -> Point:
    """The incisal or pin point: in front of the axis and where a jaw can have it."""
    name = f"{which}_point_mm"
    x, y, z = check_point(value, field=name, label=f"{which} point")
    if x <= 0:
        raise ImpossibleGeometry(
            f"The {which} point lies {-x:g} mm behind the hinge axis. Enter it forward of the "
            "axis, with x pointing forward.",
            field=f"{name}.x",
            value=x,
        )
    for axis, coordinate in zip("xyz", (x, y, z), strict=True):
        check_hard(f"{which}_{axis}_mm", coordinate, field=f"{name}.{axis}")
    return (x, y, z)


def _check(
    holder: object, limit: str, attribute: str = "", field: str = "", label: str = ""
) -> None:
    """Check one attribute of a frozen value and keep it as a plain float."""
    attribute = attribute or limit
    _set(
        holder,
        attribute,
        check_hard(limit, getattr(holder, attribute), field=field or limit, label=label),
    )


def _set(holder: object, attribute: str, value: object) -> None:
    object.__setattr__(holder, attribute, value)
