"""What the database itself holds of the reviews and of a remake."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from labcases.models import Remake, ReviewEntry
from tests.labcases.models.limits import assert_held, measured

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIMITS = {"agreement_mm": ("0", "20"), "depth_mm": ("0", "5")}


def test_every_measured_column_is_limited(cast, case):
    row = ReviewEntry.objects.create(
        case=case, by=cast.dora, act="pass", happened_on=timezone.localdate()
    )

    assert set(measured(ReviewEntry)) == set(LIMITS)
    for field, limits in LIMITS.items():
        assert_held(row, field, *limits)


def test_a_case_is_no_remake_of_itself(cast, case):
    with pytest.raises(IntegrityError), transaction.atomic():
        Remake.objects.create(case=case, old=case, reason="fit", by=cast.dora)
