"""Front teeth as a guide."""

import dataclasses

import pytest

from occlusion.articulator import ReferencePlane
from occlusion.errors import MixedReferencePlanes, OutOfRange
from occlusion.front import FrontGuidance, guided_settings, steepest_deg, warnings_for_front
from tests.occlusion.bench import settings_of, symmetric

SETTINGS = settings_of(symmetric(30, 10))


def front(overjet, overbite, **rest):
    return FrontGuidance(
        **{"guided_by": "table", "overjet_mm": overjet, "overbite_mm": overbite, **rest}
    )


@pytest.mark.parametrize(
    ("overjet", "overbite", "slope", "reach"),
    [
        (2.0, 2.0, 45.0, 2.0),
        (3.0, 1.0, 18.435, 3.0),
        (0.0, 2.0, 85.0, 0.175),  # a vertical facet is computed as 85 deg
        (-1.0, 2.0, 0.0, 0.0),
        (2.0, 0.0, 0.0, 0.0),
        (2.0, -3.0, 0.0, 0.0),
    ],
)
def test_facet_and_reach_follow_from_overjet_and_overbite(overjet, overbite, slope, reach):
    teeth = front(overjet, overbite)

    assert teeth.slope_deg == pytest.approx(slope, abs=1e-3)
    assert teeth.reach_mm == pytest.approx(reach, abs=1e-3)


def test_a_facet_that_was_read_is_taken_as_read():
    assert front(2.0, 2.0, facet_deg=38.0).slope_deg == 38.0


def test_a_facet_that_disagrees_with_overbite_over_overjet_asks_for_a_second_look():
    codes = [one.code for one in warnings_for_front(SETTINGS, front(2.0, 2.0, facet_deg=30.0))]

    assert codes == ["front_readings_disagree"]
    assert warnings_for_front(SETTINGS, front(2.0, 2.0, facet_deg=36.0)) == ()


def test_a_facet_no_steeper_than_the_table_does_not_guide():
    assert guided_settings(SETTINGS, front(3.0, 0.5)) is None


def test_a_steeper_facet_guides_at_the_incisal_point_fixed_to_the_upper_member():
    settings = settings_of(symmetric(30, 10, table_on="lower", pin=(95.0, 0.0, -38.0), opening=1.0))
    guided = guided_settings(settings, front(2.0, 2.0))

    assert guided.table.sagittal_deg == pytest.approx(45.0)
    assert (guided.table.mounted_on, guided.pin_point_mm) == ("upper", None)
    # The same turn about the axis lowers the incisal point by about 80 / 95 of the pin's 1 mm.
    assert guided.pin_opening_mm == pytest.approx(80 / 95, abs=0.001)


def test_a_facet_too_steep_for_the_model_is_followed_as_far_as_it_goes_and_says_so():
    deep = front(0.5, 4.0)

    assert guided_settings(SETTINGS, deep).table.sagittal_deg == steepest_deg(SETTINGS)
    assert [one.code for one in warnings_for_front(SETTINGS, deep)] == ["front_too_steep"]


def test_a_reverse_overjet_is_said_to_be_beyond_the_model():
    assert [one.code for one in warnings_for_front(SETTINGS, front(-1.0, 1.0))] == [
        "front_not_modelled"
    ]


def test_the_front_facet_must_be_read_against_the_plane_of_the_settings():
    other = dataclasses.replace(front(2.0, 2.0), plane=ReferencePlane(tilt_deg=8.0))

    with pytest.raises(MixedReferencePlanes):
        guided_settings(SETTINGS, other)


@pytest.mark.parametrize(("overjet", "overbite"), [(16, 2), (2, 13), (-11, 2)])
def test_impossible_readings_are_refused(overjet, overbite):
    with pytest.raises(OutOfRange):
        front(overjet, overbite)
