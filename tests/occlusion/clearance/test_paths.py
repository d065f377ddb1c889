"""The positions that are followed, and what front teeth make of them."""

import dataclasses

import numpy as np
import pytest

from occlusion.clearance.paths import (
    AskedExcursion,
    blends_of,
    follow,
    follow_many,
    role_of,
    travels_of,
)
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


def test_travel_along_the_path_is_followed_as_such():
    asked = AskedExcursion(kind="protrusive", travel_mm=3.0, travel_along="path", steps=5)
    path = follow(settings=SETTINGS, asked=asked, front=None)

    # 3 mm down a path of 30 deg advance by 3 cos 30.
    assert path.travel_mm[-1] == pytest.approx(2.598, abs=0.001)


def test_a_lift_that_nobody_notices_makes_nothing_conditional():
    # A facet of 12 deg over a table of 10 deg, for a millimetre: 0.035 mm at most.
    hardly = dataclasses.replace(STEEP, overjet_mm=1.0, overbite_mm=1.0, facet_deg=12.0)
    asked = AskedExcursion(kind="protrusive", travel_mm=3.0, steps=20)
    more = dataclasses.replace(hardly, facet_deg=16.0)

    shallow = follow(settings=SETTINGS, asked=asked, front=hardly)
    steep = follow(settings=SETTINGS, asked=asked, front=more)

    assert 0.02 < shallow.lift.lift_mm < 0.05
    assert not shallow.conditional
    assert 0.05 < steep.lift.lift_mm < 0.2
    assert steep.conditional


def test_drawn_front_teeth_guide_where_they_do_as_read_and_compare_where_they_compare():
    """Draws of the table: they matter where it guides, and not where the front teeth do."""
    asked = AskedExcursion(kind="protrusive", travel_mm=4.0, steps=40)
    several = draws_of(SETTINGS, half_widths={"incisal_table_deg": 4.0}, draws=30).settings
    at = np.array([0, 10, 40])

    def spread(front):
        nominal = follow(settings=SETTINGS, asked=asked, front=front)
        drawn = follow_many(several=several, asked=asked, front=front, nominal=nominal, at=at)
        return nominal, np.ptp(drawn[:, :, 0, 2], axis=0)

    (teeth, guided), (_, compared) = (
        spread(STEEP),
        spread(dataclasses.replace(STEEP, guided_by="table")),
    )

    assert teeth.lift.ruled[at].tolist() == [True, True, False]
    assert guided[:2] == pytest.approx([0.0, 0.0], abs=1e-9)
    # 4 mm forward on a table that is up to 8 deg steeper: half a millimetre 80 mm from the axis.
    assert guided[2] == compared[2] == pytest.approx(0.007, abs=0.001)
    assert compared[1] == pytest.approx(0.00175, abs=0.0003)


@pytest.mark.parametrize("shift", [0.0, 0.5])
def test_drawn_paths_of_another_side_shift_end_where_the_nominal_one_ends(shift):
    """A side shift is a stage of its own, with steps of its own: ends stand for ends."""
    there = settings_of(symmetric(30, 10, bennett=10, shift=shift, wing=10))
    other = settings_of(symmetric(30, 10, bennett=10, shift=0.5 - shift, wing=10))
    asked = AskedExcursion(kind="right", travel_mm=3.0, steps=20)
    nominal = follow(settings=there, asked=asked, front=None)
    last = len(nominal.travel_mm) - 1

    drawn = follow_many(
        several=[other, other], asked=asked, front=None, nominal=nominal, at=np.array([0, last])
    )

    shut = lower_position(
        settings=other, excursion=AskedExcursion(kind="right", travel_mm=0.0).excursion
    )
    end = lower_position(settings=other, excursion=asked.excursion)
    assert drawn[0, 1] == pytest.approx(end.transform)
    # Without a stage of its own the first position is that with the shift done.
    if shift == 0.0:
        assert drawn[0, 0] == pytest.approx(shut.transform)
    else:
        assert drawn[0, 0] == pytest.approx(np.eye(4))


def test_blends_lie_between_the_excursions_and_go_as_far_as_between_them():
    found = blends_of(EDGE)

    assert [(one.kind, one.blend) for one in found] == [
        (kind, blend) for kind in ("right", "left") for blend in (0.25, 0.5, 0.75)
    ]
    # Right 4.25 mm, protrusive 3 mm.
    assert [one.travel_mm for one in found[:3]] == pytest.approx([3.9375, 3.625, 3.3125])
    assert {(one.travel_along, one.steps) for one in found} == {("horizontal", 15)}
