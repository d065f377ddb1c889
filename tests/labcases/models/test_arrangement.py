"""What is stored of a tooth that is set otherwise."""

from __future__ import annotations

import pytest

from labcases.models import ArrangementChange, SetUpEntry
from tests.labcases.models.limits import assert_held, measured

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {"amount_mm": ("0.1", "10"), "amount_deg": ("0.5", "90")}


def test_every_measured_column_is_limited():
    assert set(measured(ArrangementChange)) == set(LIMITS)


@pytest.mark.parametrize("field", LIMITS)
def test_an_amount_out_of_range_is_not_stored(cast, case, field):
    entry = SetUpEntry.objects.create(case=case, act="set otherwise", by=cast.tomas)
    row = ArrangementChange.objects.create(entry=entry, deviation="longer", wanted_by="technician")

    assert_held(row, field, *LIMITS[field])
    assert str(row) == f"longer ({case.code})"
