"""Drops of four teeth, drawn: what the tests of draws share."""

from functools import cache

from occlusion import spread
from occlusion.articulator import Excursion
from occlusion.motion import landmark_movement, lower_positions
from tests.occlusion.bench import CANINE, M1, M2, PM1, settings_of, symmetric, tooth

NOMINAL = symmetric(30, 20, bennett=15, wing=20, opening=1.0)
PLACES = {"canine": CANINE, "first_premolar": PM1, "first_molar": M1, "second_molar": M2}
SIDES = {"protrusive": "right", "working": "right", "balancing": "left"}
ANGLES = dict.fromkeys(
    ("condylar_inclination_deg", "bennett_deg", "incisal_table_deg", "lateral_wing_deg"), 5.0
)
PIN = {"pin_opening_mm": 0.5}
ERRORS = {"angles": ANGLES, "pin": PIN, "angles and pin": ANGLES | PIN}


def drops(side, travel=3.0):
    """Drop of four teeth at the end of a movement, as a function of many settings."""
    kind = "protrusive" if side == "protrusive" else "right"
    points = [tooth(place, SIDES[side]) for place in PLACES.values()]
    excursion = Excursion(kind=kind, travel_mm=travel, travel_along="horizontal")

    def of(many):
        positions = lower_positions(settings=many, excursion=excursion, steps=2)
        return -landmark_movement(positions, points)[:, -1, :, 2]

    return of


@cache
def drawn(side, errors, draws=1000, seed=1):
    sample = spread.draws_of(
        settings_of(NOMINAL), half_widths=ERRORS[errors], draws=draws, seed=seed
    )
    return spread.spread_by_draws(drops(side), sample)
