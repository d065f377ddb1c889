"""What the database itself holds of the remount and of the finished denture."""

from __future__ import annotations

import pytest

from labcases.models import Finishing, MarkText, RemountCheck, RemountEntry
from tests.labcases.models.limits import assert_held, measured, second_row_refused

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {"rise_mm": ("-2", "10"), "depth_mm": ("0", "5")}


def test_every_measured_column_is_limited(cast, case):
    row = RemountEntry.objects.create(case=case, by=cast.tomas, act="pin read")

    assert set(measured(RemountEntry)) == set(LIMITS)
    for field, limits in LIMITS.items():
        assert_held(row, field, *limits)
    assert_held(Finishing.objects.create(case=case), "template_mm", "0.3", "5")


@pytest.mark.parametrize("model", [RemountCheck, Finishing, MarkText])
def test_a_case_has_one_of_each(case, model):
    model.objects.create(case=case)

    second_row_refused(model, case=case)
