"""An articulator record as the engine's settings, and what is unusual about it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain.calculations import inputs
from labcases.domain.calculations.settings import engine_settings, settings_findings
from labcases.models import ArticulatorRecord

USUAL = {
    "condylar_right_deg": Decimal("30"),
    "condylar_left_deg": Decimal("35"),
    "bennett_right_deg": Decimal("15"),
    "bennett_left_deg": Decimal("12"),
    "side_shift_right_mm": Decimal("0.5"),
    "side_shift_left_mm": Decimal("0.2"),
    "incisal_table_deg": Decimal("20"),
    "wing_right_deg": Decimal("11"),
    "wing_left_deg": Decimal("13"),
}


def record(**values) -> ArticulatorRecord:
    return ArticulatorRecord(**{**USUAL, **values})


def test_every_setting_arrives_at_its_own_side_and_name():
    made = engine_settings(
        inputs.articulator(
            record(
                intercondylar_mm=Decimal("104.5"),
                plane_tilt_deg=Decimal("7"),
                reference_plane="ala-tragus plane",
                table_on="upper",
                pin_x_mm=Decimal("110"),
                pin_z_mm=Decimal("-50"),
                pin_opening_mm=Decimal("0.5"),
            )
        )
    )

    assert made.intercondylar_mm == 104.5
    assert (made.right.inclination_deg, made.left.inclination_deg) == (30, 35)
    assert (made.right.bennett_deg, made.left.bennett_deg) == (15, 12)
    assert made.right.immediate_side_shift_mm == 0.5
    assert made.left.immediate_side_shift_mm == 0.2
    assert made.table.sagittal_deg == 20
    assert made.table.wing_right_excursion_deg == 11
    assert made.table.wing_left_excursion_deg == 13
    assert made.table.mounted_on == "upper"
    assert made.incisal_point_mm == (80, 0, -32)
    assert made.pin_point_mm == (110, 0, -50)
    assert made.pin_opening_mm == 0.5
    assert (made.reference_plane.name, made.reference_plane.tilt_deg) == ("ala-tragus plane", 7)


def test_without_a_place_of_the_pin_the_incisal_point_stands_in():
    assert engine_settings(inputs.articulator(record())).pin_point_mm is None


def test_a_usual_record_has_nothing_to_acknowledge():
    found = settings_findings(record())

    assert (found.warnings, found.refusal, found.field, found.digest) == ((), "", "", "")


def test_unusual_settings_are_named_and_a_change_asks_again():
    found = settings_findings(record(condylar_right_deg=Decimal("8")))

    assert [warning.code for warning in found.warnings] == [
        *("condylar_inclination_right_unusual", "sides_differ")
    ]
    assert len(found.digest) == 64
    assert settings_findings(record(condylar_right_deg=Decimal("8.0"))).digest == found.digest
    assert settings_findings(record(condylar_right_deg=Decimal("7"))).digest != found.digest
    other = record(condylar_right_deg=Decimal("8"), wing_left_deg=Decimal("14"))
    assert settings_findings(other).digest != found.digest


@pytest.mark.parametrize(
    ("field", "value", "text"),
    [
        (
            "condylar_right_deg",
            "94",
            "Right condylar inclination is 94 deg. Enter 0 to 75 deg, read against the plane named "
            "in the record.",
        ),
        (
            "condylar_left_deg",
            "-1",
            "Left condylar inclination is -1 deg. Enter 0 to 75 deg, read against the plane named "
            "in the record.",
        ),
        (
            "bennett_left_deg",
            "41",
            "Left Bennett angle is 41 deg. Enter 0 to 40 deg, read against the plane named in the "
            "record.",
        ),
        (
            "side_shift_right_mm",
            "4.5",
            "Right immediate side shift is 4.5 mm. Enter 0 to 4 mm.",
        ),
        (
            "wing_right_deg",
            "46",
            "Lateral wing of the right excursion is 46 deg. Enter 0 to 45 deg, read against the "
            "plane named in the record.",
        ),
        (
            "wing_left_deg",
            "46",
            "Lateral wing of the left excursion is 46 deg. Enter 0 to 45 deg, read against the "
            "plane named in the record.",
        ),
        (
            "incisal_table_deg",
            "61",
            "Incisal table is 61 deg. Enter 0 to 60 deg, read against the plane named in the "
            "record.",
        ),
        (
            "intercondylar_mm",
            "79",
            "Intercondylar distance is 79 mm. Enter 80 to 140 mm.",
        ),
        ("plane_tilt_deg", "31", "Tilt of the reference plane is 31 deg. Enter -30 to 30 deg."),
        (
            "incisal_x_mm",
            "39",
            "Incisal point, forward of the axis is 39 mm. Enter 40 to 150 mm.",
        ),
        ("incisal_z_mm", "21", "Incisal point, above the axis is 21 mm. Enter -100 to 20 mm."),
        ("pin_opening_mm", "11", "Pin opening is 11 mm. Enter -2 to 10 mm."),
    ],
)
def test_an_impossible_setting_is_refused_in_words_at_its_own_field(field, value, text):
    found = settings_findings(record(**{field: Decimal(value)}))

    assert (found.refusal, found.field) == (text, field)
    assert found.warnings == ()


def test_an_unknown_member_for_the_table_is_refused_at_the_table():
    found = settings_findings(record(table_on="beside"))

    assert found.field == "table_on"
    assert "Choose one of: upper, lower." in found.refusal
