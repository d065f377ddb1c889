"""What is stored of a trimmed cast."""

from __future__ import annotations

import pytest

from labcases.models import CastTrim, SetUpEntry, ToothTrim
from tests.labcases.models.limits import assert_held, measured, second_row_refused

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {"labial_mm": ("0", "10"), "crest_mm": ("0", "10"), "palatal_mm": ("0", "10")}


@pytest.fixture
def trim(cast, case):
    entry = SetUpEntry.objects.create(case=case, act="cast trimmed", by=cast.tomas)
    return CastTrim.objects.create(entry=entry, method="staged")


def test_every_measured_column_is_limited():
    assert set(measured(ToothTrim)) == set(LIMITS)


@pytest.mark.parametrize("field", LIMITS)
def test_a_depth_out_of_range_is_not_stored(trim, field):
    row = ToothTrim.objects.create(trim=trim, tooth="11", place=1, labial_mm="1")

    assert_held(row, field, *LIMITS[field])


def test_a_tooth_stands_once_in_a_line_and_the_rows_in_the_order_of_removal(trim, case):
    late = ToothTrim.objects.create(trim=trim, tooth="11", place=2, labial_mm="1")
    early = ToothTrim.objects.create(trim=trim, tooth="21", place=1, labial_mm="1")

    assert list(trim.teeth.all()) == [early, late]
    assert str(early) == f"21 (staged ({case.code}))"
    second_row_refused(ToothTrim, trim=trim, tooth="11", place=3, labial_mm="1")
