"""Many settings as arrays: the same numbers, one by one or all at once."""

import random

import numpy as np
import pytest

from occlusion import motion
from occlusion.articulator import Excursion
from occlusion.errors import NoSolution, PinLeavesTable
from occlusion.settings_arrays import SettingsArrays
from tests.occlusion.bench import random_bench, settings_of, symmetric

RIGHT = Excursion(kind="right", travel_mm=3.0, travel_along="horizontal")


def several(count, seed=3):
    draw = random.Random(seed)
    return [settings_of(random_bench(draw)) for _ in range(count)]


def test_every_draw_comes_back_as_the_settings_it_was_made_of():
    given = several(20)

    assert list(SettingsArrays.of(given)) == given
    assert SettingsArrays.of(given)[-1] == given[-1]
    assert list(SettingsArrays.of(given)[3:5]) == given[3:5]
    with pytest.raises(IndexError):
        SettingsArrays.of(given)[20]


def test_repeated_settings_are_the_same_settings_many_times():
    (given,) = several(1)
    many = SettingsArrays.of([given]).repeated(5)

    assert len(many) == 5
    assert list(many) == [given] * 5
    assert many.guided_point_mm.tolist() == [list(given.guided_point_mm)] * 5
    assert list(many[1:3]) == [given] * 2


@pytest.mark.parametrize("kind", ["protrusive", "right", "left"])
def test_all_at_once_moves_each_as_it_moves_alone(kind):
    # Unlike sides, tables on either member, tilted planes and side shifts among them; enough
    # positions for more than one block.
    given = several(60)
    excursion = Excursion(kind=kind, travel_mm=3.0, travel_along="path")
    shifted = np.concatenate([[0.0, 0.5], np.ones(199)])
    travelled = np.concatenate([[0.0, 0.0], np.linspace(0.0, 1.0, 199)])
    together = motion.positions_at(
        settings=SettingsArrays.of(given),
        excursion=excursion,
        shifted=shifted,
        travelled=travelled,
    )

    assert len(given) * len(travelled) > motion.BLOCK
    for index in (0, 1, 39, 40, 41, 59):
        alone = motion.lower_position(settings=given[index], excursion=excursion)
        last = together.of(index).at(len(travelled) - 1)
        assert last.transform == pytest.approx(alone.transform, abs=1e-12)
        assert last.pin_point_mm == pytest.approx(alone.pin_point_mm, abs=1e-12)
        assert last.hinge_deg == pytest.approx(alone.hinge_deg, abs=1e-12)


def test_the_longest_side_shift_says_how_many_positions_all_of_them_take():
    given = [settings_of(symmetric(30, 20, shift=shift)) for shift in (0.0, 1.0, 0.5)]
    found = motion.lower_positions(settings=SettingsArrays.of(given), excursion=RIGHT, steps=30)

    assert found.transforms.shape == (3, 10 + 31, 4, 4)
    assert found.side_shift_mm[:, 10].tolist() == [0.0, 1.0, 0.5]
    assert found.side_shift_mm[:, 5].tolist() == [0.0, 0.5, 0.25]


def test_the_table_of_one_draw_is_refused_with_its_own_value():
    # A pin point above the axis swings along 63.4 deg.
    given = [settings_of(symmetric(30, table, pin=(40.0, 0.0, 20.0))) for table in (20, 60)]

    with pytest.raises(PinLeavesTable) as refused:
        motion.lower_positions(settings=given, excursion=RIGHT)
    assert refused.value.value == 60.0
    assert refused.value.field == "incisal_table_deg"


def test_no_settings_at_all_are_refused():
    with pytest.raises(NoSolution, match="Give at least one"):
        motion.lower_positions(settings=[], excursion=RIGHT)


def test_no_number_of_a_position_is_minus_zero():
    # It would be printed as -0.
    found = motion.lower_positions(settings=settings_of(symmetric(0, 0)), excursion=RIGHT)

    for name in ("transforms", "hinge_deg", "condyle_right_mm", "condyle_left_mm", "pin_point_mm"):
        values = getattr(found, name)
        assert not np.signbit(values[values == 0.0]).any()
