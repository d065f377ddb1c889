"""Cusp form against the guidance of the settings: what can be balanced, what interferes.

A facet in contact at maximum intercuspation keeps contact where it is as steep as the path
of its tooth, interferes where it is steeper and parts where it is flatter.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal, get_args

import numpy as np

from occlusion import frames
from occlusion.articulator import ArticulatorSettings, Excursion, Kind, Point, choose
from occlusion.errors import BadRequest
from occlusion.frames import Array
from occlusion.motion import facet_gap_mm, lower_positions, path_angle_deg
from occlusion.ranges import check_hard, check_point, sentence
from occlusion.schemes import POSTERIOR, Role, Scheme
from occlusion.selection._cusp_words import advice_assumptions, advice_sentences, role_words
from occlusion.spread import check_half_widths, root_sum_square, variations
from occlusion.teeth import arch_landmarks, check_side, check_tooth, is_anterior, side_of

CUSP_ANGLES_DEG: dict[float, str] = {
    0.0: "quoted",
    10.0: "recalled",
    20.0: "quoted",
    22.0: "recalled",
    30.0: "recalled",
    33.0: "quoted",
}
"""Usual cusp angles of denture teeth, and how each was read (source: cusp_forms)."""

TIP_SEPARATION_MM = 5.0
"""Buccolingual distance of the cusp tips where none is given (common practice, no source)."""

BALANCE_DEG = 2.0
"""A cusp this near to the path counts as in balance (common practice, no source)."""

TEETH = ("17", "16", "26", "27")
"""Teeth that are looked at where none are given: the ones that meet first in movement."""

_READ = (
    "condylar_inclination_deg",
    "bennett_deg",
    "immediate_side_shift_mm",
    "incisal_table_deg",
    "lateral_wing_deg",
)
"""Readings that count here: the pin is closed, and a cusp angle is as the tooth has it."""

NINETY_PERCENT = 1.6449
"""Standard deviations that hold 90 of 100 normal errors to both sides."""

Fit = Literal["in balance", "interferes", "parts", "in doubt"]
State = Literal["as wanted", "not as wanted", "scheme silent", "in doubt"]

ROLES: tuple[Role, ...] = get_args(Role)


@dataclass(frozen=True)
class CuspInRole:
    """A cusp form in one kind of movement.

    Attributes
    ----------
    role : str
        Protrusive, working or balancing.
    effective_deg : float
        Cusp angle with the tilt of the tooth, the cusp's slope along the path.
    path_deg, gap_mm : tuple of float
        Lowest and highest path angle and gap of the teeth looked at, at the whole travel,
        with the reading errors. A negative gap is an interference of that depth.
    fit : str
        In balance, interferes, parts; in doubt where the range reaches further than one.
    verdict : str
        Against the scheme.
    """

    role: Role
    effective_deg: float
    path_deg: tuple[float, float]
    gap_mm: tuple[float, float]
    fit: Fit
    verdict: State

    @property
    def sentence(self) -> str:
        said = role_words(self.fit, self.gap_mm)
        path = f"path {self.path_deg[0]:.0f} to {self.path_deg[1]:.0f} deg"
        return f"{sentence(self.role)}: {said} ({path}); {self.verdict}."


@dataclass(frozen=True)
class CuspForm:
    """One cusp angle.

    Attributes
    ----------
    angle_deg, height_mm : float
        Of the cusp, and its height for the distance of the tips.
    how_read : str
        How it was seen that such teeth are usual.
    roles : tuple of CuspInRole
        Protrusive, working, balancing.
    can_balance : bool
        In balance, or possibly so within the reading errors, in every role.
    against : tuple of str
        Roles in which the scheme does not want what it does.
    sentence : str
        The same in words.
    """

    angle_deg: float
    height_mm: float
    how_read: str
    roles: tuple[CuspInRole, ...]
    can_balance: bool
    against: tuple[Role, ...]
    sentence: str


@dataclass(frozen=True)
class CuspAdvice:
    """Every usual cusp angle against the settings, the range that could be balanced, and
    what was assumed."""

    scheme: Scheme
    travel_mm: float
    forms: tuple[CuspForm, ...]
    balanced_deg: tuple[float, float] | None
    sentences: tuple[str, ...]
    assumptions: tuple[str, ...]


def cusp_height_mm(*, cusp_angle_deg: float, tip_separation_mm: float) -> float:
    """Height of a cusp over a symmetric fossa: half the distance of the tips times tan."""
    angle = check_hard("cusp_angle_deg", cusp_angle_deg)
    width = check_hard("tip_separation_mm", tip_separation_mm)
    return width / 2.0 * math.tan(math.radians(angle))


def cusp_form(
    *,
    settings: ArticulatorSettings,
    scheme: Scheme,
    places_mm: Mapping[str, Point] | None = None,
    travel_mm: float = 3.0,
    tip_separation_mm: float = TIP_SEPARATION_MM,
    sagittal_tilt_deg: float = 0.0,
    lateral_tilt_deg: float = 0.0,
    half_widths: Mapping[str, float] | None = None,
) -> CuspAdvice:
    """How each usual cusp angle would do on these settings.

    Parameters
    ----------
    settings : ArticulatorSettings
        As read; an opened pin is taken as closed. Cusp angles are meant against its
        reference plane, too.
    scheme : {"balanced", "lingualised", "group", "canine", "flat"}
        As prescribed.
    places_mm : mapping of str to (x, y, z), optional
        Teeth to look at and where they stand; None lays the upper molars out from the
        incisal point by textbook widths.
    travel_mm : float
        Horizontal travel of the leading condyle.
    tip_separation_mm : float
        For the cusp height.
    sagittal_tilt_deg : float
        Tilt of the teeth, or slope of the compensating curve, that adds to the cusp in
        protrusion.
    lateral_tilt_deg : float
        Tilt of the crowns to the cheek: steepens balancing inclines, flattens working
        ones.
    half_widths : mapping of str to float, optional
        Reading errors; None means the usual ones, an empty mapping none. Those of pin and
        facets do not count here.

    Returns
    -------
    CuspAdvice
        Ranges over the teeth, 90 of 100 errors of reading included.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange, and what ``motion.lower_positions`` raises
    """
    choose(scheme, get_args(Scheme), field="scheme", label="scheme")
    places = _places(places_mm, settings)
    widths = {
        name: width for name, width in check_half_widths(half_widths).items() if name in _READ
    }
    settings = replace(settings, pin_opening_mm=0.0)
    tilt = check_hard("tooth_tilt_deg", sagittal_tilt_deg, field="sagittal_tilt_deg")
    lateral = check_hard("tooth_tilt_deg", lateral_tilt_deg, field="lateral_tilt_deg")
    turned = {"protrusive": tilt, "working": -lateral, "balancing": lateral}
    moved = _movements(settings, places, travel_mm, widths)
    forms = []
    for angle, how_read in CUSP_ANGLES_DEG.items():
        roles = tuple(_in_role(role, angle + turned[role], moved[role], scheme) for role in ROLES)
        height = cusp_height_mm(cusp_angle_deg=angle, tip_separation_mm=tip_separation_mm)
        forms.append(_form(angle, height, how_read, roles))
    able = [one.angle_deg for one in forms if one.can_balance]
    balanced = (min(able), max(able)) if able else None
    return CuspAdvice(
        scheme,
        travel_mm,
        tuple(forms),
        balanced,
        advice_sentences(
            scheme, balanced=balanced, against=[one.angle_deg for one in forms if one.against]
        ),
        advice_assumptions(
            plane=settings.reference_plane.name,
            laid_out=TEETH if places_mm is None else (),
            travel_mm=travel_mm,
            balance_deg=BALANCE_DEG,
            tilts_deg=(tilt, lateral),
            half_widths=widths,
        ),
    )


@dataclass(frozen=True)
class _Moved:
    """Movements of the teeth of one role, and of the same with each reading varied."""

    as_read: Array  # (teeth, 3)
    varied: list[tuple[float, Array]]  # weight of one standard deviation, (teeth, 3)

    def range_of(self, values: list[Array]) -> tuple[float, float]:
        """Range of a value over the teeth; the first is as read, the rest varied."""
        value = values[0]
        parts = [
            np.abs(other - value) * weight
            for (weight, _), other in zip(self.varied, values[1:], strict=True)
        ]
        reach = NINETY_PERCENT * root_sum_square([*parts, np.zeros_like(value)])
        return float((value - reach).min()), float((value + reach).max())

    def all(self) -> list[Array]:
        return [self.as_read, *(moved for _, moved in self.varied)]


def _movements(
    settings: ArticulatorSettings,
    places: Mapping[str, Point],
    travel_mm: float,
    widths: Mapping[str, float],
) -> dict[Role, _Moved]:
    found = variations(settings, widths)
    several = [settings, *(one for _, one, _ in found)]
    weights = [weight for _, _, weight in found]
    names, points = list(places), np.array(list(places.values()))
    by_role: dict[Role, list[Array]] = {role: [] for role in ROLES}
    for kind in get_args(Kind):
        excursion = Excursion(kind=kind, travel_mm=travel_mm, travel_along="horizontal")
        positions = lower_positions(settings=several, excursion=excursion, steps=2)
        end = frames.into_plane(
            frames.apply(positions.transforms[:, -1], points) - points,
            tilt_deg=settings.reference_plane.tilt_deg,
        )
        for role in ROLES:
            wanted = [index for index, name in enumerate(names) if _role(name, kind) == role]
            if wanted:
                by_role[role].append(end[:, wanted])
    together = {
        role: np.concatenate(parts, axis=1) if parts else None for role, parts in by_role.items()
    }
    return {
        role: _Moved(moved[0], list(zip(weights, moved[1:], strict=True)))
        for role, moved in together.items()
        if moved is not None
    }


def _role(tooth: str, kind: Kind) -> Role:
    if kind == "protrusive":
        return "protrusive"
    return "working" if side_of(tooth) == kind else "balancing"


def _in_role(role: Role, effective: float, moved: _Moved, scheme: Scheme) -> CuspInRole:
    paths = moved.range_of([path_angle_deg(one) for one in moved.all()])
    gaps = moved.range_of([facet_gap_mm(one, effective) for one in moved.all()])
    fit = _fit(effective, paths)
    return CuspInRole(role, effective, paths, gaps, fit, _verdict(scheme, role, fit))


def _fit(effective: float, paths: tuple[float, float]) -> Fit:
    low, high = effective - paths[1], effective - paths[0]
    near = BALANCE_DEG + 1e-9
    if low >= -near and high <= near:
        return "in balance"
    if low > near:
        return "interferes"
    return "parts" if high < -near else "in doubt"


def _verdict(scheme: Scheme, role: Role, fit: Fit) -> State:
    wish = POSTERIOR[scheme, role].wish
    if fit == "interferes":
        return "not as wanted"
    if fit == "in doubt":
        return "in doubt"
    if wish == "nothing said":
        return "scheme silent"
    return "as wanted" if (wish == "contact") is (fit == "in balance") else "not as wanted"


def _form(angle: float, height: float, how_read: str, roles: tuple[CuspInRole, ...]) -> CuspForm:
    can = all(one.fit in ("in balance", "in doubt") for one in roles)
    against = tuple(one.role for one in roles if one.verdict == "not as wanted")
    words = f"{angle:g} deg, {height:.2f} mm high. " if angle else "0 deg, no cusps. "
    words += " ".join(one.sentence for one in roles)
    return CuspForm(angle, height, how_read, roles, can, against, words)


def _places(
    places_mm: Mapping[str, Point] | None, settings: ArticulatorSettings
) -> dict[str, Point]:
    if places_mm is None:
        layout = arch_landmarks(arch="upper", incisal_point_mm=settings.incisal_point_mm)
        return {tooth: layout[tooth] for tooth in TEETH}
    places = {}
    for tooth, place in places_mm.items():
        if is_anterior(check_tooth(tooth, field="places_mm")):
            raise BadRequest(
                f"Tooth {tooth} is a front tooth and has no cusp form. Enter premolars and molars.",
                field="places_mm",
                value=tooth,
            )
        places[tooth] = check_point(place, field=f"places_mm.{tooth}", label=f"place of {tooth}")
        check_side(tooth, places[tooth][1], field=f"places_mm.{tooth}")
    if not places:
        raise BadRequest("No teeth were given. Give at least one.", field="places_mm")
    return places
