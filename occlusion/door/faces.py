"""The surfaces of a clearance request: callipers, or two scans with or without landmarks."""

from __future__ import annotations

from typing import Any, get_args

import numpy as np

from occlusion.articulator import ArticulatorSettings, Excursion, Member, Point, choose
from occlusion.clearance.callipers import oppose as oppose_callipers
from occlusion.clearance.opposed import Material, Opposed
from occlusion.clearance.scans import ScanPair
from occlusion.clearance.scans import oppose as oppose_scans
from occlusion.door.shared import Plain
from occlusion.errors import BadRequest, NoSolution, OcclusionError
from occlusion.frames import Array
from occlusion.motion import lower_position
from occlusion.ranges import EngineWarning, check_hard, check_point
from occlusion.requests import REQUIRED, take, take_list, take_text
from occlusion.sources import cite
from occlusion.surfaces.arches import set_up
from occlusion.surfaces.calliper import CalliperTooth, CompensatingCurve
from occlusion.surfaces.heightfield import height_field
from occlusion.surfaces.meshes import Mesh, read_mesh
from occlusion.surfaces.registration import (
    NamedPoint,
    Registration,
    moved_mesh,
    register,
    settle,
)
from occlusion.surfaces.samples import Region, samples_of
from occlusion.surfaces.seating import Mark

MOST_TEETH, MOST_REGIONS, MOST_LANDMARKS = 16, 64, 200

TOOTH_KEYS: Plain = {
    "tooth": REQUIRED,
    "material": REQUIRED,
    "md_mm": None,
    "bl_mm": None,
    "tip_separation_mm": None,
    "cusp_angle_deg": None,
    "tip_height_mm": None,
    "tilt_deg": None,
    "centre_mm": None,
}
"""Keys of one tooth from callipers."""

SURFACE_KEYS = ("lower_surface", "upper_surface")

SCAN_KEYS = (
    *("lower_landmarks", "upper_landmarks", "regions"),
    *("lower_material", "upper_material"),
)
"""Keys that belong to scans alone."""

COARSE_MM = 0.2
"""Pitch at which scans are settled into contact."""

LIKELY_ERRORS = 3.0
"""So many standard deviations a scan may slide when it settles; a longer way is warned of."""

MOST_SLIDE_MM = 0.5
"""A longer slide is never taken for a reading error (common practice, no source)."""


def read_faces(told: Plain, settings: ArticulatorSettings, cusp_half_width_deg: float) -> Opposed:
    """The two surfaces that a request names.

    Parameters
    ----------
    told : dict
        Keys of the request.
    settings : ArticulatorSettings
        For the place of arches that are laid out.
    cusp_half_width_deg : float
        How far cusps read by callipers may be off; 0: taken as exact.

    Raises
    ------
    OcclusionError
    """
    scanned = [key for key in SURFACE_KEYS if told[key] is not None]
    if (told["calliper"] is None) == (not scanned):
        raise BadRequest(
            "Send either calliper or both lower_surface and upper_surface.",
            field="calliper",
            limit=["calliper", *SURFACE_KEYS],
        )
    if told["calliper"] is not None:
        _refuse(told, SCAN_KEYS, "with calliper")
        return _callipers(told, settings, cusp_half_width_deg)
    if len(scanned) < 2:
        missing = next(key for key in SURFACE_KEYS if key not in scanned)
        raise BadRequest(f"Key {missing} is missing. Send both scans.", field=missing)
    _refuse(told, ("curve",), "with scans")
    return _scans(told)


def _refuse(told: Plain, keys: tuple[str, ...], when: str) -> None:
    for key in keys:
        if told[key] is not None:
            raise BadRequest(f"Key {key} has no meaning {when}. Leave it out.", field=key)


def _callipers(told: Plain, settings: ArticulatorSettings, half_width_deg: float) -> Opposed:
    given = take(
        told["calliper"],
        field="calliper",
        keys={"upper": REQUIRED, "lower": REQUIRED, "curve": None, "marks": None},
    )
    if given["curve"] is not None and told["curve"] is not None:
        raise BadRequest("The curve is given twice. Give it once.", field="curve")
    arches = set_up(
        upper=_teeth(given["upper"], "upper"),
        lower=_teeth(given["lower"], "lower"),
        incisal_point_mm=settings.incisal_point_mm,
        curve=_curve(given["curve"] if told["curve"] is None else told["curve"]),
        marks=[] if given["marks"] is None else _marks(given["marks"], settings),
        settings=settings,
    )
    widths = {"natural": half_width_deg, "denture": half_width_deg} if half_width_deg else None
    return oppose_callipers(arches, pitch_mm=_pitch(told["pitch_mm"]), cusp_half_width_deg=widths)


def _teeth(value: object, arch: Member) -> list[CalliperTooth]:
    teeth = []
    for index, entry in enumerate(take_list(value, field=f"calliper.{arch}", most=MOST_TEETH)):
        field = f"calliper.{arch}.{index}"
        keys = take(entry, field=field, keys=TOOTH_KEYS)
        centre = keys["centre_mm"]
        if centre is not None:
            keys["centre_mm"] = tuple(take_list(centre, field=f"{field}.centre_mm", most=3))
        try:
            teeth.append(CalliperTooth(**keys))
        except OcclusionError as refusal:
            inner = refusal.field.removeprefix(f"{keys['tooth']}.")
            refusal.field = f"{field}.{inner}"
            raise
    return teeth


def _marks(value: object, settings: ArticulatorSettings) -> list[Mark]:
    """Contacts that were seen: tooth, and the position of the lower member at that moment."""
    marks = []
    for index, entry in enumerate(take_list(value, field="calliper.marks", most=MOST_TEETH * 4)):
        field = f"calliper.marks.{index}"
        keys = take(
            entry,
            field=field,
            keys={
                "tooth": REQUIRED,
                "excursion": REQUIRED,
                "blend": 0,
                "travel_mm": REQUIRED,
                "travel_along": REQUIRED,
            },
        )
        try:
            excursion = Excursion(
                kind=keys["excursion"],
                blend=keys["blend"],
                travel_mm=keys["travel_mm"],
                travel_along=keys["travel_along"],
            )
            position = lower_position(settings=settings, excursion=excursion)
            marks.append(Mark(tooth=keys["tooth"], transform=position.transform))
        except OcclusionError as refusal:
            refusal.field = f"{field}.{refusal.field.removeprefix('marks.')}"
            raise
    return marks


def _curve(value: object) -> CompensatingCurve | None:
    if value is None:
        return None
    told = take(value, field="curve", keys={"radius_mm": 101.6, "lowest_mm": None})
    lowest = told["lowest_mm"]
    if lowest is not None:
        lowest = tuple(take_list(lowest, field="curve.lowest_mm", exactly=2))
    return CompensatingCurve(radius_mm=told["radius_mm"], lowest_mm=lowest)


def _pitch(value: object) -> float:
    return check_hard("pitch_mm", value)


def _scans(told: Plain) -> Opposed:
    regions = _regions(told["regions"])
    pitch = _pitch(told["pitch_mm"])
    places = {region.name: region.centre_mm for region in regions}
    meshes: dict[Member, Mesh] = {}
    placed: dict[Member, Registration] = {}
    members: tuple[Member, ...] = ("lower", "upper")
    for member in members:
        path = take_text(told[f"{member}_surface"], field=f"{member}_surface")
        meshes[member] = read_mesh(path, field=f"{member}_surface")
        if told[f"{member}_landmarks"] is not None:
            placed[member] = _placed(meshes[member], told[f"{member}_landmarks"], member, places)
            meshes[member] = placed[member].mesh
    told_so, warnings = _said(placed)
    if placed:
        meshes["lower"], sentence, far = _settled(meshes, placed)
        told_so.append(sentence)
        warnings += far
    else:
        told_so.append("Both scans stand in articulator axes already and are not moved.")
    sds = {
        name: sum(one.likely_error_mm[name] ** 2 for one in placed.values()) ** 0.5
        for name in places
    }
    pair = ScanPair(meshes["lower"], meshes["upper"], sds, tuple(told_so), tuple(warnings))
    made_of: dict[str, Material] = {}
    defaults: tuple[tuple[str, Material], ...] = (
        ("upper_material", "denture"),
        ("lower_material", "natural"),
    )
    for key, default in defaults:
        if told[key] is not None:
            choose(told[key], get_args(Material), field=key, label=key.replace("_", " "))
        made_of[key] = default if told[key] is None else told[key]
    return oppose_scans(pair, regions=regions, pitch_mm=pitch, **made_of)


def _regions(value: object) -> list[Region]:
    if value is None:
        return []
    regions = []
    for index, entry in enumerate(take_list(value, field="regions", most=MOST_REGIONS)):
        field = f"regions.{index}"
        keys = take(
            entry, field=field, keys={"name": REQUIRED, "centre_mm": REQUIRED, "radius_mm": 6}
        )
        centre = take_list(keys["centre_mm"], field=f"{field}.centre_mm", exactly=2)
        x, y = (
            check_hard("coordinate_mm", item, field=f"{field}.centre_mm.{axis}")
            for axis, item in zip("xy", centre, strict=True)
        )
        radius = check_hard("region_radius_mm", keys["radius_mm"], field=f"{field}.radius_mm")
        name = take_text(keys["name"], field=f"{field}.name")
        regions.append(Region(name=name, centre_mm=(x, y), radius_mm=radius))
    return regions


def _placed(
    mesh: Mesh, value: object, member: Member, places: dict[str, tuple[float, float]]
) -> Registration:
    field = f"{member}_landmarks"
    points = []
    for index, entry in enumerate(take_list(value, field=field, most=MOST_LANDMARKS)):
        keys = take(
            entry,
            field=f"{field}.{index}",
            keys={"name": REQUIRED, "scan_mm": REQUIRED, "articulator_mm": REQUIRED},
        )
        take_text(keys["name"], field=f"{field}.{index}.name")
        for key in ("scan_mm", "articulator_mm"):
            keys[key] = tuple(take_list(keys[key], field=f"{field}.{index}.{key}", exactly=3))
        try:
            points.append(NamedPoint(**keys))
        except OcclusionError as refusal:
            refusal.field = f"{field}.{index}.{refusal.field}"
            raise
    height = sum(point.articulator_mm[2] for point in points) / max(len(points), 1)
    at = {
        name: check_point([x, y, height], field=f"{field}.height")
        for name, (x, y) in places.items()
    }
    return register(mesh, points, at_mm=at, member=member, field=field)


def _settled(
    meshes: dict[Member, Mesh], placed: dict[Member, Registration]
) -> tuple[Mesh, str, list[EngineWarning]]:
    """The lower scan at rest under the upper one, and how far it had to move."""
    below = height_field(meshes["lower"].triangles_mm, member="lower", pitch_mm=COARSE_MM)
    above = height_field(meshes["upper"].triangles_mm, member="upper", pitch_mm=COARSE_MM)
    corners = meshes["lower"].triangles_mm.reshape(-1, 3).astype(float)
    x, y, z = (corners.min(axis=0) + corners.max(axis=0)) / 2.0
    sideways, _ = sorted(_error_at(placed, (float(x), float(y), float(z)))[:2], reverse=True)
    slide = min(LIKELY_ERRORS * sideways, MOST_SLIDE_MM)
    try:
        rest = settle(below, samples_of(above), slide_mm=slide)
    except NoSolution as refusal:
        residuals = " ".join(_said(placed)[0])
        raise NoSolution(
            f"{refusal.text} {residuals}", field=f"{next(iter(placed))}_landmarks"
        ) from refusal
    sentence = (
        f"After registration the lower scan was settled into {len(rest.contacts_mm)} contacts; it "
        f"moved by up to {rest.moved_mm:.2f} mm ({rest.lift_mm:+.2f} mm up, tilted "
        f"{rest.tilt_deg:.2f} deg; slid {rest.slide_mm:.2f} mm where {slide:.2f} mm each way are "
        f"allowed, turned {rest.twist_deg:.2f} deg)."
    )
    likely = float(sum(_error_at(placed, rest.moved_at_mm) ** 2) ** 0.5)
    far = EngineWarning(
        "settled_far",
        f"Settling moved the lower scan by {rest.moved_mm:.2f} mm where its points are likely off "
        f"by {likely:.2f} mm. Read the points again, on both casts.",
        cite("geometry"),
    )
    moved = moved_mesh(meshes["lower"], rest.transform)
    return moved, sentence, [far] if rest.moved_mm > LIKELY_ERRORS * likely else []


def _error_at(placed: dict[Member, Registration], place_mm: Point) -> Array:
    """Standard deviations of x, y and z between the scans at a place."""
    return np.sqrt(sum(one.error_at(place_mm) ** 2 for one in placed.values()))


def _said(placed: dict[Member, Registration]) -> tuple[list[str], list[EngineWarning]]:
    told: list[str] = []
    warnings: list[EngineWarning] = []
    for member, one in placed.items():
        worst = max(one.residual_mm.items(), key=_second)
        told.append(
            f"The {member} scan was registered by {len(one.residual_mm)} points with "
            f"{one.rms_mm:.2f} mm left (root mean square, most at {worst[0]}: {worst[1]:.2f} mm); "
            "what is left does not measure the error at the teeth."
        )
        warnings += one.warnings
    return told, warnings


def _second(pair: tuple[Any, float]) -> float:
    return pair[1]
