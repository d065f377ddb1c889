"""Passes with foil on an instrument that is other than entered, as a bench would show them.

At every position the teeth that overlap most lift the pin, and foil marks where what is left of
a gap is smaller than foil and wax give. Seeded: what is read of each tooth is a little off.
"""

from functools import cache

import numpy as np

from occlusion.clearance import callipers, surface_clearance, travels_of
from occlusion.explaining import MOVEMENTS, SeenPass, possible_causes
from occlusion.explaining.explain import compare, gaps_of
from occlusion.front import FrontGuidance
from occlusion.spread import changed
from occlusion.surfaces.arches import set_up
from occlusion.surfaces.calliper import CalliperTooth
from tests.occlusion.bench import INCISAL, settings_of, symmetric

FRONT = FrontGuidance(guided_by="table", overjet_mm=2.0, overbite_mm=0.5)
ASKED = travels_of(FRONT)
SETTINGS = settings_of(symmetric(30, 3, bennett=10, wing=4))
#: Inner incline, mesial and distal slope, tilt, outer incline of the upper teeth: set to balance,
#: so that every tooth stays within 0.2 mm of its antagonists in every excursion.
FORMS = {
    "4": (40.0, 36.0, 23.0, -15.0, 35.0),
    "5": (0.0, 45.0, 36.0, -15.0, 58.0),
    "6": (39.0, 4.0, 26.0, -15.0, 65.0),
    "7": (15.0, 13.0, 6.0, 13.0, 60.0),
}
LOWER_CUSP_DEG = {"3": 15.0, "4": 7.0, "5": 35.0, "6": 20.0, "7": 19.0, "8": 15.0}
UPPER = [f"{q}{n}" for q in "12" for n in "4567"]

#: A gap smaller than this marks, and so does an overlap that wax gives way to.
FOIL_MM, GIVE_MM = 0.04, 0.10


def arches(*, natural=(), heights=None):
    """An upper denture set to balance over natural teeth; some upper teeth may be natural too.

    ``heights`` are tip heights that callipers read of natural teeth.
    """
    heights = heights or {}
    upper = [
        CalliperTooth(
            tooth=tooth,
            material="natural" if tooth in natural else "denture",
            cusp_angle_deg=FORMS[tooth[1]][0],
            mesial_slope_deg=FORMS[tooth[1]][1],
            distal_slope_deg=FORMS[tooth[1]][2],
            tilt_deg=FORMS[tooth[1]][3],
            outer_incline_deg=FORMS[tooth[1]][4],
            tip_height_mm=heights.get(tooth),
        )
        for tooth in UPPER
    ]
    lower = [
        CalliperTooth(
            tooth=f"{q}{n}",
            material="natural",
            cusp_angle_deg=LOWER_CUSP_DEG[n],
            mesial_slope_deg=15.0,
            distal_slope_deg=15.0,
            tip_height_mm=heights.get(f"{q}{n}"),
        )
        for q in "34"
        for n in "345678"
    ]
    return set_up(upper=upper, lower=lower, incisal_point_mm=INCISAL)


@cache
def bench():
    """The set-up as entered, and everything that may be otherwise, worked out once."""
    built = arches()
    gaps = gaps_of(settings=SETTINGS, arches=built, asked=ASKED, front=FRONT)
    return gaps, possible_causes(SETTINGS, (*built.upper, *built.lower))


def told(passes):
    """What is said of passes on the set-up as entered."""
    gaps, causes = bench()
    return compare(gaps, passes, causes)


def seen(built=None, settings=SETTINGS, *, seed=None, noise_mm=0.02):
    """All four passes of a set-up on an instrument."""
    built = built or bench()[0].arches
    found = surface_clearance(
        settings=settings,
        asked=ASKED,
        surfaces=callipers.oppose(built, pitch_mm=0.2),
        front=FRONT,
    )
    random = np.random.default_rng(seed)
    place = {form.tooth: form.centre_mm[0] for form in (*built.upper, *built.lower)}
    passes = []

    def foil(movement, names, gaps):
        x = np.array([place[name] for name in names])[:, None]
        gaps = gaps + random.normal(0.0, noise_mm, (len(names), 1))
        at_pin = np.maximum((-gaps - GIVE_MM) * INCISAL[0] / x, 0.0).max(axis=0)
        marked = (gaps + at_pin * x / INCISAL[0]).min(axis=1) < FOIL_MM
        teeth = [name for name, one in zip(names, marked, strict=True) if one]
        passes.append(SeenPass.of(movement, *teeth))

    for excursion in found.excursions:
        gaps = np.array([[step.vertical_mm for step in one.series] for one in excursion.regions])
        travel = np.array([step.travel_mm for step in excursion.regions[0].series])
        names = [one.name for one in excursion.regions]
        if excursion.excursion == "protrusive":
            foil("centric", names, gaps[:, :1])
        foil(excursion.excursion, names, gaps[:, travel >= travel[-1] / 3.0])
    return passes


def with_change(name, by):
    """The settings with one of them other than entered: ``bennett_deg.right``."""
    quantity, _, side = name.partition(".")
    return changed(settings=SETTINGS, quantity=quantity, by=by, side=side or "both")


def seen_with(name, by, *, seed):
    """Passes where one thing is other than entered: a setting, or a denture tooth set too high."""
    if name.startswith("tooth_height_mm."):
        tooth = name.partition(".")[2]
        down = -by if tooth[0] in "12" else by
        return seen(bench()[0].arches.moved({tooth: down}), seed=seed)
    return seen(settings=with_change(name, by), seed=seed)


def at_random(seed, share=0.35):
    """Passes in which each tooth marks by chance."""
    random = np.random.default_rng(seed)
    return [
        SeenPass.of(movement, *(tooth for tooth in UPPER if random.random() < share))
        for movement in MOVEMENTS
    ]


def mirrored(passes):
    """The passes as a mirror in the median plane shows them."""
    side = {"right": "left", "left": "right"}
    across = {"1": "2", "2": "1", "3": "4", "4": "3"}
    return [
        SeenPass.of(
            side.get(one.movement, one.movement),
            *(across[mark.tooth[0]] + mark.tooth[1] for mark in one.marks),
        )
        for one in passes
    ]
