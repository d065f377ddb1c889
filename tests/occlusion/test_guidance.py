"""Condylar paths, the table and the pin as guides."""

import dataclasses

import numpy as np
import pytest

from occlusion.articulator import Excursion
from occlusion.guidance import CondylarPaths, nearest_root, opening_rad
from tests.occlusion.bench import settings_of, symmetric


def advance(bench, **excursion):
    move = Excursion(**{"travel_mm": 3, "travel_along": "path", **excursion})
    return float(CondylarPaths.of([settings_of(bench)], move).advance_mm(move)[0, 0])


def test_travel_along_the_path_includes_the_progressive_side_shift():
    # 3 / sqrt(1 + tan^2 25 + tan^2 12): the left condyle leads with 25 and 12 deg.
    bench = symmetric(25, 15, bennett=12)

    assert advance(bench, kind="right") == pytest.approx(2.6698, abs=1e-4)
    assert advance(bench, kind="right", travel_along="horizontal") == 3.0


def test_in_protrusion_no_condyle_goes_further_along_its_path_than_the_travel():
    steeper = dataclasses.replace(symmetric(25, 15), inclination_right=40)

    assert advance(steeper, kind="protrusive") == pytest.approx(3 * np.cos(np.radians(40)))
    assert advance(steeper, kind="left", blend=1) == advance(steeper, kind="right", blend=1)


def test_the_root_nearest_to_nothing_is_taken():
    # cos a - sin a = 0.99 has a root near 0.01 and one near -1.58.
    turn, found = nearest_root(np.array(1.0), np.array(-1.0), np.array(-0.99))

    assert bool(found)
    assert float(turn) == pytest.approx(0.00995, abs=1e-4)


def test_a_condition_without_a_root_is_told_not_guessed():
    _, found = nearest_root(np.array(1.0), np.array(0.0), np.array(2.0))

    assert not bool(found)


def test_opening_lowers_the_point_by_exactly_what_was_asked():
    turn = opening_rad(np.array([80.0, 0.0, -32.0]), np.array(1.0))

    assert np.degrees(turn) == pytest.approx(0.7180, abs=1e-4)
