"""Hard and usual limits of every measured number, with the source of each.

Outside the hard limits a value is refused; outside the usual ones it is computed with a
warning. Limits without a published source say ``practice``.
"""

from __future__ import annotations

import math
import numbers
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from occlusion.errors import NotANumber, OutOfRange, kind_of
from occlusion.sources import cite


@dataclass(frozen=True)
class Limit:
    """Limits of one quantity; ``source`` is a key of ``occlusion.sources.SOURCES``."""

    name: str
    label: str
    unit: str
    hard_low: float
    hard_high: float
    usual_low: float
    usual_high: float
    source: str
    advice: str = ""

    @property
    def hard(self) -> tuple[float, float]:
        return (self.hard_low, self.hard_high)


@dataclass(frozen=True)
class EngineWarning:
    """Something unusual that was computed all the same."""

    code: str
    text: str
    source: str


_PLANE = ", read against the plane named in the record"


def _limits(*rows: Limit) -> dict[str, Limit]:
    """By name; a second row of one name would silently stand in place of the first."""
    named = {row.name: row for row in rows}
    if len(named) < len(rows):
        names = [row.name for row in rows]
        raise ValueError(f"limits given twice: {sorted({n for n in names if names.count(n) > 1})}")
    return named


LIMITS: dict[str, Limit] = _limits(
    Limit(
        "condylar_inclination_deg",
        "condylar inclination",
        "deg",
        *(0, 75, 10, 60),
        "johnson_winstanley_1997",
        _PLANE,
    ),
    Limit("bennett_deg", "Bennett angle", "deg", 0, 40, 5, 25, "ghodsi_2018", _PLANE),
    Limit("immediate_side_shift_mm", "immediate side shift", "mm", 0, 4, 0, 1.5, "taylor_2016"),
    Limit(
        "intercondylar_mm",
        "intercondylar distance",
        "mm",
        *(80, 140, 90, 130),
        "christensen_1959",
    ),
    Limit("incisal_table_deg", "incisal table", "deg", 0, 60, 0, 45, "practice", _PLANE),
    Limit("lateral_wing_deg", "lateral wing", "deg", 0, 45, 0, 30, "practice", _PLANE),
    Limit("pin_opening_mm", "pin opening", "mm", -2, 10, -1, 6, "vertical_2022"),
    Limit("travel_mm", "travel", "mm", 0, 15, 0, 8, "practice"),
    Limit("condylar_path_mm", "length of the condylar path", "mm", 0, 25, 0, 20, "practice"),
    Limit("blend", "blend", "", 0, 1, 0, 1, "practice"),
    Limit("plane_tilt_deg", "tilt of the reference plane", "deg", -30, 30, -20, 20, "practice"),
    Limit(
        "incisal_x_mm", "incisal point, forward of the axis", "mm", 40, 150, 65, 110, "kois_2013"
    ),
    Limit("incisal_y_mm", "incisal point, to the left", "mm", -10, 10, -3, 3, "practice"),
    Limit("incisal_z_mm", "incisal point, above the axis", "mm", -100, 20, -60, -10, "practice"),
    Limit("pin_x_mm", "pin point, forward of the axis", "mm", 40, 200, 65, 160, "practice"),
    Limit("pin_y_mm", "pin point, to the left", "mm", -10, 10, -3, 3, "practice"),
    Limit("pin_z_mm", "pin point, above the axis", "mm", -120, 20, -80, -10, "practice"),
    Limit("coordinate_mm", "coordinate", "mm", -250, 250, -200, 200, "practice"),
    Limit("overjet_mm", "overjet", "mm", -10, 15, 0, 5, "practice"),
    Limit("overbite_mm", "overbite", "mm", -10, 12, 0, 5, "practice"),
    Limit("facet_deg", "facet angle", "deg", 0, 60, 0, 45, "practice", _PLANE),
    Limit("cusp_angle_deg", "cusp angle", "deg", 0, 60, 0, 40, "cusp_forms"),
    Limit("front_facet_deg", "facet of the front teeth", "deg", 0, 85, 0, 60, "practice", _PLANE),
    Limit("crown_width_mm", "crown width", "mm", 3, 15, 4, 13, "crown_table"),
    Limit("bizygomatic_mm", "width of the face", "mm", 80, 200, 115, 155, "practice"),
    Limit(
        "inner_canthal_mm", "distance of the inner eye corners", "mm", 15, 55, 23, 36, "practice"
    ),
    Limit("interpupillary_mm", "distance of the pupils", "mm", 40, 85, 52, 74, "practice"),
    Limit("interalar_mm", "width of the nose", "mm", 20, 60, 28, 45, "practice"),
    Limit("canine_lines_mm", "way between the canine lines", "mm", 25, 75, 38, 58, "practice"),
    Limit("hamular_notch_mm", "distance of the hamular notches", "mm", 25, 70, 35, 55, "practice"),
    Limit("head_circumference_mm", "girth of the head", "mm", 400, 700, 520, 620, "practice"),
    Limit("face_length_mm", "length of the face", "mm", 100, 260, 160, 210, "practice"),
    Limit("crown_length_mm", "crown length", "mm", 3, 18, 6, 13, "crown_table"),
    Limit("teeth_together_mm", "width of several teeth", "mm", 15, 150, 25, 110, "crown_table"),
    Limit("posterior_room_mm", "room for back teeth", "mm", 0, 70, 20, 45, "practice"),
    Limit("tip_separation_mm", "distance of the cusp tips", "mm", 1, 12, 3, 8, "practice"),
    Limit("tip_height_mm", "height of the tips over the curve", "mm", -8, 8, -2, 2, "practice"),
    Limit("over_eruption_mm", "over-eruption", "mm", 0, 8, 0, 2, "practice"),
    Limit("tooth_tilt_deg", "tilt of the tooth", "deg", -30, 30, -15, 15, "practice"),
    Limit("tooth_incline_deg", "incline of the tooth", "deg", 0, 70, 0, 60, "practice"),
    Limit("tip_roundness_mm", "roundness of the tip", "mm", 0.05, 2, 0.2, 1, "practice"),
    Limit(
        "curve_radius_mm",
        "radius of the compensating curve",
        "mm",
        *(45, 10_000, 60, 150),
        "curve_radii",
    ),
    Limit("band_mm", "contact band", "mm", 0.005, 0.5, 0.01, 0.2, "practice"),
    Limit("pitch_mm", "pitch of the grid", "mm", 0.02, 0.5, 0.05, 0.2, "practice"),
    Limit("region_radius_mm", "radius of a region", "mm", 0.2, 60, 2, 8, "practice"),
    Limit("reading_half_width", "reading error", "", 0, 20, 0, 10, "practice"),
    Limit("posterior_gap_mm", "gap behind", "mm", 0, 15, 0, 6, "practice"),
    Limit("reading_sd_mm", "reading error of a point", "mm", 0, 2, 0.02, 0.3, "practice"),
    Limit("scan_extent_mm", "length of a scan", "mm", 20, 200, 40, 120, "practice"),
    Limit("settling_mm", "way to the first rest", "mm", 0.01, 10, 0.05, 2, "practice"),
    Limit("settling_slide_mm", "slide to the first rest", "mm", 0, 2, 0, 0.5, "practice"),
    Limit("scan_coordinate_mm", "coordinate in a scan", "mm", -1e4, 1e4, -500, 500, "practice"),
    Limit("steps", "number of steps", "", 2, 1000, 10, 200, "practice"),
    Limit("draws", "number of draws", "", 2, 100_000, 200, 10_000, "practice"),
    Limit("seed", "seed", "", 0, 2**32 - 1, 0, 2**32 - 1, "practice"),
    Limit("space_mm", "space", "mm", 0, 40, 4, 25, "practice"),
    Limit("base_min_mm", "least base thickness", "mm", 0, 10, 1.5, 3, "practice"),
    Limit("relief_mm", "relief", "mm", 0, 5, 0, 1, "practice"),
    Limit("tooth_height_mm", "tooth height", "mm", 0, 20, 4, 13, "practice"),
    Limit("shell_over_fossa_mm", "shell over the fossa", "mm", 0, 10, 1, 5, "practice"),
    Limit("shell_min_mm", "least shell", "mm", 0, 10, 1, 3, "practice"),
    Limit("pin_rise_mm", "pin rise", "mm", -2, 10, 0, 1, "practice"),
    Limit("resting_vertical_mm", "vertical at rest", "mm", 20, 130, 50, 90, "practice"),
    Limit("occlusal_vertical_mm", "vertical in occlusion", "mm", 20, 130, 45, 88, "practice"),
    Limit("speaking_space_mm", "closest speaking space", "mm", 0, 15, 0.5, 3.5, "burnett_1992"),
    Limit("linear_shrinkage_pct", "linear shrinkage", "%", 0, 10, 0.42, 0.58, "shrinkage_1999"),
    Limit("volume_shrinkage_pct", "shrinkage by volume", "%", 0, 30, 6, 21, "anusavice"),
    Limit("width_mm", "width", "mm", 0, 120, 5, 80, "practice"),
    Limit("record_mm", "thickness of the record", "mm", 0, 20, 0, 3, "axis_simulation"),
    Limit("axis_error_mm", "error of the hinge axis", "mm", 0, 30, 0, 6, "zuckerman_1982"),
    Limit("gap_mm", "gap", "mm", -20, 60, -3, 20, "practice"),
    Limit("interference_mm", "interference", "mm", 0, 5, 0, 1, "practice"),
    Limit("occlusal_budget_mm", "budget of the tooth", "mm", 0, 10, 0, 2, "practice"),
    Limit("approved_raise_mm", "approved raise at the pin", "mm", 0, 10, 0, 6, "vertical_2022"),
    Limit(
        "pin_ratio", "movement at the site for one at the pin", "", 0.05, 1.5, 0.2, 1, "pin_ratio"
    ),
)
"""Every limit by name."""


def number(value: object, *, field: str, label: str = "") -> float:
    """A finite number, or a refusal.

    Parameters
    ----------
    value : object
        What was given. Texts, truth values and nothing are no numbers.
    field : str
        Name of the value in refusals.
    label : str, optional
        The same in words.

    Raises
    ------
    NotANumber
        It is no number, not finite, or too large to compute with.
    """
    words = label or field
    if isinstance(value, bool) or not isinstance(value, numbers.Real):
        raise NotANumber(
            f"{sentence(words)} is {kind_of(value)}, not a number. Enter a number, such as 12.5.",
            field=field,
            value=value,
        )
    try:
        result = float(value)
    except OverflowError:
        result = math.inf
    if not math.isfinite(result):
        raise NotANumber(
            f"{sentence(words)} is not a finite number. Enter a number, such as 12.5.",
            field=field,
            value=value,
        )
    return result


def check_hard(name: str, value: object, *, field: str = "", label: str = "") -> float:
    """The value as a number within its hard limits.

    Parameters
    ----------
    name : str
        Key of ``LIMITS``.
    value : object
        What was given.
    field, label : str, optional
        Name in refusals, and the same in words; by default those of the limit.

    Raises
    ------
    NotANumber, OutOfRange
    """
    limit = LIMITS[name]
    field, label = field or name, label or limit.label
    result = number(value, field=field, label=label)
    if not limit.hard_low <= result <= limit.hard_high:
        unit = f" {limit.unit}" if limit.unit else ""
        raise OutOfRange(
            f"{sentence(label)} is {result:g}{unit}. "
            f"Enter {limit.hard_low:g} to {limit.hard_high:g}{unit}{limit.advice}.",
            field=field,
            value=result,
            limit=limit.hard,
        )
    return result


def check_point(value: object, *, field: str, label: str = "") -> tuple[float, float, float]:
    """Three coordinates in millimetres.

    Raises
    ------
    NotANumber, OutOfRange
        It is not a list of three finite numbers, or one lies far outside any articulator.
    """
    words = label or field
    if isinstance(value, str | bytes) or not isinstance(value, Sequence):
        tolist = getattr(value, "tolist", None)
        value = tolist() if callable(tolist) else None
    if not isinstance(value, Sequence) or len(value) != 3:
        raise NotANumber(
            f"{sentence(words)} is not a list of three numbers. "
            "Enter x, y and z in millimetres, in articulator axes.",
            field=field,
            value=list(value) if isinstance(value, Sequence) else None,
        )
    x, y, z = (
        check_hard("coordinate_mm", item, field=f"{field}.{axis}", label=f"{axis} of {words}")
        for axis, item in zip("xyz", value, strict=True)
    )
    return (x, y, z)


class _Side(Protocol):
    @property
    def inclination_deg(self) -> float: ...
    @property
    def bennett_deg(self) -> float: ...
    @property
    def immediate_side_shift_mm(self) -> float: ...


class _Table(Protocol):
    @property
    def sagittal_deg(self) -> float: ...
    @property
    def wing_right_excursion_deg(self) -> float: ...
    @property
    def wing_left_excursion_deg(self) -> float: ...


class _Plane(Protocol):
    @property
    def tilt_deg(self) -> float: ...


class _Settings(Protocol):
    """What ``warnings_for`` reads; ``occlusion.articulator.ArticulatorSettings`` has it."""

    @property
    def intercondylar_mm(self) -> float: ...
    @property
    def right(self) -> _Side: ...
    @property
    def left(self) -> _Side: ...
    @property
    def table(self) -> _Table: ...
    @property
    def reference_plane(self) -> _Plane: ...
    @property
    def incisal_point_mm(self) -> tuple[float, float, float]: ...
    @property
    def pin_opening_mm(self) -> float: ...


SIDES_DIFFER_DEG = 10.0
"""Left and right inclination further apart than this ask for a second look."""


def warnings_for(settings: _Settings) -> tuple[EngineWarning, ...]:
    """What is unusual about these settings, in the order of the record.

    Parameters
    ----------
    settings : ArticulatorSettings
        Or anything with its attributes.
    """
    found: list[EngineWarning | None] = []
    for side, values in (("right", settings.right), ("left", settings.left)):
        found += [
            usual("condylar_inclination_deg", values.inclination_deg, side=side),
            usual("bennett_deg", values.bennett_deg, side=side),
            usual("immediate_side_shift_mm", values.immediate_side_shift_mm, side=side),
        ]
    apart = abs(settings.right.inclination_deg - settings.left.inclination_deg)
    if apart > SIDES_DIFFER_DEG:
        found.append(
            EngineWarning(
                "sides_differ",
                f"Right and left condylar inclination differ by {apart:g} deg, more than "
                f"{SIDES_DIFFER_DEG:g}. Confirm the record of both sides.",
                cite("sides_differ_2013"),
            )
        )
    table = settings.table
    found += [
        usual("intercondylar_mm", settings.intercondylar_mm),
        usual("incisal_table_deg", table.sagittal_deg),
        usual("lateral_wing_deg", table.wing_right_excursion_deg, side="right excursion"),
        usual("lateral_wing_deg", table.wing_left_excursion_deg, side="left excursion"),
        usual("plane_tilt_deg", settings.reference_plane.tilt_deg),
        usual("incisal_x_mm", settings.incisal_point_mm[0]),
        usual("incisal_y_mm", settings.incisal_point_mm[1]),
        usual("incisal_z_mm", settings.incisal_point_mm[2]),
        usual("pin_opening_mm", settings.pin_opening_mm),
    ]
    return tuple(warning for warning in found if warning is not None)


def usual(name: str, value: float, *, side: str = "") -> EngineWarning | None:
    """A warning when a value lies outside its usual limits, else nothing."""
    limit = LIMITS[name]
    if limit.usual_low <= value <= limit.usual_high:
        return None
    unit = f" {limit.unit}" if limit.unit else ""
    words = f"{limit.label}, {side}," if side else limit.label
    code = name.rsplit("_", 1)[0] + (f"_{side.replace(' ', '_')}" if side else "") + "_unusual"
    return EngineWarning(
        code,
        f"{sentence(words)} is {value:g}{unit}; usual is {limit.usual_low:g} to "
        f"{limit.usual_high:g}{unit}. Confirm it with the record.",
        cite(limit.source),
    )


def sentence(words: str) -> str:
    """The words with a capital first letter, the rest as they are."""
    return words[:1].upper() + words[1:]
