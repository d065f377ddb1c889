"""Two arches from callipers made ready for a check."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import partial

import numpy as np

from occlusion import frames
from occlusion.articulator import Member
from occlusion.clearance.opposed import Facing, FormGap, FormReading, Material, Opposed
from occlusion.frames import Array
from occlusion.surfaces.arches import Arches
from occlusion.surfaces.cusps import ToothForm
from occlusion.surfaces.samples import Samples
from occlusion.teeth import other_arch

NATURAL_CUSP_DEG = 5.0
"""How far a cusp read by callipers may be off either way (common practice, no source)."""

DENTURE_CUSP_DEG = 1.0
"""How far a denture tooth's cusp may be from the angle it is sold with (common practice,
no source)."""

STEP_DEG = 1.0

_MEMBERS: tuple[Member, ...] = ("upper", "lower")


def oppose(
    arches: Arches, *, pitch_mm: float = 0.1, cusp_half_width_deg: Mapping[str, float] | None = None
) -> Opposed:
    """Heights and samples of a set-up.

    Each upper tooth is a region, looked at against the lower arch. Where lower denture teeth
    stand against natural upper ones they are looked at from their own side instead, because
    only they could yield.

    Parameters
    ----------
    arches : Arches
        The set-up.
    pitch_mm : float
        Distance of the cells.
    cusp_half_width_deg : mapping of "denture" and "natural" to float, optional
        How far cusp angles may be off, by material. None: they are taken as exact.
    """
    members = _looked_from(arches)
    facings = tuple(_facing(arches, member, names, pitch_mm) for member, names in members.items())
    forms: tuple[FormReading, ...] = ()
    if cusp_half_width_deg is not None:
        as_read = partial(form_gaps, arches)
        forms = tuple(
            _form(arches, as_read, steeper, members, cusp_half_width_deg) for steeper in _MEMBERS
        )
    material: dict[str, Material] = {
        form.tooth: arches.material(form.tooth) for form in (*arches.upper, *arches.lower)
    }
    return Opposed(
        facings=facings,
        material=material,
        place_at=lambda member, x, y: arches.place_at(
            "lower" if member == "lower" else "upper", x, y
        ),
        forms=forms,
        settled=frozenset(arches.settled_mm),
        assumptions=arches.assumptions,
        warnings=arches.warnings,
    )


def _looked_from(arches: Arches) -> dict[Member, list[str]]:
    """Which teeth are regions, by the member that is sampled."""
    own = [
        form.tooth
        for form in arches.lower
        if form.material == "denture" and _against(arches, form) != "denture"
    ]
    upper = [form.tooth for form in arches.upper if form.material == "denture" or not own]
    found: dict[Member, list[str]] = {"upper": upper, "lower": own}
    return {member: names for member, names in found.items() if names}


def _against(arches: Arches, form: ToothForm) -> Material | None:
    """Of what the tooth over its centre is, else the nearest one of the other arch."""
    other = other_arch(form.member)
    facing = arches.place_at(other, *form.centre_mm)
    if facing is not None:
        return arches.material(facing)
    nearest = min(
        arches.forms(other), key=lambda one: math.dist(one.centre_mm, form.centre_mm), default=None
    )
    return None if nearest is None else nearest.material


def _facing(arches: Arches, member: Member, names: list[str], pitch_mm: float) -> Facing:
    return Facing(
        field=arches.field(other_arch(member), pitch_mm=pitch_mm),
        samples=only(arches.samples(member, pitch_mm=pitch_mm), names),
    )


def only(samples: Samples, names: list[str]) -> Samples:
    """The samples of some regions, numbered anew in that order."""
    number = np.full(len(samples.names) + 1, -1, dtype=np.int16)
    for new, name in enumerate(names):
        number[samples.names.index(name)] = new
    region = number[samples.region]  # -1 reads the last entry, which stays -1
    kept = region >= 0
    return replace(samples.taken(kept), region=region[kept].astype(np.int16), names=tuple(names))


def _form(
    arches: Arches,
    as_read: FormGap,
    steeper: Member,
    members: Mapping[Member, list[str]],
    half_width: Mapping[str, float],
) -> FormReading:
    """Gaps with the cusps of one arch a degree steeper."""
    changed = arches.changed(
        upper_cusp_deg=STEP_DEG if steeper == "upper" else 0.0,
        lower_cusp_deg=STEP_DEG if steeper == "lower" else 0.0,
    )
    widths: dict[str, float] = {}
    for member, names in members.items():
        for name in names:
            form = next(one for one in arches.forms(member) if one.tooth == name)
            stands = form.material if member == steeper else _against(arches, form)
            widths[name] = half_width.get(stands, 0.0) if stands is not None else 0.0
    return FormReading(
        name=f"cusp angle of the {steeper} teeth",
        half_width=widths,
        as_read=as_read,
        larger=partial(form_gaps, changed),
    )


def form_gaps(arches: Arches, member: str, places_mm: Array, transform: Array) -> Array:
    """Gaps of places (m, 2) of one arch, from its forms themselves and not from a grid.

    ``transform`` is one position for all of them, or (m, 4, 4).
    """
    own: Member = "lower" if member == "lower" else "upper"
    x, y = places_mm[:, 0], places_mm[:, 1]
    points = np.column_stack([x, y, arches.heights(own, x, y)])
    T = frames.across(transform, own)
    q = np.einsum("...ij,...j->...i", T[..., :3, :3], points) + T[..., :3, 3]
    surface = arches.heights(other_arch(own), q[:, 0], q[:, 1])
    gaps = (q[:, 2] - surface) * (1.0 if own == "upper" else -1.0)
    return np.where(np.isnan(gaps), np.inf, gaps)
