"""Positions as arrays: stages, draws, members; their values stand in the fixtures."""

import dataclasses

import numpy as np
import pytest

from occlusion.articulator import Excursion
from occlusion.motion import (
    landmark_movement,
    leading_advance_mm,
    lower_position,
    lower_positions,
    path_angle_deg,
)
from tests.occlusion.bench import INCISAL, M1, settings_of, symmetric, tooth

BENCH = symmetric(35, 15, bennett=10, wing=15)
RIGHT = Excursion(kind="right", travel_mm=3, travel_along="horizontal")


def test_a_sweep_starts_closed_and_ends_at_the_travel():
    settings = settings_of(BENCH)
    positions = lower_positions(settings=settings, excursion=RIGHT, steps=30)

    assert len(positions) == 31
    assert positions.transforms[0] == pytest.approx(np.eye(4), abs=1e-12)  # round-off
    last, end = positions.at(30), lower_position(settings=settings, excursion=RIGHT)
    assert np.array_equal(last.transform, end.transform)
    assert last.advance_mm == end.advance_mm == 3.0


def test_the_side_shift_is_done_before_the_condyle_travels():
    settings = settings_of(dataclasses.replace(BENCH, shift_left=0.5))
    positions = lower_positions(settings=settings, excursion=RIGHT, steps=30)
    shift, advance = positions.side_shift_mm, positions.advance_mm

    assert shift[0] == 0.0
    assert (shift[advance > 0] == 0.5).all()
    assert np.diff(shift)[:5] == pytest.approx([0.1] * 5)  # the spacing of the travel
    assert len(positions) == 5 + 31


def test_the_side_shift_belongs_to_the_balancing_condyle():
    settings = settings_of(dataclasses.replace(BENCH, shift_left=0.5))
    left = Excursion(kind="left", travel_mm=3, travel_along="horizontal")

    assert lower_positions(settings=settings, excursion=left).side_shift_mm.max() == 0.0


def test_a_side_shift_alone_is_an_excursion():
    settings = settings_of(dataclasses.replace(BENCH, shift_left=0.5))
    still = Excursion(kind="right", travel_mm=0, travel_along="horizontal")
    positions = lower_positions(settings=settings, excursion=still, steps=10)

    assert positions.side_shift_mm[[0, -1]].tolist() == [0.0, 0.5]
    assert positions.condyle_left_mm[-1][1] == pytest.approx(54.5)


def test_many_settings_at_once_give_what_each_gives_alone():
    several = [
        settings_of(symmetric(b, 10, table_on=on)) for b in (20, 40) for on in ("upper", "lower")
    ]
    together = lower_positions(settings=several, excursion=RIGHT, steps=12)

    assert together.transforms.shape == (4, 13, 4, 4)
    for draw, settings in enumerate(several):
        alone = lower_positions(settings=settings, excursion=RIGHT, steps=12)
        assert np.array_equal(together.of(draw).transforms, alone.transforms)


def test_positions_cannot_be_changed_in_place():
    positions = lower_positions(settings=settings_of(BENCH), excursion=RIGHT)

    with pytest.raises(ValueError, match="read-only"):
        positions.hinge_deg[0] = 1.0


def test_an_upper_point_goes_the_other_way_seen_from_below():
    position = lower_position(settings=settings_of(BENCH), excursion=RIGHT)
    lower = landmark_movement(position, tooth(M1))
    upper = landmark_movement(position, tooth(M1), member="upper")

    assert lower[1] < 0 < upper[1]
    assert lower[2] < 0 < upper[2]


def test_points_and_positions_keep_their_shapes():
    positions = lower_positions(settings=settings_of(BENCH), excursion=RIGHT, steps=4)

    assert landmark_movement(positions, INCISAL).shape == (5, 3)
    assert landmark_movement(positions, [INCISAL, tooth(M1)]).shape == (5, 2, 3)
    assert landmark_movement(positions.at(1), [INCISAL]).shape == (1, 3)


def test_the_path_angle_is_measured_from_the_horizontal_down():
    assert float(path_angle_deg([3.0, 4.0, -5.0])) == pytest.approx(45.0)
    assert float(path_angle_deg([1.0, 0.0, 1.0])) == pytest.approx(-45.0)


def test_the_advance_of_a_travel_along_the_path_is_shorter_than_the_travel():
    along = dataclasses.replace(RIGHT, travel_along="path")

    # 3 / sqrt(1 + tan^2 35 + tan^2 10)
    assert leading_advance_mm(settings=settings_of(BENCH), excursion=along) == pytest.approx(
        2.4322, abs=1e-4
    )
