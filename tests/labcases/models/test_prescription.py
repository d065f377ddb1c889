"""Revisions of a prescription: one of each number, one draft at a time."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from labcases.models import Prescription
from tests.labcases.models.limits import (
    assert_as_the_engine,
    assert_held,
    measured,
    second_row_refused,
)

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {
    "overjet_mm": ("-10", "15"),
    "overbite_mm": ("-10", "12"),
    "incisal_display_mm": ("-10", "20"),
    "smile_display_mm": ("-10", "25"),
    "midline_offset_mm": ("-10", "10"),
    "vertical_rest_mm": ("20", "120"),
    "vertical_occlusion_mm": ("20", "120"),
    "interalar_mm": ("20", "60"),
    "canine_lines_mm": ("20", "70"),
    "central_width_mm": ("3", "15"),
    "central_length_mm": ("5", "20"),
}


def test_every_measured_column_is_limited_where_the_engine_knows_it_as_there():
    assert set(measured(Prescription)) == set(LIMITS)
    assert_as_the_engine(LIMITS, {"overjet_mm": "overjet_mm", "overbite_mm": "overbite_mm"})


@pytest.mark.parametrize("field", LIMITS)
def test_a_measurement_out_of_range_is_not_stored(case, field):
    assert_held(case.prescription, field, *LIMITS[field])


def test_a_revision_number_stands_once_and_only_one_draft_is_written_at_a_time(case):
    second_row_refused(Prescription, case=case, revision=1, status="signed")
    second_row_refused(Prescription, case=case, revision=2, status="draft")

    Prescription.objects.create(case=case, revision=2, status="signed")
    Prescription.objects.create(case=case, revision=3, status="replaced")
    assert [row.revision for row in case.prescriptions.all()] == [1, 2, 3]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("teeth", {"16": "gone"}),
        ("teeth", {"19": "lost"}),
        ("teeth", {"16": "lost", "46": "lost"}),
        ("opposing", {"46": "lost"}),
        ("opposing", ["46"]),
        ("probing_mm", {"19": "3"}),
        ("probing_mm", {"13": "16"}),
        ("probing_mm", {"13": "-1"}),
        ("probing_mm", {"13": 3}),
        ("probing_mm", ["13"]),
        ("photographs", ["the house"]),
        ("photographs", "smile"),
    ],
)
def test_a_chart_is_cleaned(case, field, value):
    row = case.prescription
    setattr(row, field, value)

    with pytest.raises(ValidationError) as refused:
        row.full_clean()

    assert set(refused.value.message_dict) == {field}


def test_a_prescription_is_named_by_case_and_revision(case):
    assert str(case.prescription) == f"{case.code} R01"
