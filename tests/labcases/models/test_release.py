"""What the database refuses of a release."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.models import Release
from tests.labcases.models.limits import assert_held, measured, second_row_refused, stored

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {
    "pin_rise_mm": ("-2", "10"),
    "pin_after_mm": ("-2", "10"),
    "rise_limit_mm": ("0", "2"),
}


def test_every_measured_column_is_limited():
    assert set(measured(Release)) == set(LIMITS)


@pytest.mark.parametrize("field", LIMITS)
def test_a_reading_out_of_range_is_not_stored(case, field):
    assert_held(Release.objects.create(case=case), field, *LIMITS[field])


def test_minutes_below_nothing_are_not_stored(case):
    row = Release.objects.create(case=case)

    assert not stored(row, "label_minutes", -1)
    assert not stored(row, "actual_minutes", -1)


def test_a_rise_of_half_a_millimetre_is_accepted_unless_said_otherwise(case):
    row = Release.objects.create(case=case)
    row.refresh_from_db()

    assert row.rise_limit_mm == Decimal("0.5")
    assert row.second_look_at is None


def test_a_case_is_released_once(case):
    Release.objects.create(case=case)
    second_row_refused(Release, case=case)
