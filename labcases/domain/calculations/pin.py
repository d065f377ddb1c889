"""How far the pin goes for a millimetre at each tooth, by the articulator of a case."""

from __future__ import annotations

from labcases.domain import teeth
from labcases.domain.calculations import inputs
from labcases.domain.calculations.settings import engine_settings
from labcases.models import ArticulatorRecord, Case
from occlusion.articulator import ArticulatorSettings
from occlusion.errors import OcclusionError
from occlusion.pin import Point, open_pin
from occlusion.sources import cite
from occlusion.teeth import arch_landmarks

SOURCE = cite("pin_ratio")
"""Second molar, incisors and pin at 2, 4 and 6 inches from the axis: 1 to 2 to 3."""

_OPENING_MM = 1.0
"""A small opening: the ratio of larger ones differs by less than a hundredth."""


def pin_for_a_millimetre(case: Case) -> dict[str, float]:
    """Tooth -> millimetres at the pin for one at the tooth, over the arch of the denture.

    Teeth stand where callipers read them, or else where the textbook has them. Nothing without
    an articulator record, or with one that the engine refuses.

    Source: Kaiser and Schelb (``occlusion/sources.toml``, pin_ratio); computed about the axis
    and not along a straight line.
    """
    stands = places(case)
    if stands is None:
        return {}
    settings, points = stands
    try:
        opened = open_pin(settings=settings, opening_mm=_OPENING_MM, points_mm=points)
    except OcclusionError:
        return {}
    return {tooth: _OPENING_MM / drop for tooth, drop in opened.drop_mm.items() if drop > 0}


def places(case: Case) -> tuple[ArticulatorSettings, dict[str, Point]] | None:
    """The settings, and where each denture tooth stands; nothing where the engine refuses them."""
    record: ArticulatorRecord | None = getattr(case, "articulator", None)
    if record is None:
        return None
    row = case.prescription
    try:
        settings = engine_settings(inputs.articulator(record))
        found = arch_landmarks(
            arch="upper" if row.arch == "upper" else "lower",
            incisal_point_mm=settings.incisal_point_mm,
        )
    except OcclusionError:
        return None
    x0 = settings.incisal_point_mm[0]
    for site in case.sites.all():
        if site.behind_incisal_mm is not None and site.tooth in found:
            _x, y, z = found[site.tooth]
            found[site.tooth] = (x0 - float(site.behind_incisal_mm), y, z)
    return settings, {tooth: found[tooth] for tooth in teeth.replaced(row)}
