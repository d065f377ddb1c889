"""Mounting and articulator record: one of each, and no number that no articulator has."""

from __future__ import annotations

import pytest

from labcases.models import ArticulatorRecord, Mounting
from labcases.models.articulator import DEVIATIONS
from tests.labcases.models.limits import (
    assert_as_the_engine,
    assert_held,
    measured,
    second_row_refused,
)

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

MOUNTING = {"pin_zero_mm": ("-10", "30"), "agreement_mm": ("0", "5")}

RECORD = {
    "intercondylar_mm": ("80", "140"),
    "condylar_right_deg": ("0", "75"),
    "condylar_left_deg": ("0", "75"),
    "bennett_right_deg": ("0", "40"),
    "bennett_left_deg": ("0", "40"),
    "side_shift_right_mm": ("0", "4"),
    "side_shift_left_mm": ("0", "4"),
    "incisal_table_deg": ("0", "60"),
    "wing_right_deg": ("0", "45"),
    "wing_left_deg": ("0", "45"),
    "overjet_mm": ("-10", "15"),
    "overbite_mm": ("-10", "12"),
    "plane_tilt_deg": ("-30", "30"),
    "incisal_x_mm": ("40", "150"),
    "incisal_z_mm": ("-100", "20"),
    "pin_x_mm": ("40", "200"),
    "pin_z_mm": ("-120", "20"),
    "pin_opening_mm": ("-2", "10"),
    "pin_agreed_mm": ("-2", "10"),
}

DEVIATION = dict.fromkeys(DEVIATIONS.values(), ("0", "90"))

ENGINE = {
    "intercondylar_mm": "intercondylar_mm",
    "condylar_right_deg": "condylar_inclination_deg",
    "condylar_left_deg": "condylar_inclination_deg",
    "bennett_right_deg": "bennett_deg",
    "bennett_left_deg": "bennett_deg",
    "side_shift_right_mm": "immediate_side_shift_mm",
    "side_shift_left_mm": "immediate_side_shift_mm",
    "incisal_table_deg": "incisal_table_deg",
    "wing_right_deg": "lateral_wing_deg",
    "wing_left_deg": "lateral_wing_deg",
    "overjet_mm": "overjet_mm",
    "overbite_mm": "overbite_mm",
    "plane_tilt_deg": "plane_tilt_deg",
    "incisal_x_mm": "incisal_x_mm",
    "incisal_z_mm": "incisal_z_mm",
    "pin_x_mm": "pin_x_mm",
    "pin_z_mm": "pin_z_mm",
    "pin_opening_mm": "pin_opening_mm",
    "pin_agreed_mm": "pin_opening_mm",
}

SET = dict.fromkeys(
    (
        *("condylar_right_deg", "condylar_left_deg", "bennett_right_deg", "bennett_left_deg"),
        *("incisal_table_deg", "wing_right_deg", "wing_left_deg"),
    ),
    10,
)


def test_every_measured_column_is_limited():
    assert set(measured(Mounting)) == set(MOUNTING)
    assert set(measured(ArticulatorRecord)) == {*RECORD, *DEVIATION}


def test_limits_are_the_engines():
    assert set(ENGINE) == set(RECORD)
    assert_as_the_engine(RECORD, ENGINE)


@pytest.mark.parametrize("field", MOUNTING)
def test_a_mounting_out_of_range_is_not_stored(case, field):
    assert_held(Mounting.objects.create(case=case), field, *MOUNTING[field])


@pytest.mark.parametrize("field", DEVIATION)
def test_a_deviation_out_of_range_is_not_stored(case, field):
    assert_held(ArticulatorRecord.objects.create(case=case, **SET), field, *DEVIATION[field])


@pytest.mark.parametrize("field", RECORD)
def test_a_setting_out_of_range_is_not_stored(case, field):
    assert_held(ArticulatorRecord.objects.create(case=case, **SET), field, *RECORD[field])


def test_a_case_has_one_mounting_and_one_record(case):
    Mounting.objects.create(case=case)
    ArticulatorRecord.objects.create(case=case, **SET)

    second_row_refused(Mounting, case=case)
    second_row_refused(ArticulatorRecord, case=case, **SET)


def test_a_record_starts_from_a_usual_articulator(case):
    row = ArticulatorRecord.objects.create(case=case, **SET)
    row.refresh_from_db()

    assert (row.intercondylar_mm, row.incisal_x_mm, row.incisal_z_mm) == (110, 80, -32)
    assert (row.table_on, row.front_guide, row.reference_plane, row.origin) == (
        *("lower", "table", "axis plane", "prescribed"),
    )
    assert (row.pin_opening_mm, row.pin_agreed_mm, row.pin_x_mm) == (0, 0, None)
    assert str(row) == f"articulator record of {case.code}"
