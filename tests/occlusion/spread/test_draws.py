"""Draws of settings: what they are, and what comes of them."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion import spread
from occlusion.articulator import Excursion
from occlusion.errors import BadRequest, NotANumber, OutOfRange
from occlusion.motion import landmark_movement, lower_positions
from occlusion.spread import Measured
from occlusion.spread.draws import FIELDS
from tests.occlusion.bench import M1, M2, settings_of, symmetric, tooth
from tests.occlusion.spread.drawn import ANGLES, NOMINAL, PIN, drawn, drops
from tests.occlusion.strategies import benches

# What draws are


def test_the_same_seed_gives_the_same_draws_and_another_gives_others():
    again = [drawn.__wrapped__("working", "angles", 50, seed).values for seed in (1, 1, 2)]

    assert (again[0] == again[1]).all()
    assert not (again[0] == again[2]).any()


def test_more_draws_begin_with_the_same_ones():
    few, many = (
        spread.draws_of(settings_of(NOMINAL), draws=count).settings.bennett_left_deg
        for count in (20, 50)
    )

    assert (many[:20] == few).all()


def test_leaving_one_reading_out_does_not_change_the_draws_of_the_others():
    whole = spread.draws_of(settings_of(NOMINAL), half_widths=ANGLES | PIN, draws=20).settings
    angles = spread.draws_of(settings_of(NOMINAL), half_widths=ANGLES, draws=20).settings

    for name in set(FIELDS.values()) - {"pin_opening_mm"}:
        assert (getattr(whole, name) == getattr(angles, name)).all()
    assert angles.pin_opening_mm.tolist() == [1.0] * 20
    assert whole.pin_opening_mm.std() > 0.2


def test_every_reading_is_drawn_on_its_own():
    # With unlike sides; 2,000 draws leave a correlation of 0.02 or so by chance.
    widths = ANGLES | PIN | {"immediate_side_shift_mm": 0.3}
    start = symmetric(30, 20, bennett=15, wing=20, opening=1.0, shift=0.5)
    many = spread.draws_of(settings_of(start), half_widths=widths, draws=2000).settings
    columns = np.array([getattr(many, name) for name in FIELDS.values()])
    across = np.corrcoef(columns) - np.eye(len(columns))

    assert len(columns) == 10
    assert np.abs(across).max() < 0.1
    sds = [5, 5, 5, 5, 0.3, 0.3, 5, 5, 5, 0.5]
    assert columns.std(axis=1) * 3**0.5 == pytest.approx(sds, rel=0.05)


def test_without_reading_errors_nothing_spreads():
    for widths in ({}, dict.fromkeys(ANGLES, 0.0)):
        sample = spread.draws_of(settings_of(NOMINAL), half_widths=widths, draws=10)
        found = spread.spread_by_draws(drops("working"), sample)

        assert np.ptp(found.values, axis=0).tolist() == [0.0] * 4
        assert found.sd == pytest.approx([0.0] * 4, abs=1e-12)
        assert sample.assumptions == (
            "No reading was given an error, so every draw is the settings as read.",
        )


@settings(max_examples=15, deadline=None)
@given(benches(tilt=0.0), st.integers(0, 2**32 - 1))
def test_swapped_sides_spread_as_swapped_sides(bench, seed):
    right, left = (
        Excursion(kind=kind, travel_mm=3.0, travel_along="horizontal") for kind in ("right", "left")
    )
    many = spread.draws_of(settings_of(bench), draws=6, seed=seed).settings
    swapped = replace(
        many,
        inclination_right_deg=many.inclination_left_deg,
        inclination_left_deg=many.inclination_right_deg,
        bennett_right_deg=many.bennett_left_deg,
        bennett_left_deg=many.bennett_right_deg,
        shift_right_mm=many.shift_left_mm,
        shift_left_mm=many.shift_right_mm,
        wing_right_deg=many.wing_left_deg,
        wing_left_deg=many.wing_right_deg,
        guided_point_mm=many.guided_point_mm * (1.0, -1.0, 1.0),
    )
    there = lower_positions(settings=many, excursion=right, steps=3)
    back = lower_positions(settings=swapped, excursion=left, steps=3)

    one = landmark_movement(there, [tooth(M1), tooth(M2, "left")])
    other = landmark_movement(back, [tooth(M1, "left"), tooth(M2)])
    assert one == pytest.approx(other * (1.0, -1.0, 1.0), abs=1e-9)


def test_symmetric_settings_spread_alike_on_both_sides():
    right, left = (
        spread.spread_by_draws(
            lambda many, kind=kind, side=side: (
                -landmark_movement(
                    lower_positions(
                        settings=many,
                        excursion=Excursion(kind=kind, travel_mm=3, travel_along="horizontal"),
                        steps=2,
                    ),
                    tooth(M2, side),
                )[:, -1, 2]
            ),
            spread.draws_of(settings_of(NOMINAL), half_widths=ANGLES | PIN, draws=4000),
        )
        for kind, side in (("right", "right"), ("left", "left"))
    )

    assert float(right.value) == pytest.approx(float(left.value), abs=1e-12)
    assert float(right.sd) == pytest.approx(float(left.sd), rel=0.05)


def test_draws_beyond_the_hard_limits_are_clipped_and_counted():
    # A flat table and wings at 2 deg, +-5: half and three tenths of the draws would be negative.
    start = symmetric(30, 0, bennett=15, wing=2)
    sample = spread.draws_of(settings_of(start), half_widths=ANGLES, draws=1000)
    many = sample.settings

    assert many.table_deg.min() == many.wing_right_deg.min() == 0.0
    assert np.mean(many.table_deg == 0.0) == pytest.approx(0.5, abs=0.05)
    assert np.mean(many.wing_left_deg == 0.0) == pytest.approx(0.3, abs=0.05)
    told = [one for one in sample.assumptions if "clipped" in one]
    assert len(told) == 3
    beyond = int(np.sum(many.table_deg == 0.0))
    assert f"{beyond} of 1000 draws of the incisal table lay beyond 0 to 60 deg" in told[0]


def test_what_was_drawn_is_told():
    sample = spread.draws_of(
        settings_of(NOMINAL),
        readings={
            "bennett_deg.left": Measured(12.0, 3.0, "normal"),
            "pin_opening_mm": Measured(1.0, 0.5),
        },
        draws=10,
        seed=9,
    )

    assert sample.assumptions == (
        "Drawn 10 times, seed 9, each reading on its own: left Bennett angle 12 ± 1.5 deg "
        "(standard deviation); pin opening 1 mm, at most 0.5 mm off.",
    )


def test_a_reading_goes_before_the_half_width_and_its_value_before_the_setting():
    sample = spread.draws_of(
        settings_of(NOMINAL),
        half_widths={"condylar_inclination_deg": 5.0, "bennett_deg": 0.0},
        readings={"condylar_inclination_deg.left": Measured(40.0, 1.0)},
        draws=500,
    )
    many = sample.settings

    assert sample.as_read.left.inclination_deg == 40.0
    assert sample.as_read.right.inclination_deg == 30.0
    assert 39.0 <= many.inclination_left_deg.min() < many.inclination_left_deg.max() <= 41.0
    assert many.inclination_right_deg.max() > 33.0
    assert np.ptp(many.bennett_right_deg) == 0.0


def test_a_two_sided_reading_without_a_side_is_drawn_for_each_side():
    many = spread.draws_of(
        settings_of(NOMINAL), readings={"bennett_deg": Measured(10.0, 2.0)}, draws=50
    ).settings

    assert np.ptp(many.bennett_right_deg) > 2.0
    assert not (many.bennett_right_deg == many.bennett_left_deg).any()
    assert np.ptp(many.inclination_right_deg) == 0.0


def test_a_named_side_goes_first_wherever_it_stands():
    both, left = Measured(10.0, 2.0), Measured(20.0, 0.0)
    for readings in (
        {"bennett_deg": both, "bennett_deg.left": left},
        {"bennett_deg.left": left, "bennett_deg": both},
    ):
        many = spread.draws_of(settings_of(NOMINAL), readings=readings, draws=20).settings

        assert many.bennett_left_deg.tolist() == [20.0] * 20
        assert many.bennett_right_deg.max() <= 12.0


def test_further_readings_are_drawn_by_their_name_for_all_teeth_and_excursions():
    sample = spread.draws_of(settings_of(NOMINAL), draws=400)
    facet = sample.of("facet_deg.16", Measured(20.0, 5.0))

    assert facet.shape == (400,)
    assert facet.mean() == pytest.approx(20.0, abs=0.5)
    assert (facet == sample.of("facet_deg.16", Measured(20.0, 5.0))).all()
    assert not (facet == sample.of("facet_deg.17", Measured(20.0, 5.0))).any()


def test_a_draw_comes_out_as_settings_that_can_be_checked():
    sample = spread.draws_of(settings_of(NOMINAL), draws=5)
    one = sample.settings[3]

    assert one.right.bennett_deg == sample.settings.bennett_right_deg[3]
    assert replace(
        one,
        right=sample.as_read.right,
        left=sample.as_read.left,
        table=sample.as_read.table,
        pin_opening_mm=1.0,
    ) == settings_of(NOMINAL)


# What comes of them


def test_statistics_of_a_result_are_those_of_its_draws():
    values = np.array([[0.0, 9.0], [1.0, 7.0], [2.0, 8.0], [3.0, 6.0], [4.0, 5.0]])
    found = spread.DrawnSpread(np.array([2.0, 7.0]), values)

    assert found.mean.tolist() == [2.0, 7.0]
    assert found.sd == pytest.approx([2.5**0.5] * 2)
    assert found.p05 == pytest.approx([0.2, 5.2])
    assert found.p95 == pytest.approx([3.8, 8.8])
    assert found.probability_below(1.5).tolist() == [0.4, 0.0]
    assert found.probability_below(1.0).tolist() == [0.2, 0.0]
    lowest = found.lowest()
    assert lowest.value == 2.0
    assert lowest.values.tolist() == [0.0, 1.0, 2.0, 3.0, 4.0]
    assert found.plus(np.array([[1.0]] * 5)).mean.tolist() == [3.0, 8.0]


def test_the_chance_on_the_way_is_that_of_the_lowest_gap_of_each_draw():
    # Two positions, each below the limit in a quarter of the draws, but never in the same one.
    values = np.array([[-1.0, 1.0], [1.0, -1.0], [1.0, 1.0], [1.0, 1.0]])
    found = spread.DrawnSpread(np.array([1.0, 1.0]), values)

    assert found.probability_below(0.0).tolist() == [0.25, 0.25]
    assert float(found.lowest().probability_below(0.0)) == 0.5


def test_the_chance_by_draws_is_near_that_of_the_normal_curve():
    found = drawn("protrusive", "angles and pin", draws=4000)
    normal = spread.probability_below_normal(value=found.mean, sd=found.sd, limit=1.8)

    assert found.probability_below(1.8) == pytest.approx(normal, abs=0.03)
    assert 0.05 < normal[3] < 0.5


def test_normal_chances_work_on_arrays_and_know_exact_results():
    found = spread.probability_below_normal(
        value=[0.0, 0.0645, -0.2, 0.0], sd=[0.1, 0.1, 0.0, 0.0], limit=-0.1
    )

    assert found == pytest.approx([0.158655, 0.05, 1.0, 0.0], abs=1e-4)


def test_what_cannot_be_drawn_is_refused():
    start = settings_of(NOMINAL)
    with pytest.raises(BadRequest, match="Choose one of"):
        spread.draws_of(start, half_widths={"patience": 1.0})
    with pytest.raises(BadRequest, match=r"bennett_deg\.right"):
        spread.draws_of(start, readings={"bennett_deg.middle": Measured(1.0, 1.0)})
    with pytest.raises(BadRequest, match="Give a Measured value"):
        spread.draws_of(start, readings={"bennett_deg": 5.0})
    with pytest.raises(OutOfRange, match="Enter 0 to 40 deg"):
        spread.draws_of(start, readings={"bennett_deg": Measured(50.0, 1.0)})
    with pytest.raises(OutOfRange, match="Enter 2 to 100000"):
        spread.draws_of(start, draws=1)
    with pytest.raises(BadRequest, match="no whole number"):
        spread.draws_of(start, draws=10.5)
    with pytest.raises(BadRequest, match="no whole number"):
        spread.draws_of(start, seed=True)
    with pytest.raises(OutOfRange):
        spread.draws_of(start, seed=-1)
    with pytest.raises(NotANumber):
        spread.draws_of(start, half_widths={"bennett_deg": "wide"})
