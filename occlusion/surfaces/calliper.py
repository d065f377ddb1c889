"""What callipers tell of a tooth and of the compensating curve, checked when it is made.

Without a scan a tooth is drawn from a few measures: its widths, how far its cusp tips stand
apart and from the curve, and the angle of its cusps. What is not given comes from
``occlusion.surfaces.textbook``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import get_args

from occlusion.articulator import Member, choose
from occlusion.curves import SPHERE_RADIUS_MM
from occlusion.errors import BadRequest, NotANumber, OutOfRange, kind_of
from occlusion.ranges import LIMITS, EngineWarning, check_hard, check_point, usual
from occlusion.sources import cite
from occlusion.surfaces.cusps import Material
from occlusion.teeth import arch_of, check_side, check_tooth, crown, is_anterior

LEAST_DEPTH_MM = 0.3
"""A depth below this cannot be told from callipers: 5 deg of cusp angle are 0.23 mm at 3 mm of
travel (computed; source: geometry)."""

MEASURES = {
    "md_mm": ("crown_width_mm", "mesiodistal width"),
    "bl_mm": ("crown_width_mm", "buccolingual width"),
    "tip_separation_mm": ("tip_separation_mm", "distance of the cusp tips"),
    "cusp_angle_deg": ("cusp_angle_deg", "cusp angle"),
    "tip_height_mm": ("tip_height_mm", "height of the tips over the curve"),
    "tilt_deg": ("tooth_tilt_deg", "tilt"),
    "outer_incline_deg": ("tooth_incline_deg", "outer incline"),
    "mesial_slope_deg": ("tooth_incline_deg", "mesial slope"),
    "distal_slope_deg": ("tooth_incline_deg", "distal slope"),
    "tip_roundness_mm": ("tip_roundness_mm", "roundness of the tip"),
}
"""Limit and words of each measure; the facet of a front tooth has its own limit."""


@dataclass(frozen=True, kw_only=True)
class CalliperTooth:
    """One tooth as measured; None stands for the textbook.

    Attributes
    ----------
    tooth : str
        ISO 3950 number.
    material : {"denture", "natural"}
        A denture tooth is settled into contact; a natural one stays where it stands.
    md_mm, bl_mm : float, optional
        Mesiodistal and buccolingual crown width.
    tip_separation_mm : float, optional
        From the buccal to the lingual tips. Given for a lower first premolar, it gets a
        lingual cusp as high as the buccal one. Front teeth have none.
    cusp_angle_deg : float, optional
        Inner inclines of a back tooth; the palatal facet of an upper, the labial side of a
        lower front tooth.
    tip_height_mm : float, optional
        How far the tips stand above the curve: on a lower tooth positive is over-erupted, on an
        upper one positive is short. A settled tooth is settled from there.
    tilt_deg : float, optional
        Lean in the sagittal plane of the tooth, on top of the curve's slope. Positive: the
        distal end stands higher, so that upper distal and lower mesial inclines are steeper.
    centre_mm : tuple of 2 or 3 floats, optional
        Middle between the rows of tips, or of the incisal edge; with z also the height of the
        tips there, in the place of the curve. It stands instead of the laid out place.
    outer_incline_deg, mesial_slope_deg, distal_slope_deg : float, optional
        The other inclines of the cusps. Mesial and distal slopes of a back tooth are as steep
        as its cusp angle. On a front tooth outer is the side that is not the facet.
    tip_roundness_mm : float, optional
        rho of the cusps.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange, SidesLookSwapped
    """

    tooth: str
    material: Material
    md_mm: float | None = None
    bl_mm: float | None = None
    tip_separation_mm: float | None = None
    cusp_angle_deg: float | None = None
    tip_height_mm: float | None = None
    tilt_deg: float | None = None
    centre_mm: tuple[float, ...] | None = None
    outer_incline_deg: float | None = None
    mesial_slope_deg: float | None = None
    distal_slope_deg: float | None = None
    tip_roundness_mm: float | None = None

    def __post_init__(self) -> None:
        tooth = check_tooth(self.tooth)
        choose(self.material, get_args(Material), field=f"{tooth}.material", label=f"tooth {tooth}")
        for name, (limit, words) in MEASURES.items():
            value = getattr(self, name)
            if value is None:
                continue
            if name == "cusp_angle_deg" and is_anterior(tooth):
                limit, words = "front_facet_deg", "facet"
            checked = check_hard(
                limit, value, field=f"{tooth}.{name}", label=f"{words} of tooth {tooth}"
            )
            object.__setattr__(self, name, checked)
        self._check_separation()
        if self.centre_mm is not None:
            object.__setattr__(self, "centre_mm", _centre(tooth, self.centre_mm))

    def _check_separation(self) -> None:
        field = f"{self.tooth}.tip_separation_mm"
        if self.tip_separation_mm is None:
            return
        if is_anterior(self.tooth):
            raise BadRequest(
                f"Tooth {self.tooth} is a front tooth and has one edge or tip. Leave the distance "
                "of its cusp tips empty.",
                field=field,
                value=self.tip_separation_mm,
            )
        width = crown(self.tooth).buccolingual_mm if self.bl_mm is None else self.bl_mm
        if self.tip_separation_mm >= width:
            raise OutOfRange(
                f"The cusp tips of tooth {self.tooth} stand {self.tip_separation_mm:g} mm apart, "
                f"but the crown is {width:g} mm wide. Enter less than the buccolingual width.",
                field=field,
                value=self.tip_separation_mm,
                limit=width,
            )

    @property
    def member(self) -> Member:
        """The arch that it stands in."""
        return arch_of(self.tooth)

    @property
    def defaults(self) -> frozenset[str]:
        """Names of the measures that the textbook stands for."""
        return frozenset(name for name in MEASURES if getattr(self, name) is None)

    def warnings(self) -> list[EngineWarning]:
        """What is unusual about the measures that were given."""
        found = []
        for name, (limit, _words) in MEASURES.items():
            value = getattr(self, name)
            if value is None:
                continue
            if name == "cusp_angle_deg" and is_anterior(self.tooth):
                limit = "front_facet_deg"
            found.append(usual(limit, value, side=f"tooth {self.tooth}"))
        return [warning for warning in found if warning is not None]


@dataclass(frozen=True, kw_only=True)
class CompensatingCurve:
    """The sphere that cusp tips and incisal edges stand on.

    Attributes
    ----------
    radius_mm : float
        Source of the classic one: sphere.
    lowest_mm : tuple of float, optional
        x and z of its lowest point, in the median plane. None: where the incisal point and the
        lower second molars come to one height over the plane of the settings.

    Raises
    ------
    NotANumber, OutOfRange
    """

    radius_mm: float = SPHERE_RADIUS_MM
    lowest_mm: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        object.__setattr__(
            self,
            "radius_mm",
            check_hard("curve_radius_mm", self.radius_mm, field="curve.radius_mm"),
        )
        if self.lowest_mm is None:
            return
        given = self.lowest_mm
        if not isinstance(given, Sequence) or isinstance(given, str) or len(given) != 2:
            raise NotANumber(
                f"Lowest point of the curve is {kind_of(given)}, not a list of two numbers. Enter "
                "x and z in millimetres, in articulator axes.",
                field="curve.lowest_mm",
            )
        x, z = (
            check_hard(
                "coordinate_mm",
                value,
                field=f"curve.lowest_mm.{axis}",
                label=f"{axis} of the lowest point of the curve",
            )
            for axis, value in zip("xz", given, strict=True)
        )
        object.__setattr__(self, "lowest_mm", (x, z))

    def warnings(self) -> list[EngineWarning]:
        """A word on a radius that no natural curve has."""
        limit = LIMITS["curve_radius_mm"]
        if limit.usual_low <= self.radius_mm <= limit.usual_high:
            return []
        return [
            EngineWarning(
                "curve_radius_unusual",
                f"A compensating curve of {self.radius_mm:g} mm is not a usual curve; usual is "
                f"{limit.usual_low:g} to {limit.usual_high:g} mm. Change the table or the cusps "
                "instead, or confirm it.",
                cite(limit.source),
            )
        ]


def _centre(tooth: str, given: object) -> tuple[float, ...]:
    """A place of two or three coordinates, on the tooth's own side."""
    field, words = f"{tooth}.centre_mm", f"centre of tooth {tooth}"
    if isinstance(given, Sequence) and not isinstance(given, str) and len(given) == 2:
        x, y, _z = check_point((*given, 0.0), field=field, label=words)
        place: tuple[float, ...] = (x, y)
    else:
        place = check_point(given, field=field, label=words)
    check_side(tooth, place[1], field=field)
    return place
