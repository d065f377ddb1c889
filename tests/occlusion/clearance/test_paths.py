"""The positions that are followed, and what front teeth make of them."""

import dataclasses

import numpy as np
import pytest

from occlusion.clearance.paths import AskedExcursion, follow, follow_many, role_of, travels_of
from occlusion.errors import NegativeTravel, OutOfRange
from occlusion.front import FrontGuidance
from occlusion.motion import lower_position
from occlusion.spread import draws_of
from tests.occlusion.bench import settings_of, symmetric

SETTINGS = settings_of(symmetric(30, 10, bennett=10, wing=10, table_on="lower"))
EDGE = FrontGuidance(guided_by="table", overjet_mm=2.0, overbite_mm=0.5)
STEEP = FrontGuidance(guided_by="stone teeth", overjet_mm=2.0, overbite_mm=2.0)


def test_travel_is_overjet_and_a_millimetre_or_canine_tip_to_tip_and_at_most_six():
    far = dataclasses.replace(EDGE, overjet_mm=9.0)

    # Lateral: the root of 2 squared and 3.75 squared, half a canine of 7.5 mm.
    assert [row.travel_mm for row in travels_of(EDGE)] == pytest.approx([3.0, 4.25, 4.25])
    assert [row.travel_mm for row in travels_of(far)] == [6.0] * 3


def test_without_front_teeth_the_table_guides_to_the_end():
    asked = AskedExcursion(kind="left", travel_mm=3.0, steps=10)
    path = follow(settings=SETTINGS, asked=asked, front=None)
    last = lower_position(settings=SETTINGS, excursion=asked.excursion)

    assert path.transforms[-1] == pytest.approx(last.transform)
    assert (path.travel_mm[0], path.travel_mm[-1], path.lift) == (0.0, 3.0, None)


def test_steep_front_teeth_take_the_lead_up_to_the_edge_and_give_it_back():
    asked = AskedExcursion(kind="protrusive", travel_mm=4.0, steps=40)
    table = follow(settings=SETTINGS, asked=asked, front=None)
    teeth = follow(settings=SETTINGS, asked=asked, front=STEEP)

    apart = np.abs(teeth.transforms - table.transforms).max(axis=(1, 2))
    assert teeth.conditional
    assert teeth.lift.lift_mm > 1.0
    assert apart[10] > 0.005  # half a degree about the hinge axis
    assert apart[-1] == 0.0


def test_front_teeth_that_only_compare_leave_the_path_alone():
    compared = dataclasses.replace(STEEP, guided_by="table")
    asked = AskedExcursion(kind="protrusive", travel_mm=3.0)
    path = follow(settings=SETTINGS, asked=asked, front=compared)

    assert path.lift.lift_mm > 1.0
    assert path.transforms == pytest.approx(
        follow(settings=SETTINGS, asked=asked, front=None).transforms
    )


def test_drawn_settings_without_error_go_the_nominal_way_also_with_a_side_shift():
    shifted = settings_of(symmetric(30, 10, bennett=10, shift=0.6, wing=10))
    asked = AskedExcursion(kind="right", travel_mm=3.0, steps=20)
    for front in (None, STEEP):
        nominal = follow(settings=shifted, asked=asked, front=front)
        at = np.array([0, 3, len(nominal.travel_mm) - 1])
        drawn = follow_many(
            several=draws_of(shifted, half_widths={}, draws=3).settings,
            asked=asked,
            front=front,
            nominal=nominal,
            at=at,
        )

        assert drawn == pytest.approx(np.repeat(nominal.transforms[at][None], 3, axis=0))


def test_roles_follow_side_and_excursion():
    right = AskedExcursion(kind="right", travel_mm=3.0)

    assert role_of("16", right) == "working"
    assert role_of("46", right) == "working"
    assert role_of("26", right) == "balancing"
    assert role_of("26", dataclasses.replace(right, blend=1.0)) == "protrusive"


def test_a_travel_that_cannot_be_followed_is_refused_at_once():
    with pytest.raises(NegativeTravel):
        AskedExcursion(kind="right", travel_mm=-1.0)
    with pytest.raises(OutOfRange):
        AskedExcursion(kind="right", travel_mm=1.0, steps=100_000)
