"""How far the pin goes for a millimetre at a tooth, on a case."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import bench, calculations
from labcases.enums import Stage
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


def read(walk, tooth, behind):
    bench.save_site(
        case=walk.reload(),
        tooth=tooth,
        version=0,
        by=walk.hands.technician,
        values={"behind_incisal_mm": D(behind)},
    )


def test_without_an_articulator_record_nothing_is_said(walk):
    assert calculations.pin_for_a_millimetre(walk.reload()) == {}


def test_the_published_thirds_of_a_pin_at_six_inches(walk):
    """Second molar at 2 inches and incisors at 4 from the axis, the pin at 6: 3 to 1 and 1.5."""
    walk.settings |= {
        "incisal_x_mm": D("101.6"),
        "incisal_z_mm": D("-32"),
        "pin_x_mm": D("152.4"),
        "pin_z_mm": D("-32"),
    }
    walk.reload()
    walk.enter_settings()
    read(walk, "17", "50.8")
    read(walk, "11", "0")
    found = calculations.pin_for_a_millimetre(walk.reload())
    assert found["17"] == pytest.approx(3, abs=0.02)
    assert found["11"] == pytest.approx(1.5, abs=0.01)


def test_a_tooth_that_nobody_read_stands_in_the_textbook_and_front_teeth_move_most(walk):
    walk.enter_settings()
    found = calculations.pin_for_a_millimetre(walk.reload())
    assert list(found) == [
        *("17", "16", "15", "14", "13", "12", "11"),
        *("21", "22", "23", "24", "25", "26", "27"),
    ]
    assert found["17"] == pytest.approx(found["27"])
    assert found["17"] > found["16"] > found["14"] > found["11"] > 1
