"""Readings of check records: no number that no record shows, no tooth that is none."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from labcases.enums import CheckRecordKind
from labcases.models import CheckRecord
from tests.labcases.models.limits import assert_held, measured

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {
    "advance_mm": ("0", "15"),
    "right_gap_mm": ("0", "15"),
    "left_gap_mm": ("0", "15"),
    "facet_deg": ("0", "60"),
}


def test_every_measured_column_is_limited():
    assert set(measured(CheckRecord)) == set(LIMITS)


@pytest.mark.parametrize("field", LIMITS)
def test_a_reading_out_of_range_is_not_stored(cast, case, field):
    row = CheckRecord.objects.create(case=case, kind=CheckRecordKind.GAP, by=cast.tomas)

    assert_held(row, field, *LIMITS[field])


def test_records_come_in_the_order_in_which_they_were_read(cast, case):
    rows = [
        CheckRecord.objects.create(case=case, kind=kind, by=cast.tomas)
        for kind in (CheckRecordKind.CLOSED, CheckRecordKind.GAP)
    ]

    assert list(case.check_records.all()) == rows
    assert str(rows[1]) == f"check record, posterior gap ({case.code})"


@pytest.mark.parametrize(
    "wrong", [{"right_tooth": "55"}, {"points": {"A": [1, 2]}}, {"kind": "retrusive"}]
)
def test_teeth_points_and_kinds_are_checked(cast, case, wrong):
    row = CheckRecord(**{"case": case, "kind": CheckRecordKind.CLOSED, "by": cast.tomas, **wrong})

    with pytest.raises(ValidationError) as refused:
        row.full_clean()

    assert set(wrong) <= set(refused.value.message_dict)
