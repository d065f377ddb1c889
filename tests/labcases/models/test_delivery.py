"""What the database refuses of arrival, surgery and delivery."""

from __future__ import annotations

import pytest

from labcases.models import ArrivalCheck, Delivery, Surgery
from tests.labcases.models.limits import assert_held, measured, second_row_refused

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {"vertical_rest_mm": ("20", "120"), "vertical_mm": ("20", "120")}


def test_every_measured_column_is_limited():
    assert set(measured(Delivery)) == set(LIMITS)


def test_a_reading_out_of_range_is_not_stored(case):
    row = Delivery.objects.create(case=case)
    for field in LIMITS:
        assert_held(row, field, *LIMITS[field])


def test_a_case_arrives_is_operated_and_is_delivered_once(case):
    for model in (ArrivalCheck, Surgery, Delivery):
        model.objects.create(case=case)
        second_row_refused(model, case=case)
    assert Delivery.objects.get().reported is True
