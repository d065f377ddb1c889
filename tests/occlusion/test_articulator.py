"""Settings as frozen values."""

import dataclasses

import pytest

from occlusion.articulator import CondylarSide, Excursion, IncisalTable, ReferencePlane
from occlusion.errors import BadRequest, NotANumber, OutOfRange
from tests.occlusion.bench import settings_of, symmetric


def test_settings_cannot_be_changed_in_place():
    settings = settings_of(symmetric(20, 20))

    with pytest.raises(dataclasses.FrozenInstanceError):
        settings.intercondylar_mm = 100


def test_the_pin_stands_at_the_incisal_point_unless_it_is_told_elsewhere():
    settings = settings_of(symmetric(20, 20, pin=None))
    moved = dataclasses.replace(settings, pin_point_mm=(95, 0, -38))

    assert settings.guided_point_mm == (80.0, 0.0, -32.0)
    assert moved.guided_point_mm == (95.0, 0.0, -38.0)


def test_a_blend_of_one_is_protrusion_and_one_between_is_lateral():
    move = {"travel_mm": 3, "travel_along": "path"}

    assert Excursion(kind="right", blend=1, **move).is_protrusion
    assert not Excursion(kind="right", blend=0.5, **move).is_protrusion
    with pytest.raises(BadRequest, match=r"Blend is 0\.5 in a protrusive excursion"):
        Excursion(kind="protrusive", blend=0.5, **move)


def test_a_path_turned_to_another_plane_and_back_is_the_same_path():
    axis, occlusal = ReferencePlane(), ReferencePlane(name="occlusal plane", tilt_deg=8)
    path = CondylarSide(inclination_deg=35, bennett_deg=12)
    there = path.converted(read_against=axis, to=occlusal)
    back = there.converted(read_against=occlusal, to=axis)

    assert there.inclination_deg == pytest.approx(27.0)
    assert (back.inclination_deg, back.bennett_deg) == pytest.approx((35.0, 12.0), abs=1e-12)


def test_a_table_turns_its_wings_with_it():
    table = IncisalTable(
        sagittal_deg=20,
        wing_right_excursion_deg=20,
        wing_left_excursion_deg=0,
        mounted_on="lower",
    )
    turned = table.converted(read_against=ReferencePlane(tilt_deg=10), to=ReferencePlane(name="x"))

    assert turned.sagittal_deg == 30
    # tan 20 x cos 20 / cos 30
    assert turned.wing_right_excursion_deg == pytest.approx(21.550, abs=1e-3)
    assert turned.wing_left_excursion_deg == 0


def test_a_wing_that_cannot_be_is_named_by_its_excursion():
    with pytest.raises(OutOfRange, match="Lateral wing of the left excursion is 46 deg"):
        IncisalTable(sagittal_deg=20, wing_left_excursion_deg=46, mounted_on="lower")


def test_a_point_that_is_none_is_refused():
    settings = settings_of(symmetric(20, 20))

    for wrong in ((80, 0), "80 0 -32", None, (80, 0, "x")):
        with pytest.raises(NotANumber):
            dataclasses.replace(settings, incisal_point_mm=wrong)


def test_a_plane_needs_a_name():
    with pytest.raises(BadRequest, match="has no name"):
        ReferencePlane(name=" ")
